//! The mass balance behind the shares: what each lot on the way was made of, flow by flow, in the order of events.
//!
//! diary.md's rules: a bulk outflow of q carries q in the lot's proportions and leaves m - q, never below 0; a split
//! carries its share of m, a tip all of it; a litre counts as a kilogram unless a density says otherwise; pieces and
//! live flows count nothing. Decay is taken to be the same for all constituents, so it does not change shares.

use std::collections::BTreeMap;

use crate::farm::{Amount, Class, Farm, Flow, LotId, LotSort, Moment, Much, Quantity, Unit};

use super::mix::{Grams, Mix, Parts};

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
    ledger.tell(subject)
}

/// What every lot of a farm is made of at its end, worked out in one pass over the flows.
pub struct Balances<'a>(Ledger<'a>);

/// Works out what every lot is made of; the same as `balance` of each with its own sources, many times faster.
pub fn balances(farm: &Farm) -> Balances<'_> {
    let mut ledger = Ledger::new(farm, None, farm.lots().map(|(id, _)| id));
    ledger.run(None);
    Balances(ledger)
}

impl Balances<'_> {
    /// Returns what a lot is made of.
    pub fn of(&self, lot: LotId) -> Balance {
        self.0.tell(lot)
    }
}

struct Ledger<'a> {
    farm: &'a Farm,
    /// The only lot whose mixture is wanted at the end; every lot's where there is none.
    subject: Option<LotId>,
    ids: Vec<LotId>,
    /// The lots that count.
    tracked: Vec<bool>,
    mixes: Vec<Option<Box<Mix>>>,
    /// How many flows into lots that count each lot has still before it.
    ahead: Vec<u32>,
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
        }
    }

    fn run(&mut self, when: Option<Moment>) {
        let flows = self.farm.flows();
        let mut recounts = self.farm.recounts().iter().peekable();
        let mut start = 0;
        while start < flows.len() {
            while let Some(recount) = recounts.next_if(|recount| recount.after <= start) {
                let mass = self.grams(recount.found, recount.lot, None, flows[start].when);
                if let Some(mix) = self.mixes[recount.lot.index()].as_mut() {
                    mix.recount(mass.unwrap_or(Grams::Unknown));
                }
            }
            let same = flows[start..]
                .iter()
                .take_while(|flow| flow.entry == flows[start].entry)
                .count();
            let entry = &flows[start..start + same];
            if when.is_none_or(|when| entry[0].when.could_precede(when)) {
                self.happen(entry);
            }
            start += same;
        }
    }

    /// Lets all flows of one entry happen at once.
    fn happen(&mut self, flows: &[Flow]) {
        if !flows.iter().any(|flow| self.counts(flow)) {
            return;
        }
        let amounts: Vec<Option<Grams>> =
            flows.iter().map(|flow| self.moved(flow, flows)).collect();
        for (flow, amount) in flows.iter().zip(&amounts) {
            let Some(amount) =
                amount.filter(|_| flow.to.is_some_and(|to| self.tracked[to.index()]))
            else {
                continue;
            };
            let source = self.proportions(flow.from);
            let to = flow
                .to
                .expect("only flows into a lot that counts come here");
            self.mixes[to.index()]
                .get_or_insert_default()
                .add(flow.from, source.as_ref(), amount);
        }
        for (flow, amount) in flows.iter().zip(amounts) {
            if let (Some(mix), Some(amount)) = (self.mixes[flow.from.index()].as_mut(), amount) {
                mix.remove(amount);
            }
            self.let_go(flow);
        }
    }

    fn counts(&self, flow: &Flow) -> bool {
        self.tracked[flow.from.index()] || flow.to.is_some_and(|to| self.tracked[to.index()])
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

    /// Returns the grams that a flow moves; `None` for a flow that counts nothing.
    fn moved(&self, flow: &Flow, entry: &[Flow]) -> Option<Grams> {
        match flow.class {
            Class::Live | Class::Touch => return None,
            Class::Bulk | Class::Whole => {}
        }
        let mass = self.mass(flow.from);
        match flow.much {
            Much::Amount(amount) => self.grams(amount, flow.from, flow.to, flow.when),
            Much::All => Some(mass),
            Much::Portion(share) => Some(match mass {
                Grams::Known(mass) => {
                    Grams::Known(mass * f64::from(share.parts()) / f64::from(share.of()))
                }
                Grams::Unknown => Grams::Unknown,
            }),
            Much::Divided(whole) => {
                let whole = self.grams(whole, flow.from, flow.to, flow.when)?;
                let masses: Vec<Grams> = entry.iter().map(|other| self.mass(other.from)).collect();
                Some(divided(whole, mass, &masses))
            }
        }
    }

    fn mass(&self, lot: LotId) -> Grams {
        self.mixes[lot.index()]
            .as_ref()
            .map_or(Grams::Known(0.0), |mix| mix.mass())
    }

    /// Returns an amount in grams; `None` for pieces, which count nothing.
    ///
    /// What is sieved out of a bed has its density measured as a batch, so a bed's litres go by the batch's test.
    fn grams(&self, amount: Amount, from: LotId, to: Option<LotId>, when: Moment) -> Option<Grams> {
        let Some(quantity) = amount.quantity() else {
            return Some(Grams::Unknown);
        };
        let value = whole(quantity);
        match quantity.unit() {
            Unit::Pieces => None,
            Unit::Grams => Some(Grams::Known(value)),
            Unit::Millilitres => {
                let lot = self.farm.lot(from);
                let measured = if lot.sort == LotSort::Bed {
                    to.map(|to| self.farm.lot(to))
                } else {
                    Some(lot)
                };
                let density = measured.and_then(|lot| lot.density(when));
                // Thousandths of g/L times mL: a million to the gram.
                Some(Grams::Known(density.map_or(value, |rate| {
                    value * rate.thousandths() as f64 / 1e6
                })))
            }
        }
    }

    fn proportions(&self, lot: LotId) -> Option<Parts> {
        if let LotSort::Delivery(_) = self.farm.lot(lot).sort {
            return Mix::pure(u32::try_from(lot.index()).expect("lots are counted in 32 bits"))
                .proportions();
        }
        self.mixes[lot.index()]
            .as_ref()
            .and_then(|mix| mix.proportions())
    }

    fn tell(&self, subject: LotId) -> Balance {
        let shares = self.proportions(subject);
        let shares = shares.map(|parts| {
            parts
                .into_iter()
                .map(|(part, share)| (self.ids[part as usize], share))
                .collect()
        });
        let grams = match self.mass(subject) {
            Grams::Known(grams) => Some(grams),
            Grams::Unknown => None,
        };
        Balance { shares, grams }
    }
}

/// Returns a bed's part of an amount that several beds gave together, by what each held; unknown where none held any.
fn divided(whole: Grams, mine: Grams, all: &[Grams]) -> Grams {
    let (Grams::Known(whole), Grams::Known(mine)) = (whole, mine) else {
        return Grams::Unknown;
    };
    let mut total = 0.0;
    for mass in all {
        let Grams::Known(mass) = mass else {
            return Grams::Unknown;
        };
        total += mass;
    }
    if total > 0.0 {
        Grams::Known(whole * mine / total)
    } else {
        Grams::Unknown
    }
}

/// Returns a quantity as a float: whole units up to 10^12 are exact.
fn whole(quantity: Quantity) -> f64 {
    quantity.value() as f64
}

#[cfg(test)]
pub(super) fn test_ids(count: usize) -> Vec<LotId> {
    use crate::farm::{Draft, Event};
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
