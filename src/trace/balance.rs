//! The mass balance behind the shares: what each lot on the way was made of, flow by flow, in the order of events.
//!
//! diary.md's rules: a bulk outflow of q carries q in the lot's proportions and leaves m - q, never below 0; a split
//! carries its share of m, a tip all of it; a litre counts as a kilogram unless a density says otherwise; pieces and
//! live flows count nothing. Decay is taken to be the same for all constituents, so it does not change shares.

use std::collections::BTreeMap;

use crate::farm::{Farm, Flow, LotId, LotSort, Moment};

use super::mass::{Grams, grams, moved};
use super::mix::{Mix, Parts};

/// What a lot is made of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Balance {
    /// The share of each delivery; `None` where an unknown amount leaves them untold.
    pub shares: Option<BTreeMap<LotId, f64>>,
    /// Grams of bulk in it, as recorded, where they can be told.
    pub grams: Option<f64>,
}

/// Works out what a lot is made of at a moment (or at its end), from the lots that can be part of it.
///
/// `sources` are those lots; anything left out of them counts as nothing.
pub fn balance(
    farm: &Farm,
    subject: LotId,
    sources: impl Iterator<Item = LotId>,
    when: Option<Moment>,
) -> Balance {
    let mut ledger = Ledger::new(farm, Some(subject), sources);
    ledger.run(when);
    tell(farm, &ledger.ids, &ledger.mixes, subject)
}

/// What every lot of a farm is made of at its end, worked out in one pass over the flows; kept apart from the farm.
pub struct Balances(Vec<LotId>, Mixes);

/// Works out what every lot is made of; the same as `balance` of each with its own sources, many times faster.
pub fn balances(farm: &Farm) -> Balances {
    let mut ledger = Ledger::new(farm, None, farm.lots().map(|(id, _)| id));
    ledger.run(None);
    Balances(ledger.ids, ledger.mixes)
}

impl Balances {
    /// Returns what a lot of that farm is made of.
    pub fn of(&self, farm: &Farm, lot: LotId) -> Balance {
        tell(farm, &self.0, &self.1, lot)
    }
}

/// What each lot is made of so far, by its place among the lots; nothing of those that nothing went into.
type Mixes = Vec<Option<Box<Mix>>>;

struct Ledger<'a> {
    farm: &'a Farm,
    /// The only lot whose mixture is wanted at the end; every lot's where there is none.
    subject: Option<LotId>,
    ids: Vec<LotId>,
    /// The lots that count.
    tracked: Vec<bool>,
    mixes: Mixes,
    /// How many flows into lots that count each lot has still before it.
    ahead: Vec<u32>,
    /// The grams that each flow moved.
    moved: Vec<Option<Grams>>,
}

impl<'a> Ledger<'a> {
    fn new(farm: &'a Farm, subject: Option<LotId>, sources: impl Iterator<Item = LotId>) -> Self {
        let mut tracked = vec![false; farm.lot_count()];
        sources
            .chain(subject)
            .for_each(|lot| tracked[lot.index()] = true);
        let mut ahead = vec![0; farm.lot_count()];
        for flow in farm.flows() {
            if flow.to.is_some_and(|to| tracked[to.index()]) {
                ahead[flow.from.index()] += 1;
            }
        }
        let mixes = std::iter::repeat_with(|| None)
            .take(farm.lot_count())
            .collect();
        Self {
            farm,
            subject,
            ids: farm.lots().map(|(id, _)| id).collect(),
            tracked,
            mixes,
            ahead,
            moved: moved(farm),
        }
    }

    fn run(&mut self, when: Option<Moment>) {
        let flows = self.farm.flows();
        let mut recounts = self.farm.recounts().iter().peekable();
        let mut start = 0;
        for entry in flows.chunk_by(|a, b| a.entry == b.entry) {
            while let Some(recount) = recounts.next_if(|recount| recount.after <= start) {
                let lot = recount.lot;
                let mass = grams(self.farm, recount.found, (lot, None), entry[0].when);
                if let Some(mix) = self.mixes[lot.index()].as_mut() {
                    mix.recount(mass.unwrap_or(Grams::Unknown));
                }
            }
            if when.is_none_or(|when| entry[0].when.could_precede(when)) {
                self.happen(entry, start);
            }
            start += entry.len();
        }
    }

    /// Lets all flows of one entry happen at once; `start` is the place of the first among all flows.
    fn happen(&mut self, flows: &[Flow], start: usize) {
        for (flow, place) in flows.iter().zip(start..) {
            let Some(to) = flow.to.filter(|to| self.tracked[to.index()]) else {
                continue;
            };
            if let Some(amount) = self.moved[place] {
                let source = proportions(self.farm, &self.mixes, flow.from);
                let mix = self.mixes[to.index()].get_or_insert_default();
                mix.add(flow.from, source.as_ref(), amount);
            }
        }
        for (flow, place) in flows.iter().zip(start..) {
            if let (Some(mix), Some(amount)) =
                (self.mixes[flow.from.index()].as_mut(), self.moved[place])
            {
                mix.remove(amount);
            }
            self.let_go(flow);
        }
    }

    /// Drops what a lot was made of once nothing that counts comes of it any more.
    fn let_go(&mut self, flow: &Flow) {
        if flow.to.is_some_and(|to| self.tracked[to.index()]) {
            let ahead = &mut self.ahead[flow.from.index()];
            *ahead -= 1;
            let wanted = self.subject.is_none_or(|subject| subject == flow.from);
            if *ahead == 0 && !wanted {
                self.mixes[flow.from.index()] = None;
            }
        }
    }
}

/// Returns the shares of a lot; a delivery is itself.
fn proportions(farm: &Farm, mixes: &Mixes, lot: LotId) -> Option<Parts> {
    if let LotSort::Delivery(_) = farm.lot(lot).sort {
        return Mix::pure(u32::try_from(lot.index()).expect("lots are counted in 32 bits"))
            .proportions();
    }
    mixes[lot.index()]
        .as_ref()
        .and_then(|mix| mix.proportions())
}

fn tell(farm: &Farm, ids: &[LotId], mixes: &Mixes, subject: LotId) -> Balance {
    let shares = proportions(farm, mixes, subject).map(|parts| {
        parts
            .into_iter()
            .map(|(part, share)| (ids[part as usize], share))
            .collect()
    });
    let mass = mixes[subject.index()]
        .as_ref()
        .map_or(Grams::Known(0.0), |mix| mix.mass());
    let grams = match mass {
        Grams::Known(grams) => Some(grams),
        Grams::Unknown => None,
    };
    Balance { shares, grams }
}

#[cfg(test)]
pub(super) fn test_ids(count: usize) -> Vec<LotId> {
    use crate::farm::{Amount, Draft, Event};
    let read = |n: usize| Draft {
        when: Moment::day_only(jiff::civil::date(2026, 1, 1)),
        by: None,
        note: None,
        event: Event::Delivery {
            lot: crate::farm::NewLot {
                code: None,
                mark: format!("d{n}").parse().ok(),
            },
            amount: Amount::Unknown,
            facts: Box::new(crate::farm::DeliveryFacts::of(
                crate::farm::DeliveryKind::Bedding,
                "straw",
                "a farm",
            )),
        },
    };
    let recording =
        Farm::default().record((0..count).map(read).collect(), jiff::Timestamp::UNIX_EPOCH);
    recording
        .expect("deliveries are always taken")
        .farm
        .lots()
        .map(|(id, _)| id)
        .collect()
}
