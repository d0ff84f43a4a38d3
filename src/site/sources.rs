//! Where a lot came from, put together for reading: deliveries by kind and month, with their shares.

use std::collections::BTreeMap;

use crate::farm::{Basis, DeliveryKind, Farm, LotId, LotSort};
use crate::trace::{Balance, Reached, Relation};

use super::wording;

/// How many codes a line lists before it says how many more there are.
const CODES: usize = 12;
/// With more deliveries than this, a list only counts them; the rows of the lineage name them.
const NAMED: usize = 60;
/// How many months a list names before the earliest are put together.
const MONTHS: usize = 15;
/// How many kinds a list names before the rest are put together.
const KINDS: usize = 16;

/// Where a lot came from.
pub struct Sources {
    /// Deliveries that are part of it, the largest share first.
    pub parts: Vec<Kind>,
    /// Whether any delivery that is part was guessed or divided by weight on the way.
    pub guessed: bool,
    /// Whether the shares can be told.
    pub told: bool,
    /// Deliveries of worms that are its animals or their stock.
    pub live: Vec<Kind>,
    /// Deliveries of which a film may have been carried over.
    pub carried: Vec<Kind>,
    /// Beds that it came from, or whose worms it is.
    pub beds: Vec<LotId>,
}

/// Deliveries of one kind.
pub struct Kind {
    /// What they are.
    pub what: String,
    /// Their share together, where it can be told.
    pub share: Option<f64>,
    /// By month, in order.
    pub months: Vec<Month>,
    /// How many they are.
    pub count: usize,
    /// The months they came in.
    pub span: String,
}

/// Deliveries of one kind that came in one month, or in the earliest ones.
pub struct Month {
    /// The month or months.
    pub name: String,
    /// Their share together, where it can be told.
    pub share: Option<f64>,
    /// Their codes, the latest few.
    pub codes: Vec<String>,
    /// How many more.
    pub more: usize,
    /// How many they are.
    pub count: usize,
}

impl Sources {
    /// Sorts out what a trace reached.
    pub fn of(farm: &Farm, reached: &[Reached], balance: &Balance) -> Self {
        let mut by: [Vec<&Reached>; 3] = Default::default();
        for r in reached {
            if let LotSort::Delivery(_) = farm.lot(r.lot).sort {
                by[r.relation as usize].push(r);
            }
        }
        let [parts, live, carried] = by;
        let shares = balance.shares.as_ref();
        let share = |lot: LotId| shares.map(|s| s.get(&lot).copied().unwrap_or(0.0));
        let of_bed =
            |r: &&Reached| farm.lot(r.lot).sort == LotSort::Bed && r.relation != Relation::Carried;
        let beds: Vec<&Reached> = reached.iter().filter(of_bed).collect();
        let shown = if parts.len() > NAMED { 0 } else { CODES };
        Self {
            guessed: parts.iter().any(|r| r.basis != Basis::Weighed),
            told: shares.is_some(),
            parts: kinds(farm, &parts, (&share, shown)),
            live: kinds(farm, &live, (&|_| None, 0)),
            carried: kinds(farm, &carried, (&|_| None, 0)),
            beds: nearest(&beds),
        }
    }

    /// Tells whether nothing at all is behind it.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.live.is_empty() && self.carried.is_empty()
    }

    /// Returns how many deliveries may only have been carried over.
    pub fn carried_count(&self) -> usize {
        self.carried.iter().map(|kind| kind.count).sum()
    }
}

/// Returns the beds that are part; where none is, those that are stock.
fn nearest(beds: &[&Reached]) -> Vec<LotId> {
    let nearest = beds.iter().map(|r| r.relation).min();
    let same = beds.iter().filter(|r| Some(r.relation) == nearest);
    same.map(|r| r.lot).collect()
}

/// The share of a delivery, and how many codes of a month are shown.
type Shown<'s> = (&'s dyn Fn(LotId) -> Option<f64>, usize);

