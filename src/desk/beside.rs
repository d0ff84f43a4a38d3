//! What a person is told beside a recording that the farm's rules let pass: lots that a hold or a recall elsewhere
//! reaches, limits of the farm's own that deliveries come near to, and a day that is still to come. It refuses nothing.

use std::collections::BTreeMap;

use crate::farm::{
    Draw, Entry, Event, Farm, LotCode, Meant, Moment, Quantity, Recording, Settings, Unit,
};
use crate::trace::{Level, highest_with};

use super::alert::alerts_at;
use crate::farm::phrase::at;

/// Returns the words about entries just recorded, a line each.
pub fn words(recording: &Recording, settings: &Settings, now: Moment) -> Vec<String> {
    let (farm, entries) = (&recording.farm, recording.entries());
    let mut lines = Vec::new();
    let mut drawn: BTreeMap<LotCode, Moment> = BTreeMap::new();
    for entry in entries {
        for code in entry.event.iter().flat_map(draws_on) {
            let first = drawn.entry(code).or_insert(entry.when);
            if entry.when.earliest() < first.earliest() {
                *first = entry.when;
            }
        }
        if entry.when.day() > now.day() {
            let (number, when) = (entry.number, at(entry.when));
            lines.push(format!(
                "entry {number} is of {when}, which is still to come"
            ));
        }
    }
    for (code, when) in drawn {
        let Some(lot) = farm.lot_of(code) else {
            continue;
        };
        let alerts = alerts_at(farm, lot, when);
        lines.extend(alerts.into_iter().map(|alert| format!("{code} is {alert}")));
    }
    lines.extend(tonnage(farm, entries, settings));
    lines
}

/// Returns a line for each of the farm's limits that deliveries just recorded come near to, or go over.
fn tonnage(farm: &Farm, entries: &[Entry], settings: &Settings) -> Vec<String> {
    let mut told: BTreeMap<&str, String> = BTreeMap::new();
    for code in entries.iter().filter_map(Entry::made) {
        let Some(lot) = farm.lot_of(code) else {
            continue;
        };
        for total in highest_with(farm, &settings.tonnage, lot) {
            let (has, limit) = (weight(total.grams), weight(total.limit.grams));
            let per_cent = total.per_cent();
            let (name, day) = (total.name, total.day);
            let at = match total.level() {
                Level::Below => continue,
                Level::Near => format!("{per_cent} % of the farm's own limit of {limit}"),
                Level::Over => format!("over the farm's own limit of {limit}"),
            };
            let line = format!("{name}: {has} in the twelve months to {day}, {at}");
            told.insert(name, line);
        }
    }
    told.into_values().collect()
}

/// Writes a weight as people do of loads: `7.5t`, or `240kg` below a tonne.
pub fn weight(grams: u64) -> String {
    const TONNE: u64 = 1_000_000;
    if grams < TONNE {
        return Quantity::new(grams, Unit::Grams).to_string();
    }
    let kilograms = format!("{}.{:03}", grams / TONNE, grams % TONNE / 1_000);
    format!("{}t", kilograms.trim_end_matches('0').trim_end_matches('.'))
}

/// Returns the lots that an entry sells, fills into packs or gives to beds: what nobody does with a held lot.
fn draws_on(event: &Event<Meant>) -> Vec<LotCode> {
    let of = |draws: &[Draw<Meant>]| draws.iter().map(|draw| draw.lot).collect();
    match event {
        Event::Bed { takes, .. } | Event::Feed { takes, .. } => of(takes),
        Event::Blend { from, .. } | Event::Pack { from, .. } => of(from),
        Event::Sale { packs, .. } => packs.iter().map(|pick| pick.run).collect(),
        Event::Bin { .. }
        | Event::Delivery { .. }
        | Event::Skip { .. }
        | Event::Check { .. }
        | Event::Split { .. }
        | Event::Tip { .. }
        | Event::Move { .. }
        | Event::Sieving { .. }
        | Event::Test { .. }
        | Event::Weighing { .. }
        | Event::Return { .. }
        | Event::Count { .. }
        | Event::Thrown { .. }
        | Event::Complaint { .. }
        | Event::Settlement { .. }
        | Event::Hold { .. }
        | Event::Recall { .. }
        | Event::Print { .. } => Vec::new(),
    }
}
