//! A hatchery as a page: each batch of cocoons, what each source expects of it, and what was seen.

use jiff::civil::Date;

use crate::desk::called_in_list;
use crate::farm::Farm;
use crate::trade::{Window, around, by_practice};

use super::hatchery::Batch;
use super::phrase::{listed, paragraph};
use super::table::{Set, Table};

/// Writes the page.
pub fn page(farm: &Farm, batches: &[Batch], today: Date) -> String {
    if batches.is_empty() {
        return "no cocoons were set aside\n".to_owned();
    }
    let pages: Vec<String> = batches
        .iter()
        .map(|batch| one(farm, batch, today))
        .collect();
    pages.join("\n")
}

fn one(farm: &Farm, batch: &Batch, today: Date) -> String {
    let lot = farm.lot(batch.lot);
    let mark = lot.mark.as_ref();
    let name = mark.map_or_else(String::new, |mark| format!("{mark}: "));
    let species = batch.species.as_deref().unwrap_or("species not noted");
    let mut text = format!("{name}cocoons, {species}: {}\n", lot.code);
    let (first, lifted) = (batch.laid.from, batch.lifted);
    text += &paragraph(
        &format!(
            "lifted on {lifted}; laid between {first} and then; {}",
            place(farm, batch)
        ),
        2,
    );
    text += &paragraph(&what_was_seen(batch), 2);
    text.push('\n');
    text += &table(batch);
    text + "\n" + &together(batch, today)
}

fn place(farm: &Farm, batch: &Batch) -> String {
    if batch.beds.is_empty() {
        return "not put into a bed yet".to_owned();
    }
    let beds = batch.beds.iter().map(|bed| {
        let name = called_in_list(farm, *bed);
        match farm.lot(*bed).ended {
            Some(ended) => format!("{name}, ended on {}", ended.when.day()),
            None => name,
        }
    });
    format!("put into {}", listed(&beds.collect::<Vec<_>>()))
}

fn what_was_seen(batch: &Batch) -> String {
    let seen = batch.seen;
    let told = [
        (seen.none_on, "none hatched yet on"),
        (seen.some_on, "some hatched on"),
        (seen.left_on, "some left on"),
        (seen.all_on, "all hatched on"),
    ];
    let mut told: Vec<String> = told
        .iter()
        .filter_map(|(day, words)| Some(format!("{words} {}", (*day)?)))
        .collect();
    if told.is_empty() {
        told.push("nothing was counted of the hatch yet".to_owned());
    }
    if let Some((low, high)) = batch.heat {
        told.push(if low < high {
            format!("{low} to {high} °C at checks")
        } else {
            format!("{low} °C at the check")
        });
    }
    told.join("; ")
}

fn table(batch: &Batch) -> String {
    let mut table = Table::new(&[
        ("source", Set::Text),
        ("hatching", Set::Whole),
        ("breeding from", Set::Whole),
        ("", Set::Whole),
    ]);
    for (cycle, expected) in &batch.sources {
        let notes = cycle.heat.into_iter().chain(cycle.known);
        let notes: Vec<&str> = notes.collect();
        let source = if notes.is_empty() {
            cycle.source.to_owned()
        } else {
            format!("{} ({})", cycle.source, notes.join("; "))
        };
        let fits = if expected.fits { "" } else { "DIFFERS" };
        table.row(vec![
            source,
            span(expected.hatch),
            expected.breed.map(span).unwrap_or_default(),
            fits.to_owned(),
        ]);
    }
    let (hatched, breed) = by_practice(batch.lifted);
    table.row(vec![
        "common practice, no source (a warm box, then cool rooms)".to_owned(),
        format!("mostly by {hatched}"),
        span(breed),
        String::new(),
    ]);
    table.to_string()
}

fn span(window: Window) -> String {
    if window.from == window.to {
        window.from.to_string()
    } else {
        format!("{} to {}", window.from, window.to)
    }
}

/// Returns the sources that are gone by: those that fit what was seen, or all where none does.
pub fn counted(batch: &Batch) -> (Option<Window>, Option<Window>) {
    let any_fits = batch.sources.iter().any(|(_, expected)| expected.fits);
    let counted = batch
        .sources
        .iter()
        .map(|(_, expected)| expected)
        .filter(|expected| expected.fits || !any_fits);
    let hatch = around(counted.clone().map(|expected| expected.hatch));
    let breed = around(counted.filter_map(|expected| expected.breed));
    (hatch, breed)
}

fn together(batch: &Batch, today: Date) -> String {
    let (Some(hatch), breed) = counted(batch) else {
        return paragraph("No table that castlot knows tells of this species.", 2);
    };
    let all = batch.sources.iter().all(|(_, expected)| expected.fits);
    let by = if all {
        "By all of the tables"
    } else {
        "Leaving out what differs from what was seen"
    };
    let breed = breed.map_or_else(String::new, |breed| {
        format!("; breeding for the first time {}", between(breed, today))
    });
    let hatch = match batch.seen.all_on {
        Some(day) => format!("all had hatched on {day}"),
        None => format!("hatching {}", between(hatch, today)),
    };
    paragraph(&format!("{by}: {hatch}{breed}."), 2)
}

fn between(window: Window, today: Date) -> String {
    let past = if window.to < today { ", by now" } else { "" };
    format!("between {} and {}{past}", window.from, window.to)
}
