//! `castlot tonnage`: deliveries of the last twelve months against limits that the farm has set itself.
//!
//! `--json` prints `{"day": …, "tonnage": [...]}`, each with `name`, `since`, `grams`, `limit`, `per_cent`, `level` (`below`,
//! `near` or `over`), `deliveries`, `guessed` and `unknown` (codes of deliveries of which nobody knows the weight).

use serde::Serialize;

use crate::desk::beside::weight;
use crate::farm::{Farm, Settings};
use crate::trace::{Level, Tonnage, tonnage};

use super::failure::Failure;
use super::out;
use super::phrase::{count, paragraph};
use super::shed::Shed;
use super::table::{Set, Table};

/// Show running twelve-month totals of deliveries against the farm's own limits.
///
/// The limits stand in castlot.toml under `[tonnage."HEADING"]`, which says what counts: kinds of deliveries, words in
/// their names, animals. They are whatever the farm enters; castlot knows of none. From 80 % on it says so, here and
/// whenever a delivery is recorded.
///
/// Example: `castlot tonnage`
#[derive(Debug, clap::Args)]
pub struct Args {}

#[derive(Serialize)]
struct All<'a> {
    day: String,
    tonnage: Vec<One<'a>>,
}

#[derive(Serialize)]
struct One<'a> {
    name: &'a str,
    since: String,
    grams: u64,
    limit: u64,
    per_cent: u64,
    level: &'static str,
    deliveries: usize,
    guessed: bool,
    unknown: Vec<String>,
}

/// Runs it.
pub fn run(shed: &Shed, _args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed))
}

fn text(farm: &Farm, settings: &Settings, shed: &Shed) -> String {
    let today = shed.stamp(settings).now.day();
    let totals = tonnage(farm, &settings.tonnage, today);
    if shed.json {
        return out::json(&All {
            day: today.to_string(),
            tonnage: totals.iter().map(one).collect(),
        });
    }
    let Some(first) = totals.first() else {
        let text = "castlot.toml sets no limits; give one under a heading of your own, as in [tonnage.\"manure\"] with kinds = [\"manure\"] and limit = \"6t\"";
        return paragraph(text, 0);
    };
    let head = format!("Deliveries from {} to {today}", first.since());
    format!("{head}\n{}{}", table(&totals), words(&totals))
}

fn one<'a>(total: &Tonnage<'a>) -> One<'a> {
    One {
        name: total.name,
        since: total.since().to_string(),
        grams: total.grams,
        limit: total.limit.grams,
        per_cent: total.per_cent(),
        level: total.level().word(),
        deliveries: total.deliveries,
        guessed: total.guessed,
        unknown: total.unknown.iter().map(ToString::to_string).collect(),
    }
}

fn table(totals: &[Tonnage<'_>]) -> String {
    let mut table = Table::new(&[
        ("", Set::Text),
        ("deliveries", Set::Number),
        ("total", Set::Number),
        ("limit", Set::Number),
        ("", Set::Number),
        ("", Set::Whole),
    ]);
    for total in totals {
        let guess = if total.guessed { "~" } else { "" };
        let level = match total.level() {
            Level::Below => "",
            Level::Near => "NEAR THE LIMIT",
            Level::Over => "OVER THE LIMIT",
        };
        table.row(vec![
            total.name.to_owned(),
            total.deliveries.to_string(),
            format!("{guess}{}", weight(total.grams)),
            weight(total.limit.grams),
            format!("{} %", total.per_cent()),
            level.to_owned(),
        ]);
    }
    table.to_string()
}

/// Tells of what could not be counted, and whose limits they are.
fn words(totals: &[Tonnage<'_>]) -> String {
    let mut text = String::new();
    for total in totals.iter().filter(|total| !total.unknown.is_empty()) {
        let codes: Vec<String> = total.unknown.iter().map(ToString::to_string).collect();
        let number = count(codes.len() as u64, "delivery", "deliveries");
        let line = format!(
            "{}: nobody knows what {number} weighed: {}",
            total.name,
            codes.join(", ")
        );
        text += &paragraph(&line, 0);
    }
    text + &paragraph(
        "The limits are the farm's own entry in castlot.toml; what may be asked of it changes, so look it up.",
        0,
    )
}
