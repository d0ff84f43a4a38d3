//! The pages of bins and racks, for farms whose bins carry the address of the public pages.

use askama::Template;

use crate::farm::{BinCode, Farm, LotId, PublicFact};

use super::frame::Frame;
use super::shown::Shown;
use super::standing::Standing;
use super::wording;

/// A bed, as a line of a list.
pub struct BedLine {
    code: String,
    species: Option<String>,
    /// Since when it has been there, and until when.
    when: String,
    /// What stands against it.
    against: Option<&'static str>,
}

/// The page of a bin.
#[derive(Template)]
#[template(path = "pages/bin.html")]
pub struct BinPage<'a> {
    frame: Frame<'a>,
    bin: String,
    place: Option<String>,
    bed: Option<BedLine>,
    before: Vec<BedLine>,
    more: usize,
    /// Whether where bins stand, and what is in them, is no public fact.
    is_kept: bool,
}

/// The page of a rack.
#[derive(Template)]
#[template(path = "pages/rack.html")]
pub struct RackPage<'a> {
    frame: Frame<'a>,
    rack: String,
    bins: Vec<BinLine>,
    more: usize,
    /// Whether what stands on it is no public fact.
    is_kept: bool,
}

/// A bin, as a line of a rack's list.
pub struct BinLine {
    bin: String,
    place: String,
    bed: Option<BedLine>,
}

/// Beds that were in a bin before these are counted only.
const BEFORE: usize = 20;
/// Bins of a rack beyond so many are counted only.
const BINS: usize = 150;

impl<'a> BinPage<'a> {
    /// Makes the page of a bin.
    pub fn of(farm: &'a Farm, standings: &[Standing], bin: BinCode, frame: Frame<'a>) -> Self {
        let shown = Shown::of(farm, frame.settings);
        let is_kept = !shown.lets_out(PublicFact::Places);
        let found = farm.bins().get(&bin).filter(|_| !is_kept);
        let line = |bed: LotId| BedLine::of(shown, standings, bed, bin);
        let now = found.and_then(|found| found.bed);
        let past = found.map(|found| found.beds.as_slice()).unwrap_or_default();
        let past: Vec<LotId> = past
            .iter()
            .rev()
            .copied()
            .filter(|bed| Some(*bed) != now)
            .collect();
        Self {
            frame,
            bin: bin.to_string(),
            place: found
                .and_then(|found| found.standing.as_ref())
                .map(|standing| standing.place.to_string()),
            bed: now.map(line),
            before: past.iter().take(BEFORE).map(|bed| line(*bed)).collect(),
            more: past.len().saturating_sub(BEFORE),
            is_kept,
        }
    }
}

impl<'a> RackPage<'a> {
    /// Makes the page of a rack, its bins in walking order.
    pub fn of(farm: &'a Farm, standings: &[Standing], rack: &str, frame: Frame<'a>) -> Self {
        let shown = Shown::of(farm, frame.settings);
        let is_kept = !shown.lets_out(PublicFact::Places);
        let mut bins: Vec<BinLine> = Vec::new();
        for (code, bin) in farm.bins().iter().filter(|_| !is_kept) {
            let place = bin.standing.as_ref().map(|standing| &standing.place);
            if let Some(place) = place.filter(|place| place.rack() == rack) {
                bins.push(BinLine {
                    bin: code.to_string(),
                    place: place.to_string(),
                    bed: bin.bed.map(|bed| BedLine::of(shown, standings, bed, *code)),
                });
            }
        }
        bins.sort_by(|a, b| (&a.place, &a.bin).cmp(&(&b.place, &b.bin)));
        let more = bins.len().saturating_sub(BINS);
        bins.truncate(BINS);
        Self {
            frame,
            rack: rack.to_owned(),
            bins,
            more,
            is_kept,
        }
    }
}

impl BedLine {
    fn of(shown: Shown<'_>, standings: &[Standing], bed: LotId, bin: BinCode) -> Self {
        let lot = shown.farm.lot(bed);
        let stay = lot.stays.iter().rev().find(|stay| stay.bin == bin);
        let since = stay.map_or(lot.when, |stay| stay.from);
        let until = stay.and_then(|stay| stay.to);
        let since = wording::date(since.day());
        let standing = &standings[bed.index()];
        let against = match (&standing.recall, standing.held) {
            (Some(_), _) => Some("recalled"),
            (None, Some(_)) => Some("on hold"),
            (None, None) => None,
        };
        Self {
            code: lot.code.to_string(),
            species: shown.species(bed).map(ToOwned::to_owned),
            when: match until {
                Some(until) => format!("{since} to {}", wording::date(until.day())),
                None => format!("since {since}"),
            },
            against,
        }
    }
}
