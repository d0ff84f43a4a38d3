//! How a recall stands, as a page: numbers, lots, who has packs, who was told, what came back, what is new.

use crate::farm::{Farm, Relation};
use crate::trace::{Figures, ListedRun, ListedSale, Listing, PackCount, RecallFile};

use super::phrase::{at, count, listed, paragraph};
use super::reached::where_they_are;
use super::recall_who::{replies, sold_to};
use super::table::{Set, Table};

/// What stands over sales with no name to ring.
const STALLS: &str = "Sold on market days, with nobody to ring: a sign at the stall";

/// Lists recalls, a line each.
pub fn list(files: &[RecallFile]) -> String {
    if files.is_empty() {
        return "no recall has been opened\n".to_owned();
    }
    let mut table = Table::new(&[
        ("", Set::Whole),
        ("opened", Set::Whole),
        ("closed", Set::Whole),
        ("packs", Set::Number),
        ("told", Set::Number),
        ("back", Set::Number),
    ]);
    for file in files {
        let figures = file.figures();
        table.row(vec![
            file.name.clone(),
            at(file.opened),
            file.closed
                .as_ref()
                .map_or_else(|| "open".to_owned(), |closed| at(closed.when)),
            figures.then.made.to_string(),
            format!("{} of {}", figures.buyers_told, figures.buyers),
            figures.returned.to_string(),
        ]);
    }
    table.to_string()
}

/// Tells what was frozen when a recall was opened.
pub fn opened(file: &RecallFile) -> String {
    let mut text = format!("{}: the list as it stands now is kept\n", file.name);
    text += &by_relation(&file.frozen);
    let sales = file.frozen.sales.iter().cloned();
    let (named, stalls): (Vec<_>, Vec<_>) = sales.partition(|sale| sale.to.buyer.is_some());
    text += &sold_to("Ring these", &named);
    text += &sold_to(STALLS, &stalls);
    text
}

/// Shows how a recall stands.
pub fn show(farm: &Farm, file: &RecallFile) -> String {
    let mut text = head(farm, file);
    let not_told: Vec<ListedSale> = file.not_told().into_iter().cloned().collect();
    text += &numbers(&file.figures(), not_told.len());
    text += "\nThe list, as it was when the recall was opened\n";
    text += &by_relation(&file.frozen);
    text += &sold_to("Not told yet", &not_told);
    text += &replies(farm, "Told", &file.told);
    text += &replies(farm, "Came back", &file.returned);
    if !file.since.is_empty() {
        text += "\nSince it was opened\n";
        text += &by_relation(&file.since);
        text += &sold_to("Sold since, or written down since", &file.since.sales);
    }
    text
}

fn head(farm: &Farm, file: &RecallFile) -> String {
    let from: Vec<String> = file
        .from
        .iter()
        .map(|code| match farm.lot_of(*code) {
            Some(lot) => crate::desk::called_in_list(farm, lot),
            None => code.to_string(),
        })
        .collect();
    let opened = format!(
        "{}: opened {} by entry {}, from {}",
        file.name,
        at(file.opened),
        file.entry,
        listed(&from)
    );
    let mut text = paragraph(&opened, 0);
    if let Some(why) = &file.why {
        text += &paragraph(&why.to_string(), 2);
    }
    if let Some(closed) = &file.closed {
        let why = closed.why.as_ref().map(|why| format!(": {why}"));
        let why = why.unwrap_or_default();
        text += &paragraph(
            &format!("closed {} by entry {}{why}", at(closed.when), closed.entry),
            0,
        );
    }
    text
}

fn numbers(figures: &Figures, not_told: usize) -> String {
    let Figures { then, now, .. } = figures;
    let mut table = Table::new(&[
        ("packs", Set::Text),
        ("when opened", Set::Number),
        ("now", Set::Number),
    ]);
    for ((name, then), (_, now)) in fates(then).into_iter().zip(fates(now)) {
        table.row(vec![name.to_owned(), then.to_string(), now.to_string()]);
    }
    if then.unplaced + now.unplaced > 0 {
        let name = "in store or gone, nobody can say".to_owned();
        table.row(vec![
            name,
            then.unplaced.to_string(),
            now.unplaced.to_string(),
        ]);
    }
    let told = format!(
        "{} of {} buyers and market days told ({} of {} sold); {} back under the recall; {} not told",
        figures.buyers_told,
        figures.buyers,
        figures.told,
        count(then.sold, "pack", "packs"),
        count(figures.returned, "pack", "packs"),
        count(not_told as u64, "sale", "sales"),
    );
    format!("\n{table}{}", paragraph(&told, 0))
}

/// Returns how many packs are where, each with its words.
fn fates(count: &PackCount) -> [(&'static str, u32); 8] {
    [
        ("made", count.made),
        ("traced", count.traced()),
        ("in store", count.in_store),
        ("sold and not back", count.sold),
        ("back, kept apart", count.back),
        ("thrown out", count.thrown),
        ("opened and used again", count.opened),
        ("not found", count.not_found),
    ]
}

/// Lists what is on a list: parts, then live, then carried.
fn by_relation(listing: &Listing) -> String {
    let groups = [
        ("It is in these", Relation::Part),
        ("The animals themselves, or their stock", Relation::Live),
        ("It may only have been carried to these", Relation::Carried),
    ];
    let mut text = String::new();
    for (name, group) in groups {
        // What the list begins with stands with what is part of it.
        let counts = |how: Option<Relation>| how.unwrap_or(Relation::Part) == group;
        let lots = listing
            .lots
            .iter()
            .filter(|lot| counts(lot.relation))
            .count();
        let runs: Vec<&ListedRun> = listing
            .runs
            .iter()
            .filter(|run| counts(run.relation))
            .collect();
        if lots == 0 && runs.is_empty() {
            continue;
        }
        let said = [
            (
                lots,
                "delivery, bed or batch",
                "deliveries, beds and batches",
            ),
            (runs.len(), "run", "runs"),
        ];
        let said = said.into_iter().filter(|(number, _, _)| *number > 0);
        let said = said.map(|(number, one, many)| count(number as u64, one, many));
        text += &format!("  {name}: {}\n", said.collect::<Vec<_>>().join(", "));
        text += &run_table(&runs);
        let sum = where_they_are(&listing.count(counts));
        if !sum.is_empty() {
            text += &paragraph(&sum, 2);
        }
    }
    text
}

fn run_table(runs: &[&ListedRun]) -> String {
    let number = |number: u32| {
        if number == 0 {
            String::new()
        } else {
            number.to_string()
        }
    };
    let mut table = Table::new(&[
        ("", Set::Whole),
        ("", Set::Text),
        ("made", Set::Number),
        ("in store", Set::Number),
        ("sold", Set::Number),
        ("back", Set::Number),
        ("thrown", Set::Number),
        ("opened", Set::Number),
        ("not found", Set::Number),
        ("no telling", Set::Number),
        ("", Set::Whole),
    ]);
    for run in runs {
        let only: Vec<String> = run.only.iter().map(|range| format!("#{range}")).collect();
        let name = run
            .mark
            .as_ref()
            .map_or_else(|| at(run.when), ToString::to_string);
        let what = format!("{} {}", run.product.key, only.join(" "));
        table.row(vec![
            name,
            what.trim().to_owned(),
            run.count.made.to_string(),
            number(run.count.in_store),
            number(run.count.sold),
            number(run.count.back),
            number(run.count.thrown),
            number(run.count.opened),
            number(run.count.not_found),
            number(run.count.unplaced),
            run.code.to_string(),
        ]);
    }
    if table.is_empty() {
        String::new()
    } else {
        table.indented()
    }
}
