//! What a person is told of permissions: runs that hold what none answers for, and permissions that soon end.
//!
//! It says whom to ask, and never that anything is allowed.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{Entry, Event, Farm, LotId, Material, Permission, Settings};
use crate::trace::{Relation, Start, back};
use crate::trade::{in_words, material, whom_to_ask};

use super::named::called_in_list;
use super::phrase::{count, listed};

/// A permission is told of so many days before it ends (a choice of ours: asking again takes weeks).
pub const SOON_DAYS: i32 = 60;

/// No more deliveries than this are named in a sentence.
const NAMED: usize = 3;

/// What a run is made of that no permission answers for on the day it was packed.
pub type Unanswered = BTreeMap<Material, Vec<LotId>>;

/// Returns what a run is made of that no permission answers for on the day it was packed, in order of delivery.
pub fn unanswered(farm: &Farm, settings: &Settings, run: LotId) -> Unanswered {
    let start = Start {
        lot: run,
        serial: None,
        when: None,
    };
    let day = farm.lot(run).when.day();
    let answered = |material: Material| {
        let mut permissions = settings.permissions.values();
        permissions.any(|permission| permission.answers_for(material, day))
    };
    let mut found = Unanswered::new();
    for reached in back(farm, start) {
        let facts = farm.delivery(reached.lot);
        let facts = facts.filter(|_| reached.relation == Relation::Part);
        let material = facts.and_then(|facts| material(facts, &settings.kitchen));
        if let Some(material) = material.filter(|material| !answered(*material)) {
            found.entry(material).or_default().push(reached.lot);
        }
    }
    found
}

/// Returns the words about runs just packed, a line each.
pub fn about_packs(farm: &Farm, settings: &Settings, entries: &[Entry]) -> Vec<String> {
    let packed = entries
        .iter()
        .filter(|entry| matches!(entry.event, Some(Event::Pack { .. })));
    let runs = packed.filter_map(|entry| farm.lot_of(entry.made()?));
    runs.filter_map(|run| {
        let found = unanswered(farm, settings, run);
        (!found.is_empty()).then(|| {
            format!(
                "{} holds {}; before any of it is sold, ask {}, and note the answer under [permission.NAME] in castlot.toml",
                farm.lot(run).code,
                told(farm, &found),
                whom_to_ask(&settings.country)
            )
        })
    })
    .collect()
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
