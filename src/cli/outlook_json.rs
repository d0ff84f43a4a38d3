//! An outlook as JSON.
//!
//! `{"day", "gap_days", "g_per_l", "density_tests", "beds", "herds", "tubs", "weeks", "all", "feed", "best_by", "old"}`. A week and `all`:
//! `from` (a day, null in `all`), `castings_g`, `castings_ml`, `sieved` and `spare_g` (of each herd; null where only the rule of thumb is gone by), each figure with `low`, `middle`,
//! `high` (quantiles 0.1, 0.5, 0.9) and `mean`. A bed: `bin`, `code`, `herd` (its place in `herds`), `age_days`. A herd: `species`,
//! `basis` and `yields` (`species`, `farm` or `common practice`), `days` (its past cycles), `cycles` (those of which all is
//! known: `days`, `castings_g`, `worms_in_g`, `worms_out_g`), `length` (low, middle and high of `days`). A tub: `product`, `herd`,
//! `worms_g`. `feed`: `weekly_g` (or null), `weeks_g` (the latest first), `in_store_g`, `held_g`, `unknown` (lots). `best_by`: runs as in
//! `castlot stock --json`. `old`: `code`, `ref`, `sieved`, `days`, `left`, `unit`, `held`.

use serde::Serialize;

use crate::farm::Farm;
use crate::trade::{Past, Spread, Week};

use super::herds::Herd;
use super::out;
use super::outlook_work::{Old, Outlook};
use super::stock::unit_word;
use super::stock_run::Run;

#[derive(Serialize)]
struct All<'a> {
    day: String,
    gap_days: u32,
    g_per_l: Option<f64>,
    density_tests: usize,
    beds: Vec<BedOf>,
    herds: Vec<HerdOf<'a>>,
    tubs: Vec<TubOf<'a>>,
    weeks: Vec<WeekOf>,
    all: WeekOf,
    feed: FeedOf<'a>,
    best_by: &'a [Run],
    old: Vec<OldOf>,
}

#[derive(Serialize)]
struct Figures {
    low: f64,
    middle: f64,
    high: f64,
    mean: f64,
}

#[derive(Serialize)]
struct BedOf {
    bin: String,
    code: String,
    herd: usize,
    age_days: u32,
}

#[derive(Serialize)]
struct HerdOf<'a> {
    species: Option<&'a str>,
    basis: &'static str,
    yields: &'static str,
    length: Option<Figures>,
    days: &'a [u32],
    cycles: Vec<CycleOf>,
}

#[derive(Serialize)]
struct CycleOf {
    days: u32,
    castings_g: f64,
    worms_in_g: f64,
    worms_out_g: f64,
}

#[derive(Serialize)]
struct TubOf<'a> {
    product: &'a str,
    herd: usize,
    worms_g: f64,
}

#[derive(Serialize)]
struct WeekOf {
    from: Option<String>,
    castings_g: Figures,
    castings_ml: Figures,
    sieved: Figures,
    spare_g: Vec<Option<Figures>>,
}

#[derive(Serialize)]
struct FeedOf<'a> {
    weekly_g: Option<Figures>,
    weeks_g: &'a [f64],
    in_store_g: f64,
    held_g: f64,
    unknown: usize,
}

#[derive(Serialize)]
struct OldOf {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    sieved: String,
    days: i32,
    left: Option<u64>,
    unit: Option<&'static str>,
    held: bool,
}

/// Writes it.
pub fn text(farm: &Farm, ahead: &Outlook) -> String {
    let feed = &ahead.feed;
    let weeks = ahead.forecast.weeks.iter().enumerate();
    let beds = ahead.herds.beds.iter().map(|bed| BedOf {
        bin: bed.bin.to_string(),
        code: farm.lot(bed.bed).code.to_string(),
        herd: bed.herd,
        age_days: bed.age,
    });
    let tubs = ahead.tubs.iter().map(|tub| TubOf {
        product: &tub.product,
        herd: tub.herd,
        worms_g: tub.grams,
    });
    out::json(&All {
        day: ahead.today.to_string(),
        gap_days: ahead.gap,
        g_per_l: ahead.litre.map(|(litre, _)| litre),
        density_tests: ahead.litre.map_or(0, |(_, tests)| tests),
        beds: beds.collect(),
        herds: ahead.herds.herds.iter().map(herd).collect(),
        tubs: tubs.collect(),
        weeks: weeks
            .map(|(at, week)| week_of(ahead, Some(ahead.starts(at).to_string()), week))
            .collect(),
        all: week_of(ahead, None, &ahead.forecast.whole),
        feed: FeedOf {
            weekly_g: feed.weekly.map(figures),
            weeks_g: &feed.weeks,
            in_store_g: feed.in_store,
            held_g: feed.held,
            unknown: feed.unknown,
        },
        best_by: &ahead.best_by,
        old: ahead.old.iter().map(|old| old_of(farm, old)).collect(),
    })
}

fn figures(spread: Spread) -> Figures {
    Figures {
        low: spread.low,
        middle: spread.middle,
        high: spread.high,
        mean: spread.mean,
    }
}

fn herd(herd: &Herd) -> HerdOf<'_> {
    let days: Vec<f64> = herd.days.iter().copied().map(f64::from).collect();
    let cycle = |past: &Past| CycleOf {
        days: past.days,
        castings_g: past.castings,
        worms_in_g: past.worms_in,
        worms_out_g: past.worms_out,
    };
    HerdOf {
        species: herd.species.as_deref(),
        basis: herd.basis.word(),
        yields: herd.yields.word(),
        length: Spread::of(&days).map(figures),
        days: &herd.days,
        cycles: herd.past.iter().map(cycle).collect(),
    }
}

fn week_of(ahead: &Outlook, from: Option<String>, week: &Week) -> WeekOf {
    let millilitres = |grams: f64| ahead.litres(grams) * 1_000.0;
    let herds = ahead.herds.herds.iter().zip(&week.spare);
    let spare = herds.map(|(herd, spare)| herd.tells_of_worms().then(|| figures(*spare)));
    WeekOf {
        from,
        castings_g: figures(week.castings),
        castings_ml: figures(week.castings.map(millilitres)),
        sieved: figures(week.sieved),
        spare_g: spare.collect(),
    }
}

fn old_of(farm: &Farm, old: &Old) -> OldOf {
    let lot = farm.lot(old.lot);
    OldOf {
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        sieved: old.sieved.to_string(),
        days: old.days,
        left: old.left,
        unit: lot.stock.unit.map(unit_word),
        held: old.held,
    }
}
