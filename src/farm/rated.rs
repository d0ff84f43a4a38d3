//! The tests that turn one unit into another: what was measured of a lot, when and how; and what a pack run's own
//! filling weighs to the litre, by the tests of the batches it was filled from.

use super::amount::{Quantity, Unit};
use super::entry::Event;
use super::facts::{Rate, TestFacts};
use super::farm::Farm;
use super::flow::{Class, Flow, Much};
use super::lot::{LotId, LotSort};
use super::moment::Moment;

/// A test of a lot that gave a rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateTest<'a> {
    /// When it was done.
    pub when: Moment,
    /// What it gave.
    pub rate: Rate,
    /// All that was noted of it.
    pub facts: &'a TestFacts,
}

/// The name of the test that gives the weight of a litre.
const DENSITY: &str = "density";
/// The name of the test that gives how many pieces make a kilogram.
const PER_KG: &str = "per_kg";
/// The name of the test of a lot's water, in per cent.
const MOISTURE: &str = "moisture";

impl Farm {
    /// Returns the density test that counts for a lot at a moment: the latest before, or else the first after.
    pub fn density_test(&self, lot: LotId, when: Moment) -> Option<RateTest<'_>> {
        self.rate_test(lot, DENSITY, when)
    }

    /// Returns the count to the kilogram that counts for a lot at a moment, chosen like a density.
    pub fn per_kg_test(&self, lot: LotId, when: Moment) -> Option<RateTest<'_>> {
        self.rate_test(lot, PER_KG, when)
    }

    /// Returns the tests of a lot's water that are numbers, in per cent.
    pub fn water_tests(&self, lot: LotId) -> Vec<(Moment, f64)> {
        let tests = self.tests_of(lot, MOISTURE);
        let numbers = tests.filter_map(|(when, facts)| Some((when, facts.value.parse().ok()?)));
        numbers
            .filter(|(_, water): &(Moment, f64)| water.is_finite())
            .collect()
    }

    /// Returns the lots that a run was filled from, without its bags, tubs and lids: stuff for what is declared in litres
    /// or grams, worms for what is declared in pieces.
    pub fn filled_from(&self, run: LotId) -> Vec<LotId> {
        let mut sources: Vec<LotId> = self.filling(run).map(|flow| flow.from).collect();
        sources.dedup();
        sources
    }

    /// Returns what a litre of a run's filling weighs; `None` where a batch in it has no density test.
    pub fn run_density(&self, run: LotId) -> Option<Rate> {
        let packed = self.lot(run).when;
        if let Some(own) = self.density_test(run, packed) {
            return Some(own.rate);
        }
        let flows: Vec<&Flow> = self.filling(run).collect();
        let of = |flow: &Flow| self.source_density(flow.from, packed);
        if let [first, rest @ ..] = flows.as_slice()
            && rest.iter().all(|flow| flow.from == first.from)
        {
            return of(first);
        }
        let parts = flows.iter().map(|flow| {
            let (rate, quantity) = (of(flow)?, known(flow)?);
            let grams = match quantity.unit() {
                Unit::Grams => u128::from(quantity.value()) * 1_000_000,
                Unit::Millilitres => u128::from(quantity.value()) * u128::from(rate.thousandths()),
                Unit::Pieces => return None,
            };
            // Millionths of a gram, and so thousandths of a millilitre.
            Some((grams, grams / u128::from(rate.thousandths()) * 1_000))
        });
        let parts: Option<Vec<(u128, u128)>> = parts.collect();
        let (grams, volume) = parts?
            .iter()
            .fold((0, 0), |all, part| (all.0 + part.0, all.1 + part.1));
        Rate::of_thousandths(grams.checked_mul(1_000)?.checked_div(volume)?)
    }

    /// Returns how many pieces of a run's filling make a kilogram; `None` where worms in it were not counted, or where
    /// they are of several lots, whose worms differ.
    pub fn run_per_kg(&self, run: LotId) -> Option<Rate> {
        let packed = self.lot(run).when;
        match self.filled_from(run).as_slice() {
            [only] => self.per_kg_test(*only, packed).map(|test| test.rate),
            _ => None,
        }
    }

    /// Returns what the scales say was filled into a pack of a run, in the unit it declares; `None` where an amount, a
    /// density or a count is not known.
    pub fn filled_by_the_scales(&self, run: LotId) -> Option<f64> {
        let unit = self.product(run)?.net.unit();
        let packs = self.lot(run).shelf.as_ref()?.made();
        let turned = self.filling(run).map(|flow| {
            let quantity = known(flow)?;
            let value = quantity.value() as f64;
            let rate = |rate: Option<Rate>| Some(rate?.thousandths() as f64 / 1_000.0);
            let packed = self.lot(run).when;
            match (quantity.unit(), unit) {
                (Unit::Grams, Unit::Millilitres) => {
                    Some(value * 1_000.0 / rate(self.source_density(flow.from, packed))?)
                }
                (from, to) if from == to => Some(value),
                (_, _) => None,
            }
        });
        let filled: Option<f64> = turned.sum();
        Some(filled? / f64::from(packs.max(1)))
    }

    fn source_density(&self, lot: LotId, when: Moment) -> Option<Rate> {
        match self.lot(lot).sort {
            // Packs that were opened again: what they were filled with. A run is never filled from itself.
            LotSort::Run(_) => self.run_density(lot),
            LotSort::Delivery(_) | LotSort::Batch(_) | LotSort::Bed => {
                self.density_test(lot, when).map(|test| test.rate)
            }
        }
    }

    fn filling(&self, run: LotId) -> impl Iterator<Item = &Flow> {
        let counted = self
            .product(run)
            .is_some_and(|product| product.net.unit() == Unit::Pieces);
        let inflows = self.lot(run).inflows.iter().map(|flow| self.flow(*flow));
        inflows.filter(move |flow| match flow.class {
            Class::Bulk | Class::Whole => !counted,
            Class::Live => counted,
            Class::Touch => false,
        })
    }

    fn rate_test(&self, lot: LotId, name: &str, when: Moment) -> Option<RateTest<'_>> {
        let tests = self.tests_of(lot, name);
        let mut rates: Vec<RateTest<'_>> = tests
            .filter_map(|(when, facts)| {
                let rate = Rate::read(&facts.value)?;
                Some(RateTest { when, rate, facts })
            })
            .collect();
        rates.sort_by_key(|test| (test.when.earliest(), test.when.latest()));
        let before = rates.iter().rposition(|test| test.when.could_precede(when));
        rates.into_iter().nth(before.unwrap_or_default())
    }

    /// Returns the unstruck tests of a lot by that name, in the order of recording.
    fn tests_of(&self, lot: LotId, name: &str) -> impl Iterator<Item = (Moment, &TestFacts)> {
        let mut places = self.lot(lot).tests.clone();
        places.sort_unstable();
        places.into_iter().filter_map(move |place| {
            let entry = &self.entries[place];
            match &entry.event {
                Some(Event::Test { facts, .. }) if *facts.test == *name => {
                    Some((entry.when, &**facts))
                }
                Some(_) | None => None,
            }
        })
    }
}

fn known(flow: &Flow) -> Option<Quantity> {
    match flow.much {
        Much::Amount(amount) => amount.quantity(),
        Much::Divided(_) | Much::Portion(_) | Much::All => None,
    }
}
