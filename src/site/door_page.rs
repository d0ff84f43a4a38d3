//! The two pages by which people come in without a code's help: the front page, and the one for a wrong address.

use askama::Template;

use crate::farm::{Farm, LotId, LotSort};

use super::frame::Frame;
use super::standing::Standing;
use super::wording;

/// The front page, or the one a server shows where there is no page.
#[derive(Template)]
#[template(path = "pages/door.html")]
pub struct DoorPage<'a> {
    frame: Frame<'a>,
    /// Whether it stands where a page was looked for and not found.
    is_missing: bool,
    /// The address to put a code after, where the farm has one.
    base: Option<String>,
    /// A code of the farm's own to show how one looks.
    example: String,
    recalled: Vec<RecallLine>,
}

/// A recalled run.
pub struct RecallLine {
    code: String,
    what: String,
    packed: String,
    /// The packs it is about, where it is not about all.
    only: Option<String>,
}

/// A code that diary.md gives as right, for a farm that has packed nothing yet.
const EXAMPLE: &str = "P26115-07-S";

impl<'a> DoorPage<'a> {
    /// Makes the front page.
    pub fn front(farm: &'a Farm, standings: &[Standing], frame: Frame<'a>) -> Self {
        let runs = farm
            .lots()
            .filter(|(_, lot)| matches!(lot.sort, LotSort::Run(_)));
        let recalled = runs.filter_map(|(id, _)| RecallLine::of(farm, standings, id));
        let recalled = recalled.collect();
        Self::new(farm, frame, false, recalled)
    }

    /// Makes the page for an address that leads nowhere.
    pub fn missing(farm: &'a Farm, frame: Frame<'a>) -> Self {
        Self::new(farm, frame, true, Vec::new())
    }

    fn new(farm: &Farm, frame: Frame<'a>, is_missing: bool, recalled: Vec<RecallLine>) -> Self {
        let mut runs = farm
            .lots()
            .filter(|(_, lot)| matches!(lot.sort, LotSort::Run(_)));
        let example = runs.next().map(|(_, lot)| lot.code.to_string());
        Self {
            base: frame.settings.base.clone(),
            example: example.unwrap_or_else(|| EXAMPLE.to_owned()),
            frame,
            is_missing,
            recalled,
        }
    }
}

impl RecallLine {
    fn of(farm: &Farm, standings: &[Standing], run: LotId) -> Option<Self> {
        let recall = standings[run.index()].recall.as_ref()?;
        let lot = farm.lot(run);
        let some = !recall.only.is_empty();
        Some(Self {
            code: lot.code.to_string(),
            what: wording::what(farm, run),
            packed: wording::date(lot.when.day()),
            only: some.then(|| super::banner::numbers(&recall.only)),
        })
    }
}
