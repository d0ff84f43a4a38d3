//! `castlot bed-life`: how densely each bed is stocked, how long it has been running and when it should be ready to sieve,
//! and what the last checks say of its heat and moisture.
//!
//! `--json` prints `{"day": …, "beds": [...]}`, each with `bin`, `place`, `code`, `ref`, `species`, `since`, `days`, `worms_g`,
//! `worms_from` (`book`, or the day of the check that weighed them), `g_per_m2`, `stocking` (`thin`, `usual` or `crowded`),
//! `sieve` (`from`, `middle` and `to` as days, or null for a bed without worms; `overdue`; `basis`: `species`, `farm` or
//! `common practice`; `cycles`: how many past ones) and `look` (a line each).

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::desk::bed_look::look;
use crate::farm::{BedName, BinCode, CheckFacts, Event, Farm, LotCode, LotId, Moment};
use crate::trace::{Life, lives, weighed_worms};
use crate::trade::{Floor, quantile, waits};

use super::bed_life_page;
use super::failure::Failure;
use super::herds::{Basis, Herds, InUse, herds, species_of};
use super::named::Asking;
use super::out;
use super::shed::Shed;

/// Show how each bed lives: how densely it is stocked, when it should be ready to sieve, its heat and moisture.
///
/// Density goes by the worms put in less those taken out, or by a check that weighed them all (`--worms 1.2kg`); what bred
/// since is in no book. The days to sieve on are those within which eight in ten past cycles of the species would have
/// been, of those that took at least as long. With fewer than five past cycles: three to four weeks, common practice.
///
/// Example: `castlot bed-life A01..A04`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Bins or beds; all where none is named.
    #[arg(value_name = "BED")]
    beds: Vec<String>,
}

/// How a bed lives.
#[derive(Debug, Serialize)]
pub(super) struct BedLife {
    pub(super) bin: String,
    pub(super) place: Option<String>,
    pub(super) code: String,
    #[serde(rename = "ref")]
    pub(super) mark: Option<String>,
    pub(super) species: Option<String>,
    pub(super) since: String,
    pub(super) days: u32,
    pub(super) worms_g: Option<i64>,
    pub(super) worms_from: String,
    pub(super) g_per_m2: Option<u64>,
    pub(super) stocking: Option<&'static str>,
    pub(super) sieve: Option<Sieve>,
    pub(super) look: Vec<String>,
    #[serde(skip)]
    pub(super) basis: Option<Basis>,
}

/// When a bed should be ready to sieve.
#[derive(Debug, Serialize)]
pub(super) struct Sieve {
    pub(super) from: Option<String>,
    pub(super) middle: Option<String>,
    pub(super) to: Option<String>,
    pub(super) overdue: bool,
    pub(super) basis: &'static str,
    pub(super) cycles: usize,
}

#[derive(Serialize)]
struct All<'a> {
    day: String,
    beds: &'a [BedLife],
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let asking = Asking {
        farm: &farm,
        settings: &settings,
        command: "bed-life",
    };
    let wanted = wanted(asking, &args.beds)?;
    let today = shed.stamp(&settings).now.day();
    out::print(&text(&farm, shed, today, wanted.as_deref()))
}

pub(super) fn text(farm: &Farm, shed: &Shed, today: Date, wanted: Option<&[LotId]>) -> String {
    let beds = beds(farm, today, wanted);
    if shed.json {
        let day = today.to_string();
        out::json(&All { day, beds: &beds })
    } else {
        bed_life_page::page(&beds)
    }
}

/// Finds the beds that are asked for; none where all are.
fn wanted(asking: Asking<'_>, words: &[String]) -> Result<Option<Vec<LotId>>, Failure> {
    if words.is_empty() {
        return Ok(None);
    }
    let mut wanted = Vec::new();
    for word in crate::desk::words::beds(words)? {
        let (lot, _) = asking.find_lot(&word, None)?;
        let found = asking.farm.lot(lot);
        if found.bin().is_none() {
            let (code, is) = (found.code, found.sort.word());
            let what = if found.ended.is_some() {
                "a bed that has ended"
            } else {
                is
            };
            return Err(
                Failure::refused(format!("{code} is no bed in use, but {what}"))
                    .hint("see what is in use with `castlot beds`"),
            );
        }
        wanted.push(lot);
    }
    Ok(Some(wanted))
}

