//! The day a file of labels bears: that of the newest entry its labels speak of, so that no clock is read.

use jiff::civil::Date;

use crate::farm::{BinCode, Event, Farm, LotId};

use super::order::Subject;

/// Returns the day of the newest entry that the labels speak of.
pub fn newest(farm: &Farm, subjects: &[Subject]) -> Date {
    let days = subjects.iter().flat_map(|subject| match subject {
        Subject::Packs(id, _) | Subject::Lot(id) | Subject::Hold(id) => of_lot(farm, *id),
        Subject::Bin(bin) => of_bins(farm, |other, _| other == *bin),
        Subject::Rack(rack) => of_bins(farm, |_, on| on.is_some_and(|on| on == rack)),
    });
    days.max().unwrap_or(Date::ZERO)
}

fn of_lot(farm: &Farm, id: LotId) -> Vec<Date> {
    let lot = farm.lot(id);
    let holds = lot
        .holds
        .iter()
        .flat_map(|hold| [Some(hold.since), hold.released]);
    let moments = holds.flatten().chain([lot.when]);
    moments.map(|moment| moment.day()).collect()
}

/// Returns the days of setting up, moves and beds of bins, chosen by their code and the rack they stand on now.
fn of_bins(farm: &Farm, chosen: impl Fn(BinCode, Option<&str>) -> bool) -> Vec<Date> {
    let rack = |bin: &BinCode| {
        let standing = farm.bins().get(bin).and_then(|bin| bin.standing.as_ref());
        standing.map(|standing| standing.place.rack())
    };
    let entries = farm.order().iter().map(|place| &farm.entries()[*place]);
    let set_up = entries.filter(|entry| match &entry.event {
        Some(Event::Bin { bin, .. } | Event::Move { bin, .. } | Event::Bed { bin, .. }) => {
            chosen(*bin, rack(bin))
        }
        _ => false,
    });
    set_up.map(|entry| entry.when.day()).collect()
}
