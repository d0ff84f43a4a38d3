//! What was done at each bed: its last feeds, the last looks at it, and the worms that were put into it.

use rustc_hash::FxHashMap;

use super::amount::{Quantity, Unit};
use super::code::LotCode;
use super::entry::Event;
use super::farm::Farm;
use super::flow::{Class, Much};
use super::lot::{LotId, LotSort};
use super::naming::BedName;

/// So many of the last feeds are kept.
const FEEDS: usize = 3;

/// The last visits to a bed, each as its entry's place in `Farm::entries`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Visits {
    /// The last three feeds, the newest first.
    pub feeds: Vec<usize>,
    /// The last check.
    pub checked: Option<usize>,
    /// The last check that says how much food was left.
    pub left: Option<usize>,
    /// The last check that says how warm it was.
    pub warmth: Option<usize>,
    /// The last time it was passed over.
    pub skipped: Option<usize>,
}

impl Farm {
    /// Returns the last visits to every bed that had any.
    pub fn visits(&self) -> FxHashMap<LotId, Visits> {
        let mut all: FxHashMap<LotId, Visits> = FxHashMap::default();
        for place in self.order() {
            let event = self.entries()[*place].event.as_ref();
            let (Some(event), Some(bed)) = (event, event.and_then(visited)) else {
                continue;
            };
            let Some(id) = self.lot_of(bed) else { continue };
            let visits = all.entry(id).or_default();
            match event {
                Event::Feed { .. } => {
                    visits.feeds.insert(0, *place);
                    visits.feeds.truncate(FEEDS);
                }
                Event::Skip { .. } => visits.skipped = Some(*place),
                Event::Check { facts, .. } => {
                    visits.checked = Some(*place);
                    if facts.feed_left.is_some() {
                        visits.left = Some(*place);
                    }
                    if facts.temperature_c.is_some() {
                        visits.warmth = Some(*place);
                    }
                }
                _ => {}
            }
        }
        all
    }

    /// Returns how many grams of worms each bed holds, by what was put in and taken out; a bed is left out where
    /// some of it is not known. Worms breed: the real figure is seldom below this.
    pub fn worms_in_beds(&self) -> FxHashMap<LotId, u64> {
        let mut grams: FxHashMap<LotId, Option<u64>> = FxHashMap::default();
        for flow in self.flows() {
            let held = |lot: LotId, grams: &FxHashMap<LotId, Option<u64>>| {
                grams.get(&lot).copied().unwrap_or(Some(0))
            };
            let from_bed = self.lot(flow.from).sort == LotSort::Bed;
            let moved = match (flow.class, flow.much) {
                (Class::Live, Much::Amount(amount)) => amount.quantity().and_then(in_grams),
                (Class::Whole, Much::Portion(share)) => {
                    held(flow.from, &grams).map(|all| part(all, share.parts(), share.of()))
                }
                (Class::Whole, Much::All) => held(flow.from, &grams),
                (Class::Live, _) => None,
                // Cocoons, stuff and surfaces bring no worms that eat today.
                (Class::Whole | Class::Bulk | Class::Touch, _) => continue,
            };
            if from_bed {
                let left = held(flow.from, &grams).zip(moved);
                let left = left.map(|(all, moved)| all.saturating_sub(moved));
                grams.insert(flow.from, left);
            }
            if let Some(to) = flow.to.filter(|to| self.lot(*to).sort == LotSort::Bed) {
                let sum = held(to, &grams).zip(moved);
                grams.insert(to, sum.map(|(there, more)| there.saturating_add(more)));
            }
        }
        let known = grams.into_iter();
        known
            .filter_map(|(lot, grams)| Some((lot, grams.filter(|grams| *grams > 0)?)))
            .collect()
    }
}

/// Returns the bed that an event is a visit to.
fn visited<N: super::naming::Naming<Lot = LotCode>>(event: &Event<N>) -> Option<LotCode> {
    let (Event::Feed { bed, .. } | Event::Skip { bed, .. } | Event::Check { bed, .. }) = event
    else {
        return None;
    };
    match bed {
        BedName::Bin(_) => None,
        BedName::Bed(code) | BedName::Found { bed: code, .. } => Some(*code),
    }
}

fn in_grams(quantity: Quantity) -> Option<u64> {
    (quantity.unit() == Unit::Grams).then(|| quantity.value())
}

/// Returns that share of a whole, rounded down; a quantity is far below 2^64 parts.
fn part(whole: u64, parts: u32, of: u32) -> u64 {
    let part = u128::from(whole) * u128::from(parts) / u128::from(of);
    u64::try_from(part).unwrap_or(whole)
}
