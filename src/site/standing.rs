//! How each lot stands: recalled, on hold, or neither; worked out for all lots at once.
//!
//! Why a lot is held or recalled is the farm's own remark, and is not shown. A hold that only waits for the test that all
//! goods of its kind wait for is not shown either: nothing was found. A run that was weighed short is: something was.

use crate::farm::{Farm, Holding, Moment, Serial, SerialRange};
use crate::trace::{HeldBy, flagged, found_since, held, recalls};

/// What stands against a lot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Standing {
    /// An open recall.
    pub recall: Option<Recalled>,
    /// Since when it is on hold.
    pub held: Option<Moment>,
    /// Since when it is flagged: what it came from may have been touched by a lot on hold, and it is not held for that.
    pub flagged: Option<Moment>,
    /// When the last recall of it was closed.
    pub closed: Option<Moment>,
    /// Whether a hold on the lot itself has been released, or the lot freed of one that reached it.
    pub released: bool,
}

/// An open recall of a lot.
#[derive(Clone, Debug, PartialEq)]
pub struct Recalled {
    /// Since when.
    pub since: Moment,
    /// The packs that it is about; all of them where there are none.
    pub only: Vec<SerialRange>,
}

impl Recalled {
    /// Tells whether it is about that pack.
    pub fn is_about(&self, serial: Serial) -> bool {
        self.only.is_empty() || self.only.iter().any(|range| range.holds(serial))
    }

    fn merge(&mut self, other: Self) {
        self.since = std::cmp::min_by_key(self.since, other.since, |when| when.earliest());
        if other.only.is_empty() {
            self.only.clear();
        } else if !self.only.is_empty() {
            self.only.extend(other.only);
            self.only = joined(std::mem::take(&mut self.only));
        }
    }
}

/// Puts ranges that touch or overlap together, in order.
fn joined(mut ranges: Vec<SerialRange>) -> Vec<SerialRange> {
    ranges.sort_unstable();
    let mut joined: Vec<SerialRange> = Vec::new();
    for range in ranges {
        let grown = joined
            .last()
            .filter(|last| range.first().number() <= last.last().number().saturating_add(1))
            .and_then(|last| SerialRange::new(last.first(), last.last().max(range.last())));
        match (grown, joined.last_mut()) {
            (Some(grown), Some(last)) => *last = grown,
            (Some(_) | None, _) => joined.push(range),
        }
    }
    joined
}

/// Returns since when the first of some holds stands, apart from those that only wait for a test.
fn first(farm: &Farm, holds: &[HeldBy]) -> Option<Moment> {
    let since = holds
        .iter()
        .filter_map(|held| found_since(farm, held.origin, &held.hold));
    since.min_by_key(|when| when.earliest())
}

/// Returns how every lot stands, by its place among the lots.
pub fn standings(farm: &Farm) -> Vec<Standing> {
    let mut all = vec![Standing::default(); farm.lot_count()];
    for (id, lot) in farm.lots() {
        let mut over = lot.holds.iter().filter(|hold| hold.released.is_some());
        all[id.index()].released = over.any(|hold| found_since(farm, id, hold).is_some());
    }
    let found = |holding: &&Holding| found_since(farm, holding.origin, &holding.hold).is_some();
    for holding in farm.holdings().iter().filter(found) {
        for lot in holding.freed() {
            all[lot.index()].released = true;
        }
    }
    for (lot, holds) in held(farm) {
        all[lot.index()].held = first(farm, &holds);
    }
    for (lot, holds) in flagged(farm) {
        all[lot.index()].flagged = first(farm, &holds);
    }
    for recall in recalls(farm).into_values() {
        for opening in &recall.openings {
            for (lot, reached) in opening.reach(farm) {
                let recalled = Recalled {
                    since: opening.since,
                    only: joined(reached.only),
                };
                let standing = &mut all[lot.index()];
                match (recall.closed, &mut standing.recall) {
                    (Some(closed), _) => standing.closed = Some(closed),
                    (None, Some(open)) => open.merge(recalled),
                    (None, none) => *none = Some(recalled),
                }
            }
        }
    }
    all
}
