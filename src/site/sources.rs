//! Where a lot came from, put together for reading: deliveries by kind and month, with their shares.

use std::collections::BTreeMap;

use crate::farm::{Basis, DeliveryKind, LotId, LotSort, PublicFact};
use crate::trace::{Balance, Reached, Relation};

use super::shown::Shown;
use super::wording;

/// How many codes a line lists before it says how many more there are.
const CODES: usize = 12;
/// How many codes all lines of a page list together, so that it stays small.
const CODES_ON_PAGE: usize = 400;
/// With more deliveries than this beside a drawing of the lineage, a list only counts them; its rows name them.
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
    /// Whether the shares are told.
    pub shares: Shares,
    /// Whether what it came from is no public fact.
    pub is_kept: bool,
    /// Deliveries of worms that are its animals or their stock.
    pub live: Vec<Kind>,
    /// Deliveries of which a film may have been carried over.
    pub carried: Vec<Kind>,
    /// Beds that it came from, or whose worms it is.
    pub beds: Vec<LotId>,
}

/// Whether shares can be told, and are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shares {
    /// They are.
    Told,
    /// An amount on the way is not known.
    Unknown,
    /// They are no public fact.
    Kept,
}

impl Shares {
    /// Tells whether they are told.
    pub fn are_told(self) -> bool {
        self == Self::Told
    }

    /// Tells whether nobody can tell them.
    pub fn are_unknown(self) -> bool {
        self == Self::Unknown
    }
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
    pub fn of(shown: Shown<'_>, reached: &[Reached], balance: &Balance) -> Self {
        let farm = shown.farm;
        let is_kept = !shown.lets_out(PublicFact::MadeFrom);
        let mut by: [Vec<&Reached>; 3] = Default::default();
        for r in reached {
            if let (LotSort::Delivery(_), false) = (farm.lot(r.lot).sort, is_kept) {
                by[r.relation as usize].push(r);
            }
        }
        let [parts, live, carried] = by;
        let are_public = shown.lets_out(PublicFact::Shares);
        let shares = balance.shares.as_ref().filter(|_| are_public);
        let share = |lot: LotId| shares.map(|s| s.get(&lot).copied().unwrap_or(0.0));
        let of_bed =
            |r: &&Reached| farm.lot(r.lot).sort == LotSort::Bed && r.relation != Relation::Carried;
        let beds: Vec<&Reached> = reached.iter().filter(of_bed).collect();
        let are_in_drawing = parts.len() > NAMED && shown.lets_out(PublicFact::Way);
        let listed = if are_in_drawing { 0 } else { CODES };
        let mut sources = Self {
            guessed: parts.iter().any(|r| r.basis != Basis::Weighed),
            shares: match (are_public, shares) {
                (false, _) => Shares::Kept,
                (true, Some(_)) => Shares::Told,
                (true, None) => Shares::Unknown,
            },
            is_kept,
            parts: kinds(shown, &parts, (&share, listed)),
            live: kinds(shown, &live, (&|_| None, 0)),
            carried: kinds(shown, &carried, (&|_| None, 0)),
            beds: nearest(&beds),
        };
        if !shown.lets_out(PublicFact::Beds) {
            sources.beds.clear();
        }
        sources.fit();
        sources
    }

    /// Lists fewer codes a line where there are many lines; those that came last stay.
    fn fit(&mut self) {
        let lines: usize = self.parts.iter().map(|kind| kind.months.len()).sum();
        let codes = (CODES_ON_PAGE / lines.max(1)).clamp(1, CODES);
        for month in self.parts.iter_mut().flat_map(|kind| &mut kind.months) {
            let over = month.codes.len().saturating_sub(codes);
            month.codes.drain(..over);
            month.more += over;
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

/// The share of a delivery, and how many codes of a month are listed.
type Told<'s> = (&'s dyn Fn(LotId) -> Option<f64>, usize);

fn kinds(shown: Shown<'_>, reached: &[&Reached], told: Told<'_>) -> Vec<Kind> {
    let mut by_kind: BTreeMap<(DeliveryKind, String), Vec<LotId>> = BTreeMap::new();
    for r in reached {
        if let LotSort::Delivery(kind) = shown.farm.lot(r.lot).sort {
            let key = (kind, shown.what(r.lot));
            by_kind.entry(key).or_default().push(r.lot);
        }
    }
    let mut kinds: Vec<Kind> = by_kind
        .into_iter()
        .map(|((_, what), lots)| Kind::of(shown, what, &lots, told))
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
    fn of(shown: Shown<'_>, what: String, lots: &[LotId], told: Told<'_>) -> Self {
        let month = |lot: &LotId| {
            let day = shown.farm.lot(*lot).when.day();
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
            share: sum(lots.iter().map(|lot| told.0(*lot))),
            months: months
                .filter_map(|same| Month::of(shown, same, told))
                .collect(),
            count: lots.len(),
            span: span(shown, lots).unwrap_or_default(),
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

    /// Tells whether there is more to see of it by month.
    pub fn opens(&self) -> bool {
        !self.months.is_empty()
    }

    /// Returns the length of its bar, out of 1000.
    pub fn bar(&self) -> u32 {
        bar(self.share)
    }
}

/// Returns the months that lots in the order of time were made in, where these are public.
fn span(shown: Shown<'_>, lots: &[LotId]) -> Option<String> {
    shown.months(*lots.first()?, *lots.last()?)
}

impl Month {
    fn of(shown: Shown<'_>, lots: &[LotId], (share, most): Told<'_>) -> Option<Self> {
        let listed = match shown.lets_out(PublicFact::Deliveries) {
            true => lots,
            false => &[],
        };
        let codes = listed.iter().rev().take(most).rev();
        Some(Self {
            name: span(shown, lots)?,
            share: sum(lots.iter().map(|lot| share(*lot))),
            codes: codes
                .map(|lot| shown.farm.lot(*lot).code.to_string())
                .collect(),
            more: listed.len().saturating_sub(most),
            count: lots.len(),
        })
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