fn kinds(farm: &Farm, reached: &[&Reached], shown: Shown<'_>) -> Vec<Kind> {
    let mut by_kind: BTreeMap<(DeliveryKind, String), Vec<LotId>> = BTreeMap::new();
    for r in reached {
        if let LotSort::Delivery(kind) = farm.lot(r.lot).sort {
            let key = (kind, wording::what(farm, r.lot));
            by_kind.entry(key).or_default().push(r.lot);
        }
    }
    let mut kinds: Vec<Kind> = by_kind
        .into_iter()
        .map(|((_, what), lots)| Kind::of(farm, what, &lots, shown))
        .collect();
    // Shares are finite, so the order is total; equal ones keep the order of kinds.
    kinds.sort_by(|a, b| {
        let share = |kind: &Kind| kind.share.unwrap_or(0.0);
        share(b).total_cmp(&share(a))
    });
    if kinds.len() > KINDS {
        let rest = kinds.split_off(KINDS - 1);
        kinds.push(Kind::rest(&rest));
    }
    kinds
}

fn sum(shares: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    shares.sum()
}

impl Kind {
    /// Makes a kind of lots in the order of time.
    fn of(farm: &Farm, what: String, lots: &[LotId], shown: Shown<'_>) -> Self {
        let month = |lot: &LotId| {
            let day = farm.lot(*lot).when.day();
            (day.year(), day.month())
        };
        let chunks: Vec<&[LotId]> = lots.chunk_by(|a, b| month(a) == month(b)).collect();
        let early: usize = chunks.len().saturating_sub(MONTHS);
        let early: usize = chunks[..early].iter().map(|same| same.len()).sum();
        let (early, late) = lots.split_at(early);
        let late = late.chunk_by(|a, b| month(a) == month(b));
        let early = Some(early).filter(|early| !early.is_empty());
        let months = early.into_iter().chain(late);
        Self {
            what,
            share: sum(lots.iter().map(|lot| shown.0(*lot))),
            months: months.map(|same| Month::of(farm, same, shown)).collect(),
            count: lots.len(),
            span: span(farm, lots),
        }
    }

    /// Puts kinds together of which there are too many to name.
    fn rest(kinds: &[Self]) -> Self {
        Self {
            what: format!("{} more kinds", kinds.len()),
            share: sum(kinds.iter().map(|kind| kind.share)),
            months: Vec::new(),
            count: kinds.iter().map(|kind| kind.count).sum(),
            span: String::new(),
        }
    }

    /// Returns the share in per cent and in words.
    pub fn said(&self) -> Option<(String, &'static str)> {
        self.share.map(|s| (wording::percent(s), wording::share(s)))
    }

    /// Returns the length of its bar, out of 1000.
    pub fn bar(&self) -> u32 {
        bar(self.share)
    }
}

/// Returns the months that lots in the order of time were made in.
fn span(farm: &Farm, lots: &[LotId]) -> String {
    let day = |lot: &LotId| farm.lot(*lot).when.day();
    let ends = lots.first().zip(lots.last());
    ends.map_or_else(String::new, |(first, last)| {
        wording::months(day(first), day(last))
    })
}

impl Month {
    fn of(farm: &Farm, lots: &[LotId], (share, shown): Shown<'_>) -> Self {
        let codes = lots.iter().rev().take(shown).rev();
        Self {
            name: span(farm, lots),
            share: sum(lots.iter().map(|lot| share(*lot))),
            codes: codes.map(|lot| farm.lot(*lot).code.to_string()).collect(),
            more: lots.len().saturating_sub(shown),
            count: lots.len(),
        }
    }

    /// Returns the share in per cent.
    pub fn percent(&self) -> Option<String> {
        self.share.map(wording::percent)
    }
}

/// Returns a share as the length of a bar of 1000; what is there at all can be seen.
fn bar(share: Option<f64>) -> u32 {
    let share = share.unwrap_or(0.0).clamp(0.0, 1.0);
    // At most 1000, so the cast cuts nothing.
    ((share * 1000.0).round() as u32).max(6)
}
