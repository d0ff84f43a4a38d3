//! The whole diary as sheets again: what is struck left out, what is corrected in the seat of what it replaced.

use std::collections::BTreeMap;

use csv::{Terminator, WriterBuilder};

use super::column::columns;
use super::row::Row;
use super::write::row_of;
use crate::farm::{Farm, Noun};

/// Returns the sheets of a farm as files: those that have a row.
pub fn export(farm: &Farm) -> BTreeMap<String, Vec<u8>> {
    let mut sheets: BTreeMap<Noun, Vec<Row>> = BTreeMap::new();
    for place in seats(farm) {
        if let Some(row) = row_of(farm, &farm.entries()[place]) {
            sheets.entry(row.noun()).or_default().push(row);
        }
    }
    let sheets = sheets.iter();
    sheets
        .map(|(noun, rows)| (file_name(*noun), file(*noun, rows)))
        .collect()
}

/// Returns every sheet with its header and no row.
pub fn empty_sheets() -> BTreeMap<String, Vec<u8>> {
    let nouns = Noun::ALL.into_iter();
    nouns
        .map(|noun| (file_name(noun), file(noun, &[])))
        .collect()
}

/// Returns the name of a noun's file.
pub(super) fn file_name(noun: Noun) -> String {
    format!("{}.csv", noun.sheet())
}

/// Returns the places of the unstruck entries in the order of recording, a correction having the seat of what it replaces.
fn seats(farm: &Farm) -> Vec<usize> {
    let entries = farm.entries();
    let mut seats: Vec<usize> = (0..entries.len()).collect();
    for (place, entry) in entries.iter().enumerate() {
        let struck = entry.strikes.as_ref().map(|strike| strike.entry as usize);
        if let Some(struck) = struck.and_then(|number| number.checked_sub(1)) {
            seats[place] = seats.get(struck).copied().unwrap_or(place);
        }
    }
    let mut standing: Vec<usize> = (0..entries.len())
        .filter(|place| farm.struck_by(entries[*place].number).is_none())
        .collect();
    standing.sort_by_key(|place| (seats[*place], *place));
    standing
}

pub(super) fn file(noun: Noun, rows: &[Row]) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    let header = columns(noun).iter().map(|column| column.name);
    let full = "memory takes every byte, and every row has the sheet's columns";
    writer.write_record(header).expect(full);
    for row in rows {
        writer.write_record(row.cells()).expect(full);
    }
    writer.into_inner().expect(full)
}

#[cfg(test)]
#[path = "export_test.rs"]
pub(super) mod tests;
