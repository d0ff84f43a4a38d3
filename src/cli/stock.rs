//! `castlot stock`: what was made, what became of it, and what is there, run by run and lot by lot.
//!
//! `--json` prints `{"runs": [...], "lots": [...]}`, oldest first, used up or not. A run has `code`, `ref`,
//! `product` (its key), `name`, `net`, `when`, `best_by`, `made`, `sold`, `returned`, `thrown`, `opened`,
//! `complained`, `lost` (negative where a count found more), `in_store` and `held`. A lot (a delivery or a batch)
//! has `code`, `ref`, `kind`, `name`, `when`, `unit` (`g`, `mL`, `pieces` or null), `made`, `used`, `thrown`,
//! `lost`, `left` (whole units, or null where nobody knows), `sure` (all of it weighed) and `held`.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::farm::{Amount, Event, Farm, Lot, LotId, LotSort, Much, Quantity, Unit};
use crate::trace::{HeldBy, held};

use super::failure::Failure;
use super::named::title;
use super::out;
use super::phrase::count;
use super::shed::Shed;
use super::table::{Set, Table};

/// List the stock: each pack run, delivery and batch, oldest first.
///
/// Of runs: made, sold, returned, thrown out, opened, complained of, lost, and in store. Of deliveries and
/// batches: made, used, thrown out, lost, and left; `~` marks a guess and `?` what nobody knows. What is used up is
/// left out unless `--all` asks for it.
///
/// Example: castlot stock --farm demo-farm
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub struct Args {
    /// List what is used up as well.
    #[arg(long)]
    all: bool,
}

#[derive(Debug, Serialize)]
struct StockList {
    runs: Vec<Run>,
    lots: Vec<Stuff>,
}

#[derive(Debug, Serialize)]
struct Run {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    product: String,
    name: String,
    net: String,
    when: String,
    best_by: Option<String>,
    made: u32,
    sold: u32,
    returned: u32,
    thrown: u32,
    opened: u32,
    complained: u32,
    lost: i64,
    in_store: u32,
    held: bool,
}

#[derive(Debug, Serialize)]
struct Stuff {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    name: String,
    when: String,
    unit: Option<&'static str>,
    made: Option<u64>,
    used: Option<u64>,
    thrown: u64,
    lost: i64,
    left: Option<u64>,
    sure: bool,
    held: bool,
    #[serde(skip)]
    made_amount: Option<Amount>,
    #[serde(skip)]
    measure: Option<Unit>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    out::print(&text(&shed.open()?, shed, args))
}

fn text(farm: &Farm, shed: &Shed, args: &Args) -> String {
    let stock = taken_stock(farm);
    if shed.json {
        out::json(&stock)
    } else {
        page(&stock, args)
    }
}

fn taken_stock(farm: &Farm) -> StockList {
    let holds = held(farm);
    let mut lots: Vec<(LotId, &Lot)> = farm.lots().collect();
    lots.sort_by_key(|(id, lot)| (lot.when.earliest(), lot.when.latest(), *id));
    let (mut runs, mut stuff) = (Vec::new(), Vec::new());
    for (id, lot) in lots {
        match lot.sort {
            LotSort::Run(_) => runs.extend(run_of(farm, id, &holds)),
            LotSort::Delivery(_) | LotSort::Batch(_) => stuff.push(stuff_of(farm, id, &holds)),
            LotSort::Bed => {}
        }
    }
    StockList { runs, lots: stuff }
}

fn run_of(farm: &Farm, id: LotId, holds: &BTreeMap<LotId, Vec<HeldBy>>) -> Option<Run> {
    let lot = farm.lot(id);
    let shelf = lot.shelf.as_ref()?;
    let Event::Pack {
        product, best_by, ..
    } = farm.making(id)
    else {
        return None;
    };
    Some(Run {
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        product: product.key.to_string(),
        name: product.name.to_string(),
        net: product.net.to_string(),
        when: lot.when.to_string(),
        best_by: best_by.map(|day| day.to_string()),
        made: shelf.made(),
        sold: shelf.sold(),
        returned: shelf.returned(),
        thrown: shelf.thrown(),
        opened: shelf.opened(),
        complained: shelf.complained(),
        lost: shelf.lost(),
        in_store: shelf.in_store(),
        held: holds.contains_key(&id),
    })
}

fn stuff_of(farm: &Farm, id: LotId, holds: &BTreeMap<LotId, Vec<HeldBy>>) -> Stuff {
    let lot = farm.lot(id);
    let left = left(farm, id);
    let made = lot.made.and_then(Amount::quantity).map(Quantity::value);
    let gone = i64::try_from(lot.stock.thrown).unwrap_or(i64::MAX) + lot.stock.lost;
    let used = made.zip(left).map(|(made, left)| {
        let used = i128::from(made) - i128::from(left) - i128::from(gone);
        u64::try_from(used.max(0)).unwrap_or(u64::MAX)
    });
    Stuff {
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        kind: lot.sort.word(),
        name: title(farm, id),
        when: lot.when.to_string(),
        unit: lot.stock.unit.map(unit_word),
        made,
        used,
        thrown: lot.stock.thrown,
        lost: lot.stock.lost,
        left,
        sure: lot.stock.is_sure(),
        held: holds.contains_key(&id),
        made_amount: lot.made,
        measure: lot.stock.unit,
    }
}

