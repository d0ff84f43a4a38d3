//! What is to be said of the weight of a litre by which packs are filled: there is none, it is old, the batch was wet.

use crate::farm::{Entry, Event, Farm, LotId, LotSort, Settings, Unit};
use crate::trade::{DensityDoubt, DensityLimits, WaterTest, density_doubts};

use super::called::called_in_list;
use crate::farm::phrase::count;

/// Says it of the batches that entries fill into packs which declare litres, a line each.
pub fn words(farm: &Farm, entries: &[Entry], settings: &Settings) -> Vec<String> {
    let packed = entries.iter().filter_map(|entry| match &entry.event {
        Some(Event::Pack { lot, .. }) => farm.lot_of(lot.code),
        Some(_) | None => None,
    });
    packed
        .flat_map(|run| words_of_run(farm, run, settings))
        .collect()
}

/// Says it of the batches that a run was filled from, where it declares litres and they are weighed.
pub fn words_of_run(farm: &Farm, run: LotId, settings: &Settings) -> Vec<String> {
    let litres = farm
        .product(run)
        .is_some_and(|product| product.net.unit() == Unit::Millilitres);
    let packed = farm.lot(run).when;
    let sources = farm.filled_from(run).into_iter();
    let weighed = sources.filter(|lot| litres && is_weighed(farm, *lot));
    weighed
        .flat_map(|lot| doubts(farm, lot, packed.day(), settings))
        .collect()
}

/// Packs that are opened again are litres already.
fn is_weighed(farm: &Farm, lot: LotId) -> bool {
    let lot = farm.lot(lot);
    match lot.sort {
        LotSort::Run(_) | LotSort::Bed => false,
        LotSort::Delivery(_) | LotSort::Batch(_) => lot.stock.unit == Some(Unit::Grams),
    }
}

/// Says what speaks against going by the density of a lot on a day, a line each.
pub fn doubts(farm: &Farm, lot: LotId, day: jiff::civil::Date, settings: &Settings) -> Vec<String> {
    let name = called_in_list(farm, lot);
    let when = crate::farm::Moment::day_only(day);
    let Some(test) = farm.density_test(lot, when) else {
        return vec![format!(
            "{name} has no density test: nothing tells how many litres its kilograms are"
        )];
    };
    let water = farm.water_tests(lot).into_iter();
    let water: Vec<WaterTest> = water
        .map(|(when, per_cent)| WaterTest {
            day: when.day(),
            per_cent,
        })
        .collect();
    let limits = DensityLimits {
        days: settings.fills.density_days,
        wet_over: settings.fills.wet_over,
    };
    let doubts = density_doubts(test.when.day(), day, &water, limits);
    let told = doubts.into_iter().map(|doubt| told(doubt, limits));
    told.map(|told| format!("{name}: {told}")).collect()
}

fn told(doubt: DensityDoubt, limits: DensityLimits) -> String {
    let days = |days: i32| count(days.unsigned_abs(), "day", "days");
    match doubt {
        DensityDoubt::Old { days: old } => format!(
            "its density was measured {} before, and is old after {}; measure it again",
            days(old),
            count(limits.days, "day", "days")
        ),
        DensityDoubt::Late { days: late } => {
            format!("its density was measured only {} after", days(late))
        }
        DensityDoubt::Wet { water } => format!(
            "it was found wet on {} ({}% water, over {}%); a litre of it weighs less when it has dried",
            water.day, water.per_cent, limits.wet_over
        ),
        DensityDoubt::TestedSince { water } => format!(
            "its water was tested on {} ({}%), after its density; measure that again",
            water.day, water.per_cent
        ),
    }
}
