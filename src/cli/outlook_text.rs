//! An outlook in words and rows, which page and paper share.

use crate::farm::{Farm, Quantity, Unit};
use crate::papers::{WeekBar, WormTable};
use crate::trade::{Spread, Week, short_species};

use super::herds::Herd;
use super::outlook_work::{OLD_DAYS, Outlook};
use super::phrase::{count, listed};

/// Returns the heading.
pub fn title(ahead: &Outlook) -> String {
    let weeks = count(ahead.forecast.weeks.len(), "week", "weeks");
    format!("Outlook from {} for {weeks}", ahead.today)
}

/// Returns the weeks' bars.
pub fn bars(ahead: &Outlook) -> Vec<WeekBar> {
    let weeks = ahead.forecast.weeks.iter().enumerate();
    weeks
        .map(|(at, week)| WeekBar {
            from: ahead.starts(at).to_string(),
            beds: whole(week.sieved.middle),
            castings: kilograms(week.castings.middle),
            between: between(week.castings),
            litres: litres(ahead, week.castings.middle),
            spread: [week.castings.low, week.castings.middle, week.castings.high],
        })
        .collect()
}

/// Returns the row of all weeks together.
pub fn total(ahead: &Outlook) -> [String; 4] {
    let whole_of = &ahead.forecast.whole;
    [
        whole(whole_of.sieved.middle),
        kilograms(whole_of.castings.middle),
        between(whole_of.castings),
        litres(ahead, whole_of.castings.middle),
    ]
}

/// Returns the table of worms and tubs, of the herds whose past tells of them.
pub fn worms(ahead: &Outlook) -> WormTable {
    let herds = ahead.herds.herds.iter().enumerate();
    let herds: Vec<(usize, &Herd)> = herds.filter(|(_, herd)| herd.tells_of_worms()).collect();
    let mut headings = vec!["from".to_owned()];
    for (at, herd) in &herds {
        headings.push(format!("{}, kg", name(herd)));
        headings.extend(tubs(ahead, *at).map(|tub| tub.product.clone()));
    }
    let row = |from: String, week: &Week| {
        let mut cells = vec![from];
        for (at, _) in &herds {
            let spare = week.spare[*at];
            let kg = |grams: f64| kilograms(grams).trim_end_matches("kg").to_owned();
            let (low, high) = (kg(spare.low), kg(spare.high));
            cells.push(format!("{} ({low} to {high})", kg(spare.middle)));
            cells.extend(tubs(ahead, *at).map(|tub| {
                let each = |grams: f64| whole((grams / tub.grams).floor().max(0.0));
                let (low, high) = (each(spare.low), each(spare.high));
                format!("{} ({low}-{high})", each(spare.middle))
            }));
        }
        cells
    };
    let weeks = ahead.forecast.weeks.iter().enumerate();
    let mut rows: Vec<Vec<String>> = weeks
        .map(|(at, week)| row(ahead.starts(at).to_string(), week))
        .collect();
    rows.push(row("all".to_owned(), &ahead.forecast.whole));
    WormTable { headings, rows }
}

fn tubs(ahead: &Outlook, herd: usize) -> impl Iterator<Item = &super::outlook_work::Tub> {
    ahead.tubs.iter().filter(move |tub| tub.herd == herd)
}

fn name(herd: &Herd) -> String {
    let species = herd.species.as_deref();
    species.map_or_else(|| "species not noted".to_owned(), short_species)
}

/// Writes kilograms to the tenth.
pub fn kilograms(grams: f64) -> String {
    let tenths = (grams / 100.0).round() / 10.0;
    // Never `-0.0`.
    format!("{:.1}kg", tenths + 0.0)
}

fn between(spread: Spread) -> String {
    let low = kilograms(spread.low);
    let low = low.trim_end_matches("kg");
    format!("{low} to {}", kilograms(spread.high))
}

fn litres(ahead: &Outlook, grams: f64) -> String {
    format!("{:.1}L", ahead.litres(grams))
}

fn whole(number: f64) -> String {
    format!("{number:.0}")
}

/// Returns what is to be said beside the tables, under a heading each.
pub fn notes(farm: &Farm, ahead: &Outlook) -> Vec<(&'static str, Vec<String>)> {
    let notes = [
        ("Feed", feed(ahead)),
        ("Best by", best_by(ahead)),
        ("Old castings", old(farm, ahead)),
        ("How it was worked out", method(ahead)),
    ];
    notes
        .into_iter()
        .filter(|(_, lines)| !lines.is_empty())
        .collect()
}

