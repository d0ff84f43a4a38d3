//! Exposure: which pack runs each lot could have reached by one kind of way, for all lots at once.
//!
//! The same reach as in `reach`, with a set of runs carried along every flow, so that a thousand suspects cost one pass
//! and not a thousand searches.

use std::collections::BTreeMap;

use crate::farm::{Farm, Flow, FlowId, LotId, Moment, Way};

/// Which runs each lot reaches.
pub struct Exposed<'a> {
    farm: &'a Farm,
    way: Way,
    runs: Vec<LotId>,
    /// So many words of 64 runs stand for each flow.
    words: usize,
    /// For each flow, the runs that it reaches.
    sets: Vec<u64>,
}

/// A set of runs, by their places among those asked for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RunSet(Vec<u64>);

impl RunSet {
    /// Tells whether the run at that place is in it.
    pub fn holds(&self, place: usize) -> bool {
        self.0
            .get(place / 64)
            .is_some_and(|word| word & (1 << (place % 64)) != 0)
    }

    /// Tells whether it is empty.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }
}

impl<'a> Exposed<'a> {
    /// Looks from every lot forward to the runs that are asked for.
    pub fn of(farm: &'a Farm, way: Way, runs: Vec<LotId>) -> Self {
        let words = runs.len().div_ceil(64).max(1);
        let mut exposed = Self {
            farm,
            way,
            runs,
            words,
            sets: vec![0; farm.flows().len() * words],
        };
        exposed.fill();
        exposed
    }

    /// Returns the runs that were asked for, in their places.
    pub fn runs(&self) -> &[LotId] {
        &self.runs
    }

    /// Returns the runs that a lot reaches.
    pub fn reached_by(&self, lot: LotId) -> RunSet {
        let mut set = vec![0; self.words];
        for id in &self.farm.lot(lot).outflows {
            join(&mut set, self.set(*id));
        }
        RunSet(set)
    }

    /// Returns the first and the last moment at which something left a lot on a way to a run.
    pub fn span(&self, lot: LotId, place: usize) -> Option<(Moment, Moment)> {
        let outflows = self.farm.lot(lot).outflows.iter();
        let leads = outflows.filter(|id| self.set(**id)[place / 64] & (1 << (place % 64)) != 0);
        let whens = leads.map(|id| self.farm.flow(*id).when);
        whens.fold(None, |span, when| {
            let (first, last) = span.unwrap_or((when, when));
            Some((
                std::cmp::min_by_key(first, when, |m| (m.earliest(), -m.latest())),
                std::cmp::max_by_key(last, when, |m| (m.latest(), -m.earliest())),
            ))
        })
    }

    fn set(&self, id: FlowId) -> &[u64] {
        let start = id.index() * self.words;
        &self.sets[start..start + self.words]
    }

    /// Goes through the flows from the last to the first, and again until nothing is added: flows of a day whose hours
    /// nobody noted may each come before the other.
    fn fill(&mut self) {
        let places: BTreeMap<LotId, usize> = self.runs.iter().copied().zip(0..).collect();
        let farm = self.farm;
        loop {
            let mut grown = false;
            for (at, flow) in farm.flows().iter().enumerate().rev() {
                let Some(set) = self.beyond(flow, &places) else {
                    continue;
                };
                let start = at * self.words;
                let own = &mut self.sets[start..start + self.words];
                if own != set {
                    own.copy_from_slice(&set);
                    grown = true;
                }
            }
            if !grown {
                return;
            }
        }
    }

    /// Returns the runs that a flow reaches, by what is known of the flows after it.
    fn beyond(&self, flow: &Flow, places: &BTreeMap<LotId, usize>) -> Option<Vec<u64>> {
        let to = flow.to.filter(|_| self.way.takes(flow.class))?;
        let mut set = vec![0; self.words];
        if let Some(place) = places.get(&to) {
            set[place / 64] |= 1 << (place % 64);
        }
        for id in &self.farm.lot(to).outflows {
            if flow.when.could_precede(self.farm.flow(*id).when) {
                join(&mut set, self.set(*id));
            }
        }
        Some(set)
    }
}

