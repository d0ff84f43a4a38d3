//! A hatchery as JSON; `hatchery.rs` tells the keys.

use jiff::civil::Date;
use serde::Serialize;

use crate::farm::Farm;
use crate::trade::{Window, by_practice};

use super::hatchery::Batch;
use super::hatchery_page::counted;
use super::out;

#[derive(Serialize)]
struct All {
    day: String,
    batches: Vec<One>,
}

#[derive(Serialize)]
struct One {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    species: Option<String>,
    lifted: String,
    laid_from: String,
    beds: Vec<Bed>,
    temperature_c: Option<Heat>,
    seen: Days,
    sources: Vec<Source>,
    hatch: Option<Between>,
    breed: Option<Between>,
    practice: Practice,
}

#[derive(Serialize)]
struct Bed {
    bin: Option<String>,
    code: String,
    here: bool,
}

#[derive(Serialize)]
struct Heat {
    low: f64,
    high: f64,
}

#[derive(Serialize)]
struct Days {
    none_on: Option<String>,
    some_on: Option<String>,
    left_on: Option<String>,
    all_on: Option<String>,
}

#[derive(Serialize)]
struct Source {
    source: &'static str,
    heat: Option<&'static str>,
    known: Option<&'static str>,
    hatch: Between,
    breed: Option<Between>,
    fits: bool,
}

#[derive(Serialize)]
struct Between {
    from: String,
    to: String,
}

#[derive(Serialize)]
struct Practice {
    hatched: String,
    breed: Between,
}

/// Writes it.
pub fn text(farm: &Farm, batches: &[Batch], today: Date) -> String {
    out::json(&All {
        day: today.to_string(),
        batches: batches.iter().map(|batch| one(farm, batch)).collect(),
    })
}

fn between(window: Window) -> Between {
    Between {
        from: window.from.to_string(),
        to: window.to.to_string(),
    }
}

fn one(farm: &Farm, batch: &Batch) -> One {
    let lot = farm.lot(batch.lot);
    let day = |day: Option<Date>| day.map(|day| day.to_string());
    let (hatch, breed) = counted(batch);
    let (hatched, practised) = by_practice(batch.lifted);
    let beds = batch.beds.iter().map(|bed| {
        let bed = farm.lot(*bed);
        Bed {
            bin: bed.stays.last().map(|stay| stay.bin.to_string()),
            code: bed.code.to_string(),
            here: bed.ended.is_none(),
        }
    });
    let sources = batch.sources.iter().map(|(cycle, expected)| Source {
        source: cycle.source,
        heat: cycle.heat,
        known: cycle.known,
        hatch: between(expected.hatch),
        breed: expected.breed.map(between),
        fits: expected.fits,
    });
    One {
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        species: batch.species.clone(),
        lifted: batch.lifted.to_string(),
        laid_from: batch.laid.from.to_string(),
        beds: beds.collect(),
        temperature_c: batch.heat.map(|(low, high)| Heat { low, high }),
        seen: Days {
            none_on: day(batch.seen.none_on),
            some_on: day(batch.seen.some_on),
            left_on: day(batch.seen.left_on),
            all_on: day(batch.seen.all_on),
        },
        sources: sources.collect(),
        hatch: hatch.map(between),
        breed: breed.map(between),
        practice: Practice {
            hatched: hatched.to_string(),
            breed: between(practised),
        },
    }
}
