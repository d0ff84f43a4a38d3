//! What a person is told of permissions: runs that hold what none answers for, and permissions that soon end.
//!
//! It says whom to ask, and never that anything is allowed.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{Entry, Event, Farm, LotId, Material, Passage, Permission, Settings};
use crate::trace::Exposed;
use crate::trade::{in_words, material, whom_to_ask};

use super::called::called_in_list;
use crate::farm::phrase::{count, listed};

/// A permission is told of so many days before it ends (a choice of ours: asking again takes weeks).
pub const SOON_DAYS: i32 = 60;

/// No more deliveries than this are named in a sentence.
const NAMED: usize = 3;

/// What a run is made of that no permission answers for on the day it was packed.
pub type Unanswered = BTreeMap<Material, Vec<LotId>>;

/// Returns what each run is made of that no permission answers for on the day it was packed, in order of delivery;
/// all runs at once, because a search for each takes seconds where there are a thousand.
pub fn unanswered(farm: &Farm, settings: &Settings, runs: Vec<LotId>) -> Vec<(LotId, Unanswered)> {
    let mut found: Vec<_> = runs.iter().map(|run| (*run, Unanswered::new())).collect();
    if runs.is_empty() {
        return found;
    }
    let exposed = Exposed::of(farm, Passage::Part, runs);
    for (delivery, material) in deliveries(farm, settings) {
        let reached = exposed.reached_by(delivery);
        for (place, (run, materials)) in found.iter_mut().enumerate() {
            let day = farm.lot(*run).when.day();
            if reached.holds(place) && !is_answered(settings, material, day) {
                materials.entry(material).or_default().push(delivery);
            }
        }
    }
    found
}

fn is_answered(settings: &Settings, material: Material, day: Date) -> bool {
    let mut permissions = settings.permissions.values();
    permissions.any(|permission| permission.answers_for(material, day))
}

/// Returns the deliveries that a permission is asked for, in their order of time.
fn deliveries(farm: &Farm, settings: &Settings) -> Vec<(LotId, Material)> {
    let asked = farm.lots().filter_map(|(id, _)| {
        let material = material(farm.delivery(id)?, &settings.kitchen)?;
        Some((id, material))
    });
    let mut asked: Vec<_> = asked.collect();
    asked.sort_by_key(|(id, _)| {
        let when = farm.lot(*id).when;
        (when.earliest(), when.latest(), *id)
    });
    asked
}

/// Returns the words about runs just packed, a line each.
pub fn about_packs(farm: &Farm, settings: &Settings, entries: &[Entry]) -> Vec<String> {
    let packed = entries
        .iter()
        .filter(|entry| matches!(entry.event, Some(Event::Pack { .. })));
    let runs = packed.filter_map(|entry| farm.lot_of(entry.made()?));
    let found = unanswered(farm, settings, runs.collect()).into_iter();
    let found = found.filter(|(_, materials)| !materials.is_empty());
    let lines = found.map(|(run, materials)| {
        format!(
            "{} holds {}; before any of it is sold, ask {}, and note the answer under [permission.NAME] in castlot.toml",
            farm.lot(run).code,
            told(farm, &materials),
            whom_to_ask(&settings.country)
        )
    });
    lines.collect()
}

/// Writes what no permission answers for, with the deliveries behind it.
pub fn told(farm: &Farm, found: &Unanswered) -> String {
    let told = found.iter().map(|(material, lots)| {
        let mut names: Vec<String> = lots
            .iter()
            .take(NAMED)
            .map(|lot| called_in_list(farm, *lot))
            .collect();
        if let Some(more) = lots.len().checked_sub(NAMED).filter(|more| *more > 0) {
            names.push(count(more as u64, "more delivery", "more deliveries"));
        }
        format!("{}, from {}", in_words(*material), listed(&names))
    });
    let told: Vec<String> = told.collect();
    told.join(", and ")
}

/// Returns how many days are left of a permission, the last day counted as none; below nothing where it has ended.
pub fn days_left(permission: &Permission, today: Date) -> Option<i32> {
    permission.until.map(|until| days_between(today, until))
}

/// Returns the days from one day to another.
pub fn days_between(from: Date, to: Date) -> i32 {
    let days = from.until(to).map(|span| span.get_days());
    days.expect("days of years 1 to 9999 are counted in 32 bits")
}

/// Returns the words about permissions that ended or soon end, a line each.
pub fn ending(settings: &Settings, today: Date) -> Vec<String> {
    let permissions = settings.permissions.iter();
    let ending = permissions.filter_map(|(name, permission)| {
        let left = days_left(permission, today).filter(|left| *left <= SOON_DAYS)?;
        let until = permission.until?;
        let when = in_days(left);
        let verb = if left < 0 { "ended" } else { "ends" };
        Some(format!(
            "permission `{name}` ({}) {verb} on {until}, {when}",
            permission.covers
        ))
    });
    ending.collect()
}

/// Writes a number of days from now: `in 4 days`, `today`, `12 days ago`.
pub fn in_days(left: i32) -> String {
    let many = count(left.unsigned_abs(), "day", "days");
    match left {
        0 => "today".to_owned(),
        1.. => format!("in {many}"),
        _ => format!("{many} ago"),
    }
}
