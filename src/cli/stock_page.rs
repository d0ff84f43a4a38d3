//! The stock as a page: runs, deliveries, and batches kind by kind.

use std::collections::BTreeSet;

use crate::desk::permission_words::in_days;
use crate::farm::{BatchKind, Quantity};

use super::phrase::{count, paragraph};
use super::stock::{Args, StockList, Stuff};
use super::stock_run::{DUE_DAYS, DueRun, Numbers, Run, tallies};
use super::table::{Set, Table};

/// Prints the stock; what is used up only where it is asked for.
pub fn page(stock: &StockList, args: &Args) -> String {
    let is_here = |run: &&Run| args.all || run.numbers.in_store > 0 || run.numbers.complained > 0;
    let runs: Vec<&Run> = stock.runs.iter().filter(is_here).collect();
    let lots = stock.lots.iter();
    let lots: Vec<&Stuff> = lots.filter(|lot| args.all || lot.left != Some(0)).collect();
    let mut text = headline(&runs);
    text += &due_page(&stock.best_by);
    for line in &stock.permissions {
        text += &format!("\n{}", paragraph(line, 0));
    }
    text += &run_tables(&runs);
    let hidden = stock.runs.len() - runs.len();
    if hidden > 0 {
        let hidden = count(hidden as u64, "run", "runs");
        text += &format!("\nand {hidden} with none in store\n");
    }
    text += "\nWhat is left, oldest first (~ rests on a guess, ? nobody knows)\n";
    text += &lot_tables(&lots);
    let used_up = stock.lots.len() - lots.len();
    if used_up > 0 {
        text += &format!("\nand {} used up\n", count(used_up as u64, "lot", "lots"));
    }
    if hidden + used_up > 0 {
        text += "List everything with: castlot stock --all\n";
    }
    text
}

/// Says how many packs stand there, and how many of them are not to be sold.
fn headline(runs: &[&Run]) -> String {
    let in_store: u64 = runs.iter().map(|run| u64::from(run.numbers.in_store)).sum();
    let kept: u64 = runs.iter().map(|run| u64::from(run.kept())).sum();
    let packs = count(in_store, "pack", "packs");
    match kept {
        0 => format!("{packs} in store, oldest first\n"),
        _ => format!("{packs} in store, {kept} of them held or recalled, oldest first\n"),
    }
}

/// Lists what is past its best by or nearly.
fn due_page(due: &[DueRun]) -> String {
    if due.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        ("", Set::Whole),
        ("", Set::Whole),
        ("in store", Set::Number),
        ("best by", Set::Whole),
        ("", Set::Whole),
        ("", Set::Whole),
    ]);
    for run in due {
        let past = if run.best_by_in < 0 { "PAST, " } else { "" };
        table.row(vec![
            run.mark.clone().unwrap_or_default(),
            run.product.clone(),
            run.in_store.to_string(),
            run.best_by.clone(),
            format!("{past}{}", in_days(run.best_by_in)),
            run.code.clone(),
        ]);
    }
    format!("\nPast their best by, or within {DUE_DAYS} days of it\n{table}")
}

/// Lists runs product by product.
fn run_tables(runs: &[&Run]) -> String {
    let products: BTreeSet<&str> = runs.iter().map(|run| run.product.as_str()).collect();
    let mut text = String::new();
    for product in products {
        let of_product = runs.iter().copied().filter(|run| run.product == product);
        let of_product: Vec<&Run> = of_product.collect();
        // The newest run has the name that the product goes by now.
        let name = of_product.last().map(|run| run.name.as_str());
        let name = name.unwrap_or_default();
        text += &format!("\n{product}: {name}\n{}", run_table(&of_product));
    }
    text
}

