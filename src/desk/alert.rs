//! What a person must know of a lot before anything else: open recalls and holds that reach it.

use crate::farm::{Event, Farm, LotId, Moment};
use crate::trace::{HeldBy, RecalledBy, flagged, held, recalled};

use super::called::called;
use crate::farm::phrase::at;

/// Returns the alerts of a lot, a line each, the gravest first.
pub fn alerts(farm: &Farm, lot: LotId) -> Vec<String> {
    let recall = recalled(farm).get(&lot).map(|by| asked_back(farm, lot, by));
    let holds = held(farm);
    let holds = holds.get(&lot).into_iter().flatten();
    let flags = flagged(farm);
    let flags = flags.get(&lot).into_iter().flatten();
    recall
        .into_iter()
        .chain(holds.map(|by| told(farm, lot, by)))
        .chain(flags.map(|by| carried(farm, by)))
        .collect()
}

/// Returns what was open at a moment and reaches a lot from elsewhere; a hold on the lot itself is the rules' to tell.
pub fn alerts_at(farm: &Farm, lot: LotId, when: Moment) -> Vec<String> {
    let recall = recalled(farm);
    let recall = recall.get(&lot).filter(|by| by.since.could_precede(when));
    let holds = held(farm);
    let holds = holds.get(&lot).into_iter().flatten();
    let from_elsewhere = holds.filter(|by| by.origin != lot && by.hold.since.could_precede(when));
    let recall = recall.map(|by| asked_back(farm, lot, by));
    let holds = from_elsewhere.map(|by| told(farm, lot, by));
    recall.into_iter().chain(holds).collect()
}

fn asked_back(farm: &Farm, lot: LotId, by: &RecalledBy<'_>) -> String {
    let since = at(by.since);
    let origin = for_origin(farm, lot, by.origin);
    format!("RECALLED{origin} since {since} ({})", by.recall)
}

fn told(farm: &Farm, lot: LotId, by: &HeldBy) -> String {
    let reason = match &farm.entries()[by.hold.entry].event {
        Some(Event::Hold { reason, .. }) => format!(": {reason}"),
        _ => String::new(),
    };
    let origin = for_origin(farm, lot, by.origin);
    format!("ON HOLD{origin} since {}{reason}", at(by.hold.since))
}

fn carried(farm: &Farm, by: &HeldBy) -> String {
    format!(
        "FLAGGED: may have been carried over from {}, on hold since {}",
        called(farm, by.origin),
        at(by.hold.since)
    )
}

/// Names the lot that it comes from, unless that is the lot itself.
fn for_origin(farm: &Farm, lot: LotId, origin: LotId) -> String {
    if origin == lot {
        String::new()
    } else {
        format!(" for {}", called(farm, origin))
    }
}
