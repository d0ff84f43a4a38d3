//! The stock as a page: runs, deliveries, and batches kind by kind.

use std::collections::BTreeSet;

use crate::farm::{BatchKind, Quantity};

use super::phrase::count;
use super::stock::{Args, Run, StockList, Stuff};
use super::table::{Set, Table};

/// Prints the stock; what is used up only where it is asked for.
pub fn page(stock: &StockList, args: &Args) -> String {
    let runs = stock.runs.iter().filter(|run| args.all || run.in_store > 0);
    let lots = stock
        .lots
        .iter()
        .filter(|lot| args.all || lot.left != Some(0));
    let (runs, lots): (Vec<&Run>, Vec<&Stuff>) = (runs.collect(), lots.collect());
    let in_store: u64 = runs.iter().map(|run| u64::from(run.in_store)).sum();
    let packs = count(in_store, "pack", "packs");
    let mut text = format!("{packs} in store, oldest first\n{}", run_tables(&runs));
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
        ("made", Set::Number),
        ("sold", Set::Number),
        ("back", Set::Number),
        ("thrown", Set::Number),
        ("opened", Set::Number),
        ("complaint", Set::Number),
        ("lost", Set::Number),
        ("in store", Set::Number),
        ("", Set::Whole),
        ("", Set::Whole),
    ]);
    for run in runs {
        table.row(vec![
            run.mark
                .clone()
                .unwrap_or_else(|| run.when.replace('T', " ")),
            run.made.to_string(),
            some(i64::from(run.sold)),
            some(i64::from(run.returned)),
            some(i64::from(run.thrown)),
            some(i64::from(run.opened)),
            some(i64::from(run.complained)),
            some(run.lost),
            run.in_store.to_string(),
            hold(run.held, run.flagged),
            run.code.clone(),
        ]);
    }
    table.to_string()
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
