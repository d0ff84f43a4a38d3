//! Readings of a bed that are out of range, as its page says them.

use crate::desk::bed_look::look;
use crate::farm::{Event, Farm};
use crate::trade::Stop;

/// Says what the last check, and the last that tells of its heat, found out of range.
pub fn of(farm: &Farm, stop: &Stop) -> Vec<String> {
    let mut places: Vec<usize> = [stop.visits.warmth, stop.visits.checked]
        .into_iter()
        .flatten()
        .collect();
    places.sort_by_key(|place| (farm.entries()[*place].when.earliest(), *place));
    places.dedup();
    let checks = places.into_iter().filter_map(|place| {
        let entry = &farm.entries()[place];
        match &entry.event {
            Some(Event::Check { facts, .. }) => Some((entry.when, &**facts)),
            _ => None,
        }
    });
    let checks: Vec<_> = checks.collect();
    look(stop.species.as_deref(), &checks)
}
