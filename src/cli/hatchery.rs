//! `castlot hatchery`: when cocoons that were set aside should hatch, and when their young should breed.
//!
//! `--json` prints `{"day": …, "batches": [...]}`, each with `code`, `ref`, `species`, `lifted`, `laid_from`, `beds` (`bin`, `code`
//! and `here`: whether it is still in use), `temperature_c` (`low`, `high`, of checks of those beds, or null), `seen` (`none_on`,
//! `some_on`, `left_on`, `all_on`, each a day or null), `sources` (`source`, `heat`, `known`, `hatch` and `breed`, each with `from` and
//! `to` or null, and `fits`), `hatch`, `breed` (around all sources that fit) and `practice` (`hatched`, `breed`).

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{BatchKind, CheckFacts, Farm, LotId, LotSort, Moment};
use crate::trace::{Life, lives};
use crate::trade::{Expected, Laid, LifeCycle, Seen, Species, expected, life_cycles};

use super::bed_life::checks_of;
use super::failure::Failure;
use super::hatchery_json;
use super::hatchery_page;
use super::herds::species_of;
use super::named::Asking;
use super::out;
use super::shed::Shed;

/// Show when cocoons that were set aside should hatch, and when their young should breed, as ranges.
///
/// Each source is told apart, because they differ by a factor of two. What was noted in checks of the hatching bed narrows
/// them: `--worms 0` with cocoons there is none hatched, any other number some, and `--cocoons 0` all. The heat of those checks
/// is told beside the heat that a source's figures were found at.
///
/// Example: `castlot hatchery coc-1`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The batch of cocoons, or the bed they hatch in; all batches where none is named.
    #[arg(value_name = "BATCH")]
    batch: Option<String>,
}

/// A batch of cocoons.
pub(super) struct Batch {
    pub(super) lot: LotId,
    pub(super) species: Option<String>,
    pub(super) lifted: Date,
    pub(super) laid: Laid,
    /// The beds they were put into.
    pub(super) beds: Vec<LotId>,
    pub(super) heat: Option<(f64, f64)>,
    pub(super) seen: Seen,
    pub(super) sources: Vec<(&'static LifeCycle, Expected)>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let today = shed.stamp(&settings).now.day();
    let mut batches = batches(&farm);
    if let Some(name) = &args.batch {
        let asking = Asking {
            farm: &farm,
            settings: &settings,
            command: "hatchery",
        };
        let (lot, _) = asking.find_lot(name, None)?;
        batches.retain(|batch| batch.lot == lot || batch.beds.contains(&lot));
        if batches.is_empty() {
            let (code, is) = (farm.lot(lot).code, farm.lot(lot).sort.word());
            return Err(Failure::refused(format!(
                "{code} is no batch of cocoons, and no bed that cocoons were put into, but {is}"
            ))
            .hint("see all batches with `castlot hatchery`"));
        }
    }
    out::print(&if shed.json {
        hatchery_json::text(&farm, &batches, today)
    } else {
        hatchery_page::page(&farm, &batches, today)
    })
}

pub(super) fn batches(farm: &Farm) -> Vec<Batch> {
    let lives = lives(farm);
    let cocoons = farm
        .lots()
        .filter(|(_, lot)| lot.sort == LotSort::Batch(BatchKind::Cocoons));
    let mut batches: Vec<Batch> = cocoons.map(|(id, _)| batch(farm, id, &lives)).collect();
    batches.sort_by_key(|batch| (batch.lifted, farm.lot(batch.lot).code));
    batches
}

fn batch(farm: &Farm, id: LotId, lives: &BTreeMap<LotId, Life>) -> Batch {
    let lot = farm.lot(id);
    let lifted = lot.when.day();
    let from = lot.inflows.iter().map(|flow| farm.flow(*flow).from);
    let laid_from = from
        .filter_map(|bed| Some(lives.get(&bed)?.since.day()))
        .min();
    let laid = Laid {
        from: laid_from.unwrap_or(lifted),
        to: lifted,
    };
    let mut beds: Vec<LotId> = lot
        .outflows
        .iter()
        .filter_map(|flow| farm.flow(*flow).to)
        .filter(|to| farm.lot(*to).sort == LotSort::Bed)
        .collect();
    beds.dedup();
    // Only a bed without grown worms tells what came of the cocoons.
    let hatching = beds.iter().filter(|bed| !lives[*bed].has_worms());
    let checks: Vec<(Moment, &CheckFacts)> =
        hatching.flat_map(|bed| checks_of(farm, *bed)).collect();
    let seen = seen(&checks);
    let species = species_of(farm, id);
    let known = species.as_deref().and_then(Species::named);
    let sources = known.map(life_cycles).unwrap_or_default().iter();
    Batch {
        lot: id,
        lifted,
        laid,
        beds,
        heat: heat(&checks, seen.all_on),
        seen,
        sources: sources
            .map(|cycle| (cycle, expected(cycle, laid, seen)))
            .collect(),
        species,
    }
}

/// Reads the counts of young worms and of cocoons, once both were looked for: until all had hatched.
fn seen(checks: &[(Moment, &CheckFacts)]) -> Seen {
    let mut seen = Seen::default();
    for (when, facts) in checks {
        let day = when.day();
        let number = |text: &Option<Box<str>>| text.as_deref()?.trim().parse::<u32>().ok();
        let (worms, cocoons) = (number(&facts.worms), number(&facts.cocoons));
        if seen.all_on.is_some() {
            break;
        }
        match (worms, cocoons) {
            (Some(0), Some(1..)) => {
                seen.none_on = Some(day)
                    .filter(|_| seen.some_on.is_none())
                    .or(seen.none_on);
                seen.left_on = Some(day);
            }
            (Some(1..), Some(1..)) => {
                seen.some_on = seen.some_on.or(Some(day));
                seen.left_on = Some(day);
            }
            (Some(1..), Some(0)) => {
                seen.some_on = seen.some_on.or(Some(day));
                seen.all_on = Some(day);
            }
            (Some(1..), None) => seen.some_on = seen.some_on.or(Some(day)),
            (None, Some(1..)) => seen.left_on = Some(day),
            // Neither worms nor cocoons, or not looked for: it tells nothing of the hatch.
            (Some(0), Some(0) | None) | (None, Some(0) | None) => {}
        }
    }
    seen
}

/// Returns the lowest and the highest heat of checks, as long as cocoons were there.
fn heat(checks: &[(Moment, &CheckFacts)], until: Option<Date>) -> Option<(f64, f64)> {
    let checks = checks
        .iter()
        .filter(|(when, _)| until.is_none_or(|until| when.day() <= until));
    let readings = checks.filter_map(|(_, facts)| {
        let reading: f64 = facts.temperature_c.as_deref()?.trim().parse().ok()?;
        reading.is_finite().then_some(reading)
    });
    readings.fold(None, |range, reading| match range {
        None => Some((reading, reading)),
        Some((low, high)) => Some((reading.min(low), reading.max(high))),
    })
}

#[cfg(test)]
#[path = "hatchery_test.rs"]
mod tests;
