//! `castlot round`: what is due today, in walking order; and a round sheet taken back.
//!
//! The keys of `--json` stand in `round_json.rs`.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::desk::round::Drawn;
use crate::farm::{Farm, Moment, Quantity, Settings, Unit};
use crate::trace::held;
use crate::trade::{Due, RoundName, Stop, lot_name, short_species};

use super::failure::Failure;
use super::phrase::count;
use super::shed::Shed;
use super::table::{Set, Table};
use super::{out, round_json, round_record};

/// List what is due today, in walking order, and take a round sheet back.
///
/// A bed is due when its last feed is cleared or should be by now. While food is left it is not fed, and after two days
/// it is listed to be looked at. Each bed with its age in days, its last three feeds (days ago, and how much), what was
/// left of the last, and what to do. How often and how much is told in castlot.toml, under `[round]` and
/// `[feeding."eisenia fetida"]`, or else goes by the usual figures of the species.
///
/// Example: `castlot round --rack R1`
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub struct Args {
    #[command(subcommand)]
    then: Option<Then>,
    #[command(flatten)]
    which: Which,
    /// Leave out what is not due.
    #[arg(long)]
    due: bool,
}

#[derive(Debug, clap::Subcommand)]
enum Then {
    Record(round_record::Args),
}

/// Which round.
#[derive(Debug, clap::Args)]
pub struct Which {
    /// Only the beds on this rack.
    #[arg(long, value_name = "RACK")]
    pub rack: Option<String>,
    /// As it is on this day; today, where nothing is said.
    #[arg(long, value_name = "DAY")]
    pub day: Option<String>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    if let Some(Then::Record(args)) = &args.then {
        return round_record::run(shed, args);
    }
    let settings = shed.settings()?;
    let name = args.which.name(shed, &settings)?;
    let whole = shed.open()?;
    let drawn = Drawn::of(&whole, &settings, name)?;
    out::print(&if shed.json {
        round_json::text(&drawn)
    } else {
        page(&drawn, args.due)
    })
}

impl Which {
    /// Returns the name of the round that is meant.
    pub fn name(&self, shed: &Shed, settings: &Settings) -> Result<RoundName, Failure> {
        let day = match &self.day {
            None => shed.stamp(settings).now.day(),
            Some(typed) => Moment::read(typed, settings.dates, &settings.zone)
                .map_err(|error| Failure::refused(error.to_string()))?
                .day(),
        };
        let rack = self.rack.as_deref();
        let rack = rack.map(|rack| rack.trim().to_ascii_uppercase());
        Ok(RoundName { day, rack })
    }
}

fn page(drawn: &Drawn, only_due: bool) -> String {
    let stops = drawn.stops.iter().filter(|stop| !only_due || stop.is_due());
    let stops: Vec<&Stop> = stops.collect();
    let mut text = String::new();
    let rack = |stop: &&Stop| stop.place.as_ref().map(|place| place.rack().to_owned());
    for here in stops.chunk_by(|one, other| rack(one) == rack(other)) {
        let name = here.first().and_then(rack);
        text += &format!("\n{}\n", name.as_deref().unwrap_or("no place noted"));
        text += &table(drawn, here).to_string();
    }
    text += &format!("\n{}\n", summary(drawn));
    text += &bucket(drawn).unwrap_or_default();
    text.trim_start().to_owned()
}

fn table(drawn: &Drawn, stops: &[&Stop]) -> Table {
    let mut table = Table::new(&[
        ("bin", Set::Whole),
        ("species", Set::Whole),
        ("days", Set::Number),
        ("fed, days ago", Set::Whole),
        ("left", Set::Whole),
        ("give", Set::Text),
        ("why", Set::Text),
    ]);
    let holds = held(&drawn.farm);
    for stop in stops {
        let ago = |day: Date| (drawn.name.day - day).get_days();
        let feeds = stop.feeds(&drawn.farm).into_iter();
        let feeds = feeds.map(|fed| format!("{}:{}", ago(fed.day), fed.amount));
        let feeds: Vec<String> = feeds.collect();
        let hold = if holds.contains_key(&stop.bed) {
            "HOLD, "
        } else {
            ""
        };
        table.row(vec![
            stop.bin.to_string(),
            short_species(stop.species.as_deref().unwrap_or_default()),
            stop.days.to_string(),
            feeds.join(" "),
            found(&drawn.farm, stop),
            match &stop.due {
                Due::Feed { .. } => stop.give.in_words(&drawn.farm),
                Due::Look { .. } => "look".to_owned(),
                Due::NotYet { .. } => "not yet".to_owned(),
            },
            format!("{hold}{}", stop.why_in_days(drawn.name.day)),
        ]);
    }
    table
}

/// Writes what was found of the last feed, if somebody looked since.
fn found(farm: &Farm, stop: &Stop) -> String {
    let fed = stop
        .visits
        .feeds
        .first()
        .map(|place| farm.entries()[*place].when.day());
    let left = stop.left.filter(|(_, on)| fed.is_none_or(|fed| *on >= fed));
    left.map_or_else(String::new, |(left, _)| left.to_string())
}

fn summary(drawn: &Drawn) -> String {
    let (mut feed, mut look, mut next) = (0_u64, 0_u64, None::<Date>);
    for stop in &drawn.stops {
        match &stop.due {
            Due::Feed { .. } => feed += 1,
            Due::Look { .. } => look += 1,
            Due::NotYet { next: on, .. } => next = Some(next.map_or(*on, |next| next.min(*on))),
        }
    }
    let beds = count(drawn.stops.len() as u64, "bed", "beds");
    let next = next.map_or_else(String::new, |next| {
        format!("; of the others the next on {next}")
    });
    format!(
        "round {}: {feed} of {beds} to feed, {look} to look at{next}",
        drawn.name
    )
}

/// Adds up what is to be given of each lot, and how much of it there is.
fn bucket(drawn: &Drawn) -> Option<String> {
    let mut wanted = BTreeMap::new();
    for stop in &drawn.stops {
        if let (Due::Feed { .. }, Some(lot), Some(amount)) =
            (&stop.due, stop.give.lot, stop.give.amount)
            && amount.unit() == Unit::Grams
        {
            *wanted.entry(lot).or_insert(0_u64) += amount.value();
        }
    }
    let lines = wanted.into_iter().map(|(id, grams)| {
        let (lot, name) = (drawn.farm.lot(id), lot_name(&drawn.farm, id));
        let wanted = Quantity::new(grams, Unit::Grams);
        let left = lot.stock.left().map_or_else(
            || "nobody knows how much".to_owned(),
            |left| left.to_string(),
        );
        format!("{wanted} of {name}, of which {left} is left\n")
    });
    let lines: String = lines.collect();
    (!lines.is_empty()).then_some(lines)
}
