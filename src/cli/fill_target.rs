//! `castlot fill-target`: how much a pack is to be filled with, so that it holds what it declares.

use crate::desk::densities;
use crate::farm::{Farm, Fills, LotId, Product, RateTest, Settings, Tenths, Unit};
use crate::sheets::SheetError;
use crate::trade::{PastRun, margin, rule};

use super::failure::Failure;
use super::fill_target_page::Aimed;
use super::named::Asking;
use super::shed::Shed;
use super::{hint, out, voice};

/// Say how much to fill into a pack of a product, with the margin that the farm's own fills show is needed.
///
/// Litres are turned into kilograms by the density test of the batch, and worms into grams by its per_kg test. The margin
/// comes from the runs of the product that were packed and weighed before: how much packs differ, and how much less they
/// were found to hold than the scales said.
///
/// Example: `castlot fill-target bag20 blend-19`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The product, as castlot.toml has it.
    #[arg(value_name = "PRODUCT")]
    product: String,
    /// The batch that is filled in: its code or ref.
    #[arg(value_name = "LOT")]
    lot: String,
    /// How many packs are to be filled; as many as the last run had where it is not given.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    packs: Option<u32>,
}

/// No more runs are looked back on than so many: the way a bench fills changes.
const LOOK_BACK: usize = 20;

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let product = product(&settings, &args.product)?;
    let asking = Asking {
        farm: &farm,
        settings: &settings,
        command: "fill-target",
    };
    let (lot, _) = asking.find_lot(&args.lot, None)?;
    let now = shed.stamp(&settings).now;
    let runs = past_runs(&farm, product);
    let packs = args.packs.or_else(|| last_count(&farm, &runs)).unwrap_or(1);
    let past = runs.iter().map(|(run, fills)| past_run(&farm, *run, fills));
    let past: Vec<PastRun> = past.collect();
    let margin = margin(
        rule(&settings.country, product.net),
        product.net,
        packs,
        &past,
    );
    let rate = rate(&farm, lot, product.net.unit(), now)?;
    let aim = Tenths::of(product.net).to_units() + margin.total;
    let (fill, fill_unit) = on_the_scales(aim, product.net.unit(), rate);
    for line in doubts(&farm, lot, product, now.day(), &settings) {
        voice::note(format!("warning: {line}"));
    }
    let aimed = Aimed {
        farm: &farm,
        product,
        lot,
        packs,
        margin: &margin,
        rate,
        aim,
        fill,
        fill_unit,
    };
    out::print(&if shed.json {
        aimed.json()
    } else {
        aimed.page(&settings)
    })
}

fn product<'a>(settings: &'a Settings, key: &str) -> Result<&'a Product, Failure> {
    let found = settings.products.get(key).map(|setting| &setting.product);
    found.ok_or_else(|| {
        let error = SheetError::NoSuchProduct {
            typed: key.to_owned(),
            known: settings.products.keys().cloned().collect(),
        };
        let hints = hint::of_cell(&error);
        let failure = Failure::refused(error.to_string());
        hints.into_iter().fold(failure, Failure::hint)
    })
}

/// Returns the weighed runs of a product as it is declared now, the last packed last, no more than are looked back on.
fn past_runs(farm: &Farm, product: &Product) -> Vec<(LotId, Fills)> {
    let same = |other: &Product| other.key == product.key && other.net == product.net;
    let mut runs = farm.all_fills();
    runs.retain(|(run, fills)| !fills.values.is_empty() && farm.product(*run).is_some_and(same));
    runs.sort_by_key(|(run, _)| (farm.lot(*run).when.earliest(), *run));
    runs.split_off(runs.len().saturating_sub(LOOK_BACK))
}

fn last_count(farm: &Farm, runs: &[(LotId, Fills)]) -> Option<u32> {
    let (last, _) = runs.last()?;
    Some(farm.lot(*last).shelf.as_ref()?.made())
}

/// Returns what a run was found to hold, and what the scales said was filled into a pack of it.
fn past_run(farm: &Farm, run: LotId, fills: &Fills) -> PastRun {
    // What was turned by a density tells nothing of how that density was off.
    let told = !fills.turned;
    PastRun {
        values: fills.values.clone(),
        filled: told.then(|| farm.filled_by_the_scales(run)).flatten(),
    }
}

/// Returns the rate that turns what is declared into grams; none where grams are declared, or millilitres poured.
fn rate(
    farm: &Farm,
    lot: LotId,
    unit: Unit,
    now: crate::farm::Moment,
) -> Result<Option<RateTest<'_>>, Failure> {
    let (test, found) = match unit {
        Unit::Grams => return Ok(None),
        Unit::Millilitres if farm.lot(lot).stock.unit == Some(Unit::Millilitres) => {
            return Ok(None);
        }
        Unit::Millilitres => ("density", farm.density_test(lot, now)),
        Unit::Pieces => ("per_kg", farm.per_kg_test(lot, now)),
    };
    let code = farm.lot(lot).code;
    let none = || {
        let (value, unit) = if test == "density" {
            ("GRAMS", "g/L")
        } else {
            ("PIECES", "pieces")
        };
        Failure::refused(format!("{code} has no {test} test")).hint(format!(
            "measure it, and note it: `castlot record test --lot {code} --test {test} --value {value} --unit {unit}`"
        ))
    };
    found.map(Some).ok_or_else(none)
}

/// Turns what is aimed at into what the scales are to show, rounded up.
pub(super) fn on_the_scales(aim: f64, unit: Unit, rate: Option<RateTest<'_>>) -> (u64, Unit) {
    // Rounding must not make a gram of the noise of a division.
    const NOISE: f64 = 1e-6;
    let up = |value: f64| (value - NOISE).ceil().max(0.0) as u64;
    match (
        unit,
        rate.map(|test| test.rate.thousandths() as f64 / 1000.0),
    ) {
        (Unit::Millilitres, Some(grams_a_litre)) => (up(aim * grams_a_litre / 1000.0), Unit::Grams),
        (Unit::Pieces, Some(per_kg)) => (up(aim * 1000.0 / per_kg), Unit::Grams),
        (unit, _) => (up(aim), unit),
    }
}

fn doubts(
    farm: &Farm,
    lot: LotId,
    product: &Product,
    day: jiff::civil::Date,
    settings: &Settings,
) -> Vec<String> {
    match (product.net.unit(), farm.lot(lot).stock.unit) {
        (Unit::Millilitres, Some(Unit::Millilitres)) => Vec::new(),
        (Unit::Millilitres, _) => densities::doubts(farm, lot, day, settings),
        (Unit::Grams | Unit::Pieces, _) => Vec::new(),
    }
}
