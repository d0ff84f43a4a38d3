//! `castlot stock`: what was made, what became of it, and what is there, run by run and lot by lot.
//!
//! `--json` prints `{"products": [...], "runs": [...], "best_by": [...], "permissions": [...], "lots": [...]}`, oldest
//! first, used up or not. A run has `code`, `ref`, `product` (its key), `name`, `net`, `when`, `age_days`, `best_by`,
//! `best_by_in` (days), `made`, `labelled` (null where no print was noted), `sold`, `returned`, `out` (with buyers),
//! `thrown`, `opened`, `complained`, `lost` (negative where a count found more), `over` (taken beyond what there was),
//! `in_store`, `held`, `flagged` (something of a held lot may have been carried over) and `recalled`. A product has its key as `product` and the same numbers, and `runs` and `kept`
//! (in store, but of a run that is held or recalled). `best_by` has `code`, `ref`, `product`, `best_by`, `best_by_in` and
//! `in_store` of what is past its best by or within 14 days of it. A lot (a delivery or a batch)
//! has `code`, `ref`, `kind`, `name`, `when`, `unit` (`g`, `mL`, `pieces` or null), `made`, `used`, `thrown`,
//! `lost`, `left` (whole units, or null where nobody knows), `sure` (all of it weighed), `held` and `flagged`.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::desk::permission_words;
use crate::desk::title;
use crate::farm::{Amount, Farm, Lot, LotId, LotSort, Much, Quantity, Settings, Unit};
use crate::trace::{HeldBy, flagged, held};

use super::failure::Failure;
use super::out;
use super::shed::Shed;
use super::stock_run::{self, DueRun, Run, Tally};
use super::{awaiting, stock_page};

/// List the stock: each pack run, delivery and batch, oldest first.
///
/// Of runs: age in days, made, labels confirmed, sold, back, thrown out, opened, kept apart after a
/// complaint, lost, held or recalled, and in store (`store`); what is past its best by, or within 14 days of it, stands first. The
/// numbers close: made is sold less back, thrown, opened, apart, lost, held and in store. Of deliveries and batches: made, used, thrown out, lost, and left; `~` marks a guess and `?` what nobody knows. What is used up is
/// left out unless `--all` asks for it.
///
/// Example: castlot stock --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {
    /// List what is used up as well.
    #[arg(long)]
    pub(super) all: bool,
}

#[derive(Debug, Serialize)]
pub(super) struct StockList {
    pub(super) products: Vec<Tally>,
    pub(super) runs: Vec<Run>,
    pub(super) best_by: Vec<DueRun>,
    /// Permissions that ended or soon end, in words.
    pub(super) permissions: Vec<String>,
    pub(super) lots: Vec<Stuff>,
}

#[derive(Debug, Serialize)]
pub(super) struct Stuff {
    pub(super) code: String,
    #[serde(rename = "ref")]
    pub(super) mark: Option<String>,
    pub(super) kind: &'static str,
    pub(super) name: String,
    pub(super) when: String,
    pub(super) unit: Option<&'static str>,
    pub(super) made: Option<u64>,
    pub(super) used: Option<u64>,
    pub(super) thrown: u64,
    pub(super) lost: i64,
    pub(super) left: Option<u64>,
    pub(super) sure: bool,
    pub(super) held: bool,
    pub(super) flagged: bool,
    #[serde(skip)]
    pub(super) delivered: bool,
    #[serde(skip)]
    pub(super) made_amount: Option<Amount>,
    #[serde(skip)]
    pub(super) measure: Option<Unit>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let mut text = text(&farm, shed, &settings, args);
    if !shed.json {
        text += &awaiting::lines(&farm, &settings, shed.stamp(&settings).now.day());
    }
    out::print(&text)
}

fn text(farm: &Farm, shed: &Shed, settings: &Settings, args: &Args) -> String {
    let today = shed.stamp(settings).now.day();
    let stock = taken_stock(farm, settings, today);
    if shed.json {
        out::json(&stock)
    } else {
        stock_page::page(&stock, args)
    }
}

fn taken_stock(farm: &Farm, settings: &Settings, today: Date) -> StockList {
    let holds = Holds {
        held: held(farm),
        flagged: flagged(farm),
    };
    let mut lots: Vec<(LotId, &Lot)> = farm.lots().collect();
    lots.sort_by_key(|(id, lot)| (lot.when.earliest(), lot.when.latest(), *id));
    let of_runs = lots.iter().map(|(id, _)| *id);
    let runs = stock_run::runs(farm, of_runs, &holds, today);
    let stuff = lots.iter().filter_map(|(id, lot)| match lot.sort {
        LotSort::Delivery(_) | LotSort::Batch(_) => Some(stuff_of(farm, *id, &holds)),
        LotSort::Bed | LotSort::Run(_) => None,
    });
    StockList {
        products: stock_run::tallies(&runs),
        best_by: stock_run::due(&runs),
        permissions: permission_words::ending(settings, today),
        lots: stuff.collect(),
        runs,
    }
}

/// What holds stop, and what they only flag.
pub(super) struct Holds {
    pub(super) held: BTreeMap<LotId, Vec<HeldBy>>,
    pub(super) flagged: BTreeMap<LotId, Vec<HeldBy>>,
}

fn stuff_of(farm: &Farm, id: LotId, holds: &Holds) -> Stuff {
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
        held: holds.held.contains_key(&id),
        flagged: holds.flagged.contains_key(&id),
        delivered: matches!(lot.sort, LotSort::Delivery(_)),
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

/// Returns the unit as `--json` names it.
pub fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Grams => "g",
        Unit::Millilitres => "mL",
        Unit::Pieces => "pieces",
    }
}

#[cfg(test)]
#[path = "stock_test.rs"]
mod tests;
