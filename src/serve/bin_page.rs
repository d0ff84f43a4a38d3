//! The page of a bin behind the sign-in: the bed in it, what is due, and forms for what is done to it.

use askama::Template;

use crate::farm::{BinCode, Farm, LotId, Place};

use super::answer_boxes::{BOXES, Boxes, WHYS};
use super::card::Card;
use super::frame::{Frame, Worker};
use super::in_use::InUse;
use super::today::Rack;

/// A bin's page.
#[derive(Template)]
#[template(path = "shed/bin.html")]
pub struct BinPage<'a> {
    frame: Frame,
    worker: &'a Worker,
    bin: String,
    place: Option<&'a Place>,
    rack: Option<&'a str>,
    bed: Option<Card>,
    before: Option<Before>,
    in_use: InUse,
    rows_of_boxes: &'static [Boxes],
    whys: &'static [&'static str],
}

/// The last bed that was in an empty bin.
struct Before {
    code: String,
    what: String,
}

impl<'a> BinPage<'a> {
    /// Makes the page of a bin; none where there is no such bin.
    pub fn of(rack: Rack<'a>, bin: BinCode, in_use: InUse, worker: &'a Worker) -> Option<Self> {
        let found = rack.farm.bins().get(&bin)?;
        let place = found.standing.as_ref().map(|standing| &standing.place);
        let before = found.beds.last().map(|bed| Before::of(rack.farm, *bed));
        Some(Self {
            frame: worker.frame(&rack.settings.name, bin.to_string()),
            worker,
            bin: bin.to_string(),
            place,
            rack: place.map(Place::rack),
            bed: rack.in_bin(bin).map(|stop| Card::of(rack, stop, &in_use)),
            before,
            in_use,
            rows_of_boxes: &BOXES,
            whys: &WHYS,
        })
    }
}

impl Before {
    fn of(farm: &Farm, bed: LotId) -> Self {
        let lot = farm.lot(bed);
        let species = farm.species(bed).map_or("worms", |species| species);
        let until = lot.stays.last().and_then(|stay| stay.to);
        let what = match until {
            Some(until) => format!("{species}, until {}", until.day()),
            None => species.to_owned(),
        };
        Self {
            code: lot.code.to_string(),
            what,
        }
    }
}