fn join(set: &mut [u64], other: &[u64]) {
    for (word, other) in set.iter_mut().zip(other) {
        *word |= other;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::LotSort;
    use crate::farm::scenario::Scenario;
    use crate::trace::{Relation, Start, forward};

    fn farm() -> Scenario {
        Scenario::of(&[
            "2026-03-01 delivery straw bedding 50kg",
            "2026-03-01 delivery dung manure 50kg",
            "2026-03-01 delivery reds worms 5kg",
            "2026-03-02 bed b1 A01 straw=4kg reds=1kg",
            "2026-03-10T09:00 sieve c1 castings 2kg - A01",
            "2026-03-10T10:00 feed A01 dung=2kg",
            "2026-03-20T09:00 sieve c2 castings 2kg - A01",
            "2026-03-20T09:00 sieve w1 worms 500g A01 A01",
            "2026-03-21 pack p1 2 c1=1kg",
            "2026-03-21 pack p2 2 c2=1kg",
            "2026-03-21 pack p3 2 w1=100g",
        ])
    }

    fn reached(scenario: &Scenario, way: Way, lot: &str) -> Vec<&'static str> {
        let names = ["p1", "p2", "p3"];
        let runs = names.map(|run| scenario.id(run)).to_vec();
        let exposed = Exposed::of(&scenario.farm, way, runs);
        let set = exposed.reached_by(scenario.id(lot));
        let held = names
            .iter()
            .enumerate()
            .filter(|(place, _)| set.holds(*place));
        held.map(|(_, name)| *name).collect()
    }

    #[test]
    fn a_load_reaches_what_was_sieved_after_it_and_worms_what_is_alive() {
        let scenario = farm();
        assert_eq!(reached(&scenario, Way::Part, "dung"), ["p2"]);
        assert_eq!(reached(&scenario, Way::Part, "straw"), ["p1", "p2"]);
        assert_eq!(reached(&scenario, Way::Live, "reds"), ["p3"]);
        assert_eq!(reached(&scenario, Way::Live, "dung"), [""; 0]);
        assert_eq!(reached(&scenario, Way::Any, "dung"), ["p2", "p3"]);
    }

    #[test]
    fn it_is_the_reach_of_the_trace_for_every_lot() {
        let scenario = farm();
        let farm = &scenario.farm;
        let lots = farm.lots();
        let runs: Vec<LotId> = lots
            .filter(|(_, lot)| matches!(lot.sort, LotSort::Run(_)))
            .map(|(id, _)| id)
            .collect();
        let (part, any) = (
            Exposed::of(farm, Way::Part, runs.clone()),
            Exposed::of(farm, Way::Any, runs.clone()),
        );
        for (lot, _) in farm.lots() {
            let start = Start {
                lot,
                serial: None,
                when: None,
            };
            let forward = forward(farm, start);
            for (place, run) in runs.iter().enumerate() {
                let found = forward.iter().find(|reached| reached.lot == *run);
                let is_part = found.is_some_and(|reached| reached.relation == Relation::Part);
                assert_eq!(part.reached_by(lot).holds(place), is_part);
                assert_eq!(any.reached_by(lot).holds(place), found.is_some());
            }
        }
    }

    #[test]
    fn the_span_is_that_of_what_left_on_the_way() {
        let scenario = farm();
        let runs = vec![scenario.id("p2")];
        let exposed = Exposed::of(&scenario.farm, Way::Part, runs);
        let span = exposed.span(scenario.id("straw"), 0);
        let told = span.map(|(first, last)| (first.to_string(), last.to_string()));
        let day = "2026-03-02".to_owned();
        assert_eq!(told, Some((day.clone(), day)));
    }
}
