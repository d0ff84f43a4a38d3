//! What an outlook is made from: beds and past cycles, the weight of a litre, worms to a tub, feed, best-bys, old castings.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::farm::{
    BatchKind, Event, Farm, LotId, LotSort, PackKind, Rate, Settings, TestFacts, Unit,
};
use crate::trace::{flagged, gaps, held, lives};
use crate::trade::{Forecast, Growing, Past, forecast, quantile};

use super::herds::{Herds, herds, species_of};
use super::outlook_feed::{Feed, feed};
use super::stock::{Holds, left};
use super::stock_run::{self, Run};

/// What is to be expected.
pub struct Outlook {
    /// The first day of the first week.
    pub today: Date,
    /// Beds in use, and the past cycles they go by.
    pub herds: Herds,
    /// How many days bins stand empty between two beds.
    pub gap: u32,
    /// Castings, sievings and worms, week by week.
    pub forecast: Forecast,
    /// What a litre of castings weighs, in grams, and from how many tests; none where there is none.
    pub litre: Option<(f64, usize)>,
    /// Tubs that the farm sells, and what they are filled from.
    pub tubs: Vec<Tub>,
    /// Feed needed, and in store.
    pub feed: Feed,
    /// Runs with packs in store of which the best by is past or comes within the weeks, the longest past first.
    pub best_by: Vec<Run>,
    /// Castings in store that are old.
    pub old: Vec<Old>,
}

/// A product that is sold in tubs.
pub struct Tub {
    /// Its key in castlot.toml.
    pub product: String,
    /// Which herd its worms come from.
    pub herd: usize,
    /// What a tub's worms weigh, in grams.
    pub grams: f64,
}

/// Castings in store.
pub struct Old {
    /// The batch.
    pub lot: LotId,
    /// When the oldest castings in it were sieved.
    pub sieved: Date,
    /// How many days ago that was.
    pub days: i32,
    /// How much is left, in the batch's own unit; none where nobody knows.
    pub left: Option<u64>,
    /// Whether it is on hold.
    pub held: bool,
}

/// Castings are told of from so many days on: in one study, which is disputed, their quality was near unchanged to 60 days.
pub const OLD_DAYS: i32 = 60;
/// The latest so many tests are gone by.
const TESTS: usize = 10;

/// Looks ahead so many weeks.
pub fn outlook(farm: &Farm, settings: &Settings, today: Date, weeks: usize) -> Outlook {
    let herds = herds(farm, &lives(farm), today);
    let kinds: Vec<Vec<Past>> = herds.herds.iter().map(|herd| herd.past.clone()).collect();
    let beds: Vec<Growing> = herds
        .beds
        .iter()
        .map(|in_use| Growing {
            kind: in_use.herd,
            age: in_use.age,
        })
        .collect();
    let empty: Vec<f64> = gaps(farm).into_iter().map(f64::from).collect();
    // A number of days, from a middle of such numbers.
    let gap = quantile(&empty, 0.5).unwrap_or_default().round() as u32;
    let holds = Holds {
        held: held(farm),
        flagged: flagged(farm),
    };
    let litres = tests(farm, today, "density", |lot| {
        farm.lot(lot).sort == LotSort::Batch(BatchKind::Castings)
    });
    Outlook {
        today,
        gap,
        forecast: forecast(&kinds, &beds, gap, weeks),
        litre: quantile(&litres, 0.5).map(|middle| (middle, litres.len())),
        tubs: tubs(farm, settings, today, &herds),
        feed: feed(farm, &holds.held, today),
        best_by: best_by(farm, &holds, today, weeks),
        old: old(farm, &holds, today),
        herds,
    }
}

/// Returns the latest tests of some lots, of one name, up to a day.
fn tests(farm: &Farm, today: Date, name: &str, of: impl Fn(LotId) -> bool) -> Vec<f64> {
    let rate = |facts: &TestFacts| {
        let rate = Rate::read(&facts.value)?;
        (*facts.test == *name).then(|| rate.thousandths() as f64 / 1_000.0)
    };
    let entries = farm.order().iter().map(|place| &farm.entries()[*place]);
    let found = entries.filter_map(|entry| match &entry.event {
        Some(Event::Test { lot, facts }) if entry.when.day() <= today => {
            farm.lot_of(*lot).filter(|lot| of(*lot))?;
            rate(facts)
        }
        Some(_) | None => None,
    });
    let found: Vec<f64> = found.collect();
    found[found.len().saturating_sub(TESTS)..].to_vec()
}

