//! What recalls reach: the lots and packs they were opened from, and what those lots are a part or the stock of.

use std::collections::BTreeMap;

use crate::farm::{Event, Farm, LotId, Meant, Moment, PackPick, RecallStep, Relation, SerialRange};

use super::channels::Channels;
use super::reach::Start;
use super::scope::only;

/// A recall: the rows that opened it, and when it was closed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recall<'a> {
    /// The rows that opened it, in the order of events.
    pub openings: Vec<Opening<'a>>,
    /// When it was closed, if it has not been opened again since.
    pub closed: Option<Moment>,
}

/// A row that opened a recall.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening<'a> {
    /// When.
    pub since: Moment,
    /// The entry, as its place in `Farm::entries`.
    pub entry: usize,
    lots: Vec<LotId>,
    packs: &'a [PackPick<Meant>],
}

/// How a recall reaches a lot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recalled {
    /// The lot that it was opened from.
    pub origin: LotId,
    /// The packs of a run that it is about; all of them where there are none.
    pub only: Vec<SerialRange>,
}

/// An open recall that reaches a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RecalledBy<'a> {
    /// The recall's name.
    pub recall: &'a str,
    /// The lot it was opened from.
    pub origin: LotId,
    /// Since when.
    pub since: Moment,
    /// The entry that opened it, as its place in `Farm::entries`.
    pub entry: usize,
}

/// Returns every lot that an open recall reaches, with the recall that was opened first.
pub fn recalled(farm: &Farm) -> BTreeMap<LotId, RecalledBy<'_>> {
    let mut open = Vec::new();
    for (name, recall) in recalls(farm) {
        if recall.closed.is_none() {
            open.extend(recall.openings.into_iter().map(|opening| (name, opening)));
        }
    }
    open.sort_by_key(|(_, opening)| (opening.since.earliest(), opening.entry));
    let mut all = BTreeMap::new();
    for (recall, opening) in open {
        for (lot, reached) in opening.reach(farm) {
            all.entry(lot).or_insert(RecalledBy {
                recall,
                origin: reached.origin,
                since: opening.since,
                entry: opening.entry,
            });
        }
    }
    all
}

/// Returns every recall, open or closed, by its name.
pub fn recalls(farm: &Farm) -> BTreeMap<&str, Recall<'_>> {
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
                    entry: *place,
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
    /// Returns what it reaches: the lots and packs it names and everything the lots are a part of, or stock of.
    ///
    /// A run whose packs the row names is recalled for these only; every other run as a whole. What worms or a bag
    /// may only have carried over is for the recall itself to name.
    pub fn reach(&self, farm: &Farm) -> BTreeMap<LotId, Recalled> {
        let mut origins: BTreeMap<LotId, LotId> =
            self.lots.iter().map(|lot| (*lot, *lot)).collect();
        let channels = Channels::forward(farm);
        for lot in &self.lots {
            let start = Start {
                lot: *lot,
                serial: None,
                when: None,
            };
            for reached in channels.trace(farm, start) {
                if reached.relation != Relation::Carried {
                    origins.entry(reached.lot).or_insert(*lot);
                }
            }
        }
        for run in self.packs.iter().filter_map(|pick| farm.lot_of(pick.run)) {
            origins.entry(run).or_insert(run);
        }
        let recalled = |(lot, origin)| {
            (
                lot,
                Recalled {
                    origin,
                    only: only(self.packs, farm.lot(lot).code),
                },
            )
        };
        origins.into_iter().map(recalled).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::scenario::Scenario;

    fn reached(scenario: &Scenario) -> bool {
        recalled(&scenario.farm).contains_key(&scenario.id("p1"))
    }

    #[test]
    fn a_recall_that_is_opened_again_reaches_what_it_did() {
        let mut scenario = Scenario::of(&[
            "2026-03-01 delivery dung manure 50kg",
            "2026-03-02 bed b1 A01 dung=4kg",
            "2026-03-20 sieve c1 castings 2kg - A01",
            "2026-03-21 pack p1 1 c1=1kg",
        ]);
        assert!(!reached(&scenario));
        for (row, open) in [
            ("2026-04-01 recall r1 open dung", true),
            ("2026-04-02 recall r1 close dung", false),
            ("2026-04-03 recall r1 open dung", true),
        ] {
            assert_eq!(scenario.try_row(row), Ok(()));
            assert_eq!(reached(&scenario), open, "{row}");
        }
        let run = scenario.id("p1");
        let origin = recalled(&scenario.farm)[&run].origin;
        assert_eq!(origin, scenario.id("dung"));
    }
}