fn feed(ahead: &Outlook) -> Vec<String> {
    let feed = &ahead.feed;
    let Some(weekly) = feed.weekly else {
        return vec!["nothing was fed in a whole week yet".to_owned()];
    };
    let weeks = ahead.forecast.weeks.len();
    let all = weekly.map(|grams| grams * weeks as f64);
    let mut lines = vec![format!(
        "needed: {} a week ({}), as in the last {}; {} in {}",
        kilograms(weekly.middle),
        between(weekly),
        count(feed.weeks.len(), "week", "weeks"),
        kilograms(all.middle),
        count(weeks, "week", "weeks"),
    )];
    let held = if feed.held > 0.0 {
        format!(", and {} on hold", kilograms(feed.held))
    } else {
        String::new()
    };
    let lasts = feed.lasts().map_or_else(String::new, |(low, high)| {
        format!(": it lasts {low:.1} to {high:.1} weeks")
    });
    lines.push(format!(
        "in store: {} of manure, feedstock and mixed feed{held}{lasts}",
        kilograms(feed.in_store)
    ));
    if all.middle > feed.in_store {
        let missing = kilograms(all.middle - feed.in_store);
        lines.push(format!("to be had before the end: {missing}"));
    }
    if feed.unknown > 0 {
        let lots = count(feed.unknown, "lot", "lots");
        lines.push(format!("nobody knows what is left of {lots} more"));
    }
    lines
}

fn best_by(ahead: &Outlook) -> Vec<String> {
    let line = |run: &super::stock_run::Run| {
        let name = run.mark.as_ref().unwrap_or(&run.code);
        let days = run.best_by_in.unwrap_or_default();
        let when = match days {
            ..0 => format!("past for {}", count(days.unsigned_abs(), "day", "days")),
            0 => "today".to_owned(),
            1.. => format!("in {}", count(days.unsigned_abs(), "day", "days")),
        };
        let kept = if run.kept() > 0 {
            ", not to be sold"
        } else {
            ""
        };
        format!(
            "{}, {when}: {} of {} ({name}){kept}",
            run.best_by.as_deref().unwrap_or_default(),
            count(run.numbers.in_store, "pack", "packs"),
            run.product,
        )
    };
    ahead.best_by.iter().map(line).collect()
}

fn old(farm: &Farm, ahead: &Outlook) -> Vec<String> {
    let line = |old: &super::outlook_work::Old| {
        let lot = farm.lot(old.lot);
        let left = old.left.zip(lot.stock.unit);
        let left = left.map_or_else(
            || "?".to_owned(),
            |(left, unit)| Quantity::new(left, unit).to_string(),
        );
        let mark = lot.mark.as_ref();
        let name = mark.map_or_else(|| lot.code.to_string(), ToString::to_string);
        let held = if old.held { ", on hold" } else { "" };
        format!(
            "{left} of {name}, sieved on {}, {} days ago{held}",
            old.sieved, old.days
        )
    };
    let mut lines: Vec<String> = ahead.old.iter().map(line).collect();
    let sum: u64 = ahead.old.iter().filter_map(|old| grams(farm, old)).sum();
    if lines.len() > 1 {
        let sum = Quantity::new(sum, Unit::Grams);
        lines.push(format!("{sum} in all, {OLD_DAYS} days old or more"));
    }
    lines
}

fn grams(farm: &Farm, old: &super::outlook_work::Old) -> Option<u64> {
    old.left
        .filter(|_| farm.lot(old.lot).stock.unit == Some(Unit::Grams))
}

fn method(ahead: &Outlook) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    if ahead.herds.beds.is_empty() {
        return lines;
    }
    for (at, herd) in ahead.herds.herds.iter().enumerate() {
        let beds = ahead.herds.beds.iter().filter(|bed| bed.herd == at);
        let beds = count(beds.count(), "bed", "beds");
        let yields = match herd.yields.cycles() {
            0 => "two kilograms a bed, common practice; nothing tells of its worms".to_owned(),
            _ => herd.yields.told(),
        };
        lines.push(format!("{}: {beds}, from {yields}", name(herd)));
    }
    let gap = match ahead.gap {
        0 => "on the same day".to_owned(),
        days => format!("{} later", count(days, "day", "days")),
    };
    lines.push(format!(
        "every bin is bedded up again {gap}; seasons are taken for alike"
    ));
    lines.push(match ahead.litre {
        Some((litre, tests)) => format!(
            "a litre of castings: {litre:.0} g, the middle of {}",
            count(tests, "test", "tests")
        ),
        None => "a litre of castings: taken for a kilogram, none was measured".to_owned(),
    });
    if ahead.herds.herds.iter().any(Herd::tells_of_worms) {
        let worms = "worms: taken out less put into beds again; tubs: as many as that fills, if all goes into them";
        lines.push(worms.to_owned());
    }
    let without: Vec<String> = ahead
        .herds
        .without_worms
        .iter()
        .map(ToString::to_string)
        .collect();
    if !without.is_empty() {
        let bins = listed(&without);
        lines.push(format!("left out, as no worms were put in: {bins}"));
    }
    lines
}