/// Returns the tubs the farm sells: each goes by the species of the run that was last packed of it.
fn tubs(farm: &Farm, settings: &Settings, today: Date, herds: &Herds) -> Vec<Tub> {
    let mut last: BTreeMap<&str, LotId> = BTreeMap::new();
    for (id, lot) in farm.lots().filter(|(_, lot)| lot.when.day() <= today) {
        if let (LotSort::Run(PackKind::Tub), Some(product)) = (lot.sort, farm.product(id)) {
            last.insert(&product.key, id);
        }
    }
    let tub = |(key, run): (&str, LotId)| {
        let species = species_of(farm, run);
        let setting = settings.products.get(key)?;
        let herd = herds.herds.iter().position(|herd| herd.species == species);
        let net = setting.product.net.value() as f64;
        let grams = match setting.product.net.unit() {
            Unit::Grams => net,
            Unit::Millilitres => return None,
            Unit::Pieces => {
                let counts = tests(farm, today, "per_kg", |lot| {
                    species_of(farm, lot) == species
                });
                net * 1_000.0 / quantile(&counts, 0.5)?
            }
        };
        Some(Tub {
            product: key.to_owned(),
            herd: herd?,
            grams,
        })
    };
    last.into_iter().filter_map(tub).collect()
}

fn best_by(farm: &Farm, holds: &Holds, today: Date, weeks: usize) -> Vec<Run> {
    let horizon = i32::try_from(weeks * 7).unwrap_or(i32::MAX);
    let lots = farm.lots().map(|(id, _)| id);
    let mut runs = stock_run::runs(farm, lots, holds, today);
    runs.retain(|run| {
        run.numbers.in_store > 0 && run.best_by_in.is_some_and(|days| days <= horizon)
    });
    runs.sort_by(|a, b| (a.best_by_in, &a.code).cmp(&(b.best_by_in, &b.code)));
    runs
}

fn old(farm: &Farm, holds: &Holds, today: Date) -> Vec<Old> {
    let castings = farm
        .lots()
        .filter(|(_, lot)| lot.sort == LotSort::Batch(BatchKind::Castings));
    let old = castings.filter_map(|(lot, _)| {
        let left = left(farm, lot);
        let sieved = sieved(farm, lot);
        let days = (today - sieved).get_days();
        (left != Some(0) && days >= OLD_DAYS).then_some(Old {
            lot,
            sieved,
            days,
            left,
            held: holds.held.contains_key(&lot),
        })
    });
    let mut old: Vec<Old> = old.collect();
    old.sort_by_key(|old| (old.sieved, farm.lot(old.lot).code));
    old
}

/// Returns the day on which the oldest castings in a batch were sieved, through blends.
fn sieved(farm: &Farm, batch: LotId) -> Date {
    let lot = farm.lot(batch);
    let from = lot.inflows.iter().map(|flow| farm.flow(*flow).from);
    let blended =
        from.filter(|from| matches!(farm.lot(*from).sort, LotSort::Batch(BatchKind::Castings)));
    let days = blended.map(|from| sieved(farm, from));
    days.chain([lot.when.day()])
        .min()
        .expect("the batch's own day is there")
}

impl Outlook {
    /// Returns the first day of a week, counted from 0.
    pub fn starts(&self, week: usize) -> Date {
        let days = i64::try_from(week * 7).unwrap_or(i64::MAX);
        self.today.saturating_add(days.days())
    }

    /// Returns litres of so many grams of castings; a kilogram counts as a litre where nothing was measured.
    pub fn litres(&self, grams: f64) -> f64 {
        grams / self.litre.map_or(1_000.0, |(litre, _)| litre)
    }
}