fn beds(farm: &Farm, today: Date, wanted: Option<&[LotId]>) -> Vec<BedLife> {
    let (lives, checks) = (lives(farm), last_checks(farm));
    let herds = herds(farm, &lives, today);
    let occupied = farm
        .walking_order()
        .into_iter()
        .filter_map(|bin| Some((bin, farm.bins()[&bin].bed?)));
    occupied
        .filter(|(_, bed)| wanted.is_none_or(|wanted| wanted.contains(bed)))
        .map(|(bin, bed)| {
            let seen = Seen {
                life: &lives[&bed],
                checks: checks.get(&farm.lot(bed).code).map_or(&[], Vec::as_slice),
            };
            one(farm, (bin, bed), &seen, (&herds, today))
        })
        .collect()
}

/// What is known of a bed.
struct Seen<'a> {
    life: &'a Life,
    checks: &'a [(Moment, &'a CheckFacts)],
}

impl Seen<'_> {
    /// Returns the worms in it, and where that is from.
    fn worms(&self) -> (Option<i64>, String) {
        let weighed = self.checks.iter().rev().find_map(|(when, facts)| {
            let grams = weighed_worms(facts.worms.as_deref()?)?;
            Some((*when, grams))
        });
        match weighed {
            Some((when, grams)) => (self.life.worms_since(when, grams), when.day().to_string()),
            None => (self.life.worms_now(), "book".to_owned()),
        }
    }
}

fn one(
    farm: &Farm,
    (bin, bed): (BinCode, LotId),
    seen: &Seen<'_>,
    (herds, today): (&Herds, Date),
) -> BedLife {
    let lot = farm.lot(bed);
    let standing = farm.bins()[&bin].standing.as_ref();
    let (worms, worms_from) = seen.worms();
    let floor = standing.and_then(|standing| {
        Some(Floor {
            length_mm: standing.facts.length_mm?,
            width_mm: standing.facts.width_mm?,
            depth_mm: standing.facts.depth_mm,
        })
    });
    let stocked = floor.zip(worms.and_then(|worms| u64::try_from(worms).ok()));
    let stocked = stocked.filter(|_| seen.life.has_worms() || worms_from != "book");
    let in_use = herds.beds.iter().find(|in_use| in_use.bed == bed);
    let species = species_of(farm, bed);
    let days = (today - seen.life.since.day()).get_days();
    BedLife {
        bin: bin.to_string(),
        place: standing.map(|standing| standing.place.to_string()),
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        since: seen.life.since.to_string(),
        days: u32::try_from(days).unwrap_or_default(),
        worms_g: worms,
        worms_from,
        g_per_m2: stocked.and_then(|(floor, worms)| floor.density(worms)),
        stocking: stocked.and_then(|(floor, worms)| Some(floor.stocking(worms)?.word())),
        sieve: in_use.map(|in_use| sieve(in_use, herds, today)),
        look: look(species.as_deref(), seen.checks),
        basis: in_use.map(|in_use| herds.herds[in_use.herd].basis),
        species,
    }
}

/// The chances between which the days to sieve on are told.
const EARLY: f64 = 0.1;
const LATE: f64 = 0.9;

fn sieve(in_use: &InUse, herds: &Herds, today: Date) -> Sieve {
    let herd = &herds.herds[in_use.herd];
    let waits = waits(herd.days.iter().copied(), in_use.age);
    // Days are told from the earlier whole one to the later.
    let on = |days: f64| {
        let span = jiff::Span::new().days(days as i64);
        today.saturating_add(span).to_string()
    };
    let at = |chance| quantile(&waits, chance);
    Sieve {
        from: at(EARLY).map(|days| on(days.floor())),
        middle: at(0.5).map(|days| on(days.round())),
        to: at(LATE).map(|days| on(days.ceil())),
        overdue: waits.is_empty(),
        basis: herd.basis.word(),
        cycles: herd.basis.cycles(),
    }
}

/// Returns the checks of every bed, in the order of events.
fn last_checks(farm: &Farm) -> BTreeMap<LotCode, Vec<(Moment, &CheckFacts)>> {
    let mut checks: BTreeMap<LotCode, Vec<(Moment, &CheckFacts)>> = BTreeMap::new();
    for place in farm.order() {
        let entry = &farm.entries()[*place];
        if let Some(Event::Check { bed, facts }) = &entry.event {
            let code = match bed {
                BedName::Bin(_) => continue,
                BedName::Bed(code) | BedName::Found { bed: code, .. } => *code,
            };
            checks.entry(code).or_default().push((entry.when, facts));
        }
    }
    checks
}

/// Returns the checks of one bed, in the order of events.
pub(super) fn checks_of(farm: &Farm, bed: LotId) -> Vec<(Moment, &CheckFacts)> {
    let code = farm.lot(bed).code;
    last_checks(farm).remove(&code).unwrap_or_default()
}