/// Returns what is left of a delivery or batch in whole units; `None` where an unknown amount went in or out since
/// it was last counted.
pub fn left(farm: &Farm, id: LotId) -> Option<u64> {
    let lot = farm.lot(id);
    let counted = farm.recounts().iter().rev().find(|count| count.lot == id);
    let since = counted.map_or(0, |count| count.after);
    let mut drawn = lot.outflows.iter().filter(|flow| flow.index() >= since);
    if drawn.any(|flow| farm.flow(*flow).much == Much::Amount(Amount::Unknown)) {
        return None;
    }
    lot.stock.left().map(Quantity::value)
}

fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Grams => "g",
        Unit::Millilitres => "mL",
        Unit::Pieces => "pieces",
    }
}

fn page(stock: &StockList, args: &Args) -> String {
    let runs = stock.runs.iter().filter(|run| args.all || run.in_store > 0);
    let lots = stock
        .lots
        .iter()
        .filter(|lot| args.all || lot.left != Some(0));
    let (runs, lots): (Vec<&Run>, Vec<&Stuff>) = (runs.collect(), lots.collect());
    let in_store: u64 = runs.iter().map(|run| u64::from(run.in_store)).sum();
    let mut text = String::new();
    text += &format!(
        "{} in store, oldest first\n",
        count(in_store, "pack", "packs")
    );
    text += &run_table(&runs);
    let hidden = stock.runs.len() - runs.len();
    if hidden > 0 {
        text += &format!(
            "  and {} with none in store\n",
            count(hidden as u64, "run", "runs")
        );
    }
    text += "\nDeliveries and batches, oldest first (~ a guess, ? nobody knows)\n";
    text += &lot_table(&lots);
    let used_up = stock.lots.len() - lots.len();
    if used_up > 0 {
        text += &format!("  and {} used up\n", count(used_up as u64, "lot", "lots"));
    }
    if hidden + used_up > 0 {
        text += "\nList everything with: castlot stock --all\n";
    }
    text
}

fn run_table(runs: &[&Run]) -> String {
    let mut table = Table::new(&[
        ("packed", Set::Whole),
        ("product", Set::Text),
        ("ref", Set::Whole),
        ("made", Set::Number),
        ("sold", Set::Number),
        ("back", Set::Number),
        ("thrown", Set::Number),
        ("opened", Set::Number),
        ("bad", Set::Number),
        ("lost", Set::Number),
        ("here", Set::Number),
        ("", Set::Whole),
        ("run", Set::Whole),
    ]);
    for run in runs {
        table.row(vec![
            day(&run.when).to_owned(),
            run.product.clone(),
            run.mark.clone().unwrap_or_default(),
            run.made.to_string(),
            some(i64::from(run.sold)),
            some(i64::from(run.returned)),
            some(i64::from(run.thrown)),
            some(i64::from(run.opened)),
            some(i64::from(run.complained)),
            some(run.lost),
            run.in_store.to_string(),
            hold(run.held),
            run.code.clone(),
        ]);
    }
    table.to_string()
}

fn lot_table(lots: &[&Stuff]) -> String {
    let mut table = Table::new(&[
        ("made", Set::Whole),
        ("what", Set::Text),
        ("ref", Set::Whole),
        ("amount", Set::Number),
        ("used", Set::Number),
        ("thrown", Set::Number),
        ("lost", Set::Number),
        ("left", Set::Number),
        ("", Set::Whole),
        ("lot", Set::Whole),
    ]);
    for lot in lots {
        let guess = if lot.sure { "" } else { "~" };
        let much = |value: u64| match (value, lot.measure) {
            (0, _) | (_, None) => String::new(),
            (value, Some(unit)) => Quantity::new(value, unit).to_string(),
        };
        let lost = match lot.lost {
            0 => String::new(),
            lost if lost < 0 => format!("-{}", much(lost.unsigned_abs())),
            lost => much(lost.unsigned_abs()),
        };
        let told = |value: Option<u64>| value.map_or_else(|| "?".to_owned(), much);
        let left = match lot.left {
            Some(0) => "0".to_owned(),
            Some(left) => format!("{guess}{}", much(left)),
            None => "?".to_owned(),
        };
        table.row(vec![
            day(&lot.when).to_owned(),
            lot.name.clone(),
            lot.mark.clone().unwrap_or_default(),
            lot.made_amount
                .map_or_else(|| "?".to_owned(), |amount| amount.to_string()),
            told(lot.used),
            much(lot.thrown),
            lost,
            left,
            hold(lot.held),
            lot.code.clone(),
        ]);
    }
    table.to_string()
}

fn hold(held: bool) -> String {
    if held { "HOLD" } else { "" }.to_owned()
}

/// Writes a number, and nothing for none.
fn some(number: i64) -> String {
    if number == 0 {
        String::new()
    } else {
        number.to_string()
    }
}

fn day(when: &str) -> &str {
    when.split('T').next().unwrap_or(when)
}
