//! How each lot stands: recalled, on hold, or neither; worked out for all lots at once.
//!
//! Why a lot is held or recalled is the farm's own remark, and is not shown.

use std::collections::BTreeMap;

use crate::farm::{
    Event, Farm, LotId, Meant, Moment, PackPick, RecallStep, Serial, SerialRange, Which,
};
use crate::trace::{Relation, Start, forward, held};

/// What stands against a lot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Standing {
    /// An open recall.
    pub recall: Option<Recalled>,
    /// Since when it is on hold.
    pub held: Option<Moment>,
    /// When the last recall of it was closed.
    pub closed: Option<Moment>,
    /// Whether a hold on the lot itself has been released.
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
            self.only.sort_unstable();
            self.only.dedup();
        }
    }
}

/// Returns how every lot stands, by its place among the lots.
pub fn standings(farm: &Farm) -> Vec<Standing> {
    let mut all = vec![Standing::default(); farm.lot_count()];
    for (id, lot) in farm.lots() {
        all[id.index()].released = lot.holds.iter().any(|hold| hold.released.is_some());
    }
    for (lot, holds) in held(farm) {
        let first = holds
            .iter()
            .map(|held| held.hold.since)
            .min_by_key(|when| when.earliest());
        all[lot.index()].held = first;
    }
    for recall in recalls(farm).into_values() {
        for opening in &recall.openings {
            for (lot, recalled) in opening.reach(farm) {
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

/// A recall: the rows that opened it, and when it was closed.
#[derive(Default)]
struct Recall<'a> {
    openings: Vec<Opening<'a>>,
    closed: Option<Moment>,
}

struct Opening<'a> {
    since: Moment,
    lots: Vec<LotId>,
    packs: &'a [PackPick<Meant>],
}

fn recalls(farm: &Farm) -> BTreeMap<&str, Recall<'_>> {
    let mut all: BTreeMap<&str, Recall<'_>> = BTreeMap::new();
    for place in farm.order() {
        let entry = &farm.entries()[*place];
        let Some(Event::Recall {
            recall,
            step,
            lots,
            packs,
            ..
        }) = &entry.event
        else {
            continue;
        };
        let recall = all.entry(recall).or_default();
        match step {
            RecallStep::Open => {
                recall.closed = None;
                recall.openings.push(Opening {
                    since: entry.when,
                    lots: lots.iter().filter_map(|code| farm.lot_of(*code)).collect(),
                    packs,
                });
            }
            RecallStep::Close => recall.closed = Some(entry.when),
            RecallStep::Told | RecallStep::Returned => {}
        }
    }
    all
}

impl Opening<'_> {
    /// Returns what it reaches: the lots it names and everything they are a part of, or stock of.
    ///
    /// A run whose packs the row names is recalled for these only; every other run as a whole.
    fn reach(&self, farm: &Farm) -> BTreeMap<LotId, Recalled> {
        let mut lots = self.lots.clone();
        lots.extend(self.packs.iter().filter_map(|pick| farm.lot_of(pick.run)));
        for lot in &self.lots {
            let start = Start {
                lot: *lot,
                serial: None,
                when: None,
            };
            let reached = forward(farm, start);
            let stopped = reached.iter().filter(|r| r.relation != Relation::Carried);
            lots.extend(stopped.map(|r| r.lot));
        }
        let recalled = |lot| Recalled {
            since: self.since,
            only: self.only(farm, lot),
        };
        lots.into_iter().map(|lot| (lot, recalled(lot))).collect()
    }

    fn only(&self, farm: &Farm, lot: LotId) -> Vec<SerialRange> {
        let code = farm.lot(lot).code;
        let mut only = Vec::new();
        for pick in self.packs.iter().filter(|pick| pick.run == code) {
            match pick.which {
                Which::Serials(range) => only.push(range),
                // Nobody knows which they are, so it may be any.
                Which::Unnumbered(_) | Which::All => return Vec::new(),
            }
        }
        only.sort_unstable();
        only
    }
}