fn run_table(runs: &[&Run]) -> String {
    let mut table = Table::new(&[
        ("", Set::Whole),
        ("age", Set::Number),
        ("made", Set::Number),
        ("labels", Set::Number),
        ("sold", Set::Number),
        ("back", Set::Number),
        ("thrown", Set::Number),
        ("opened", Set::Number),
        ("apart", Set::Number),
        ("lost", Set::Number),
        ("over", Set::Number),
        ("held", Set::Number),
        ("store", Set::Number),
        ("", Set::Whole),
        ("", Set::Whole),
    ]);
    for run in runs {
        let name = run.mark.clone();
        let alarm = match run.recalled {
            true => "RECALL".to_owned(),
            false => hold(run.held, run.flagged),
        };
        let mut cells = vec![
            name.unwrap_or_else(|| run.when.replace('T', " ")),
            run.age_days.to_string(),
        ];
        cells.extend(number_cells(&run.numbers, run.kept()));
        cells.extend([alarm, run.code.clone()]);
        table.row(cells);
    }
    if let [_, _, ..] = runs {
        let runs: Vec<Run> = runs.iter().map(|run| (*run).clone()).collect();
        for tally in tallies(&runs) {
            let mut cells = vec!["all".to_owned(), String::new()];
            cells.extend(number_cells(&tally.numbers, tally.kept));
            cells.extend([String::new(), String::new()]);
            table.row(cells);
        }
    }
    table.to_string()
}

/// Writes the numbers of a run or a product; of those in store, what is kept from sale stands for itself.
fn number_cells(numbers: &Numbers, kept: u32) -> [String; 11] {
    [
        numbers.made.to_string(),
        numbers
            .labelled
            .map_or_else(String::new, |labelled| labelled.to_string()),
        some(i64::from(numbers.sold)),
        some(i64::from(numbers.returned)),
        some(i64::from(numbers.thrown)),
        some(i64::from(numbers.opened)),
        some(i64::from(numbers.complained)),
        some(numbers.lost),
        some(-i64::from(numbers.over)),
        some(i64::from(kept)),
        (numbers.in_store - kept).to_string(),
    ]
}

/// Lists deliveries, then batches kind by kind.
fn lot_tables(lots: &[&Stuff]) -> String {
    let mut text = String::new();
    let deliveries: Vec<&Stuff> = lots.iter().copied().filter(|lot| lot.delivered).collect();
    if !deliveries.is_empty() {
        text += &format!("\nDeliveries\n{}", lot_table(&deliveries));
    }
    for kind in BatchKind::ALL {
        let of_kind = lots.iter().copied();
        let of_kind: Vec<&Stuff> = of_kind
            .filter(|lot| !lot.delivered && lot.kind == kind.word())
            .collect();
        if !of_kind.is_empty() {
            let (first, rest) = kind.word().split_at(1);
            let head = first.to_uppercase() + rest;
            text += &format!("\n{head}\n{}", lot_table(&of_kind));
        }
    }
    text
}

fn lot_table(lots: &[&Stuff]) -> String {
    let mut table = Table::new(&[
        ("", Set::Text),
        ("made", Set::Number),
        ("used", Set::Number),
        ("thrown", Set::Number),
        ("lost", Set::Number),
        ("left", Set::Number),
        ("", Set::Whole),
        ("", Set::Whole),
    ]);
    for lot in lots {
        let guess = if lot.sure { "" } else { "~" };
        let much = |value: u64| match (value, lot.measure) {
            (0, _) | (_, None) => String::new(),
            (value, Some(unit)) => Quantity::new(value, unit).to_string(),
        };
        let lost = match lot.lost {
            lost if lost < 0 => format!("-{}", much(lost.unsigned_abs())),
            lost => much(lost.unsigned_abs()),
        };
        let told = |value: Option<u64>| value.map_or_else(|| "?".to_owned(), much);
        let left = match lot.left {
            Some(0) => "0".to_owned(),
            Some(left) => format!("{guess}{}", much(left)),
            None => "?".to_owned(),
        };
        let made = lot.made_amount.map(|amount| amount.to_string());
        table.row(vec![
            lot.mark.clone().unwrap_or_else(|| lot.name.clone()),
            made.unwrap_or_else(|| "?".to_owned()),
            told(lot.used),
            much(lot.thrown),
            lost,
            left,
            hold(lot.held, lot.flagged),
            lot.code.clone(),
        ]);
    }
    table.to_string()
}

fn hold(held: bool, flagged: bool) -> String {
    match (held, flagged) {
        (true, _) => "HOLD",
        (false, true) => "FLAG",
        (false, false) => "",
    }
    .to_owned()
}

/// Writes a number, and nothing for none.
fn some(number: i64) -> String {
    if number == 0 {
        String::new()
    } else {
        number.to_string()
    }
}
