//! `castlot count`: what is really left of a lot, found by weighing or counting it.

use std::cell::Cell;

use crate::desk::called;
use crate::desk::rows::put;
use crate::desk::words::is_unit;
use crate::farm::{Farm, Lot, LotId, Noun, Quantity, Recording, Settings, Unit};

use super::failure::Failure;
use super::named::Asking;
use super::shed::Shed;
use super::write_down::{Said, Typing};
use super::{out, phrase};

/// Set what is really left of a lot, with the reason: what mice took, what dried out, what was miscounted.
///
/// Of a delivery or batch, an amount; of a pack run, how many packs stand in store; `0` for nothing. What is gone
/// stands as lost from then on, and the reason with it.
///
/// Example: `castlot count pouches-1 60 --why "six with torn seams, thrown in the bin"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The lot.
    #[arg(value_name = "LOT")]
    lot: String,
    /// What is left.
    #[arg(value_name = "AMOUNT", required = true, num_args = 1..=2)]
    found: Vec<String>,
    /// Why it is not what the diary says.
    #[arg(long, value_name = "WHY")]
    why: String,
    #[command(flatten)]
    said: Said,
}

/// Records a count.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let before = Cell::new(None);
    let recording = shed.record_and_give(Typing::Words, |farm, settings| {
        let lot = args.lot(farm, settings)?;
        before.set(lot.map(|lot| (lot, lost(farm.lot(lot)))));
        let mut row = args.said.row(Noun::Count);
        put(&mut row, "lot", &*args.lot);
        put(&mut row, "found", args.found(settings)?);
        put(&mut row, "why", &*args.why);
        Ok(vec![row])
    })?;
    match before.get() {
        Some((lot, lost)) if !shed.json => out::print(&told(&recording, lot, lost)),
        _ => Ok(()),
    }
}

impl Args {
    /// Finds the lot, where its name reads.
    fn lot(&self, farm: &Farm, settings: &Settings) -> Result<Option<LotId>, Failure> {
        let asking = Asking {
            farm,
            settings,
            command: "count",
        };
        let (lot, serial) = asking.find_lot(&self.lot, None)?;
        match serial {
            Some(_) => Err(Failure::refused(format!(
                "`{}` is one pack; a run is counted whole",
                self.lot
            ))
            .hint(format!(
                "say how many stand in store, as in `castlot count {} 12 --why WHY`",
                farm.lot(lot).code
            ))),
            None => Ok(Some(lot)),
        }
    }

    fn found(&self, settings: &Settings) -> Result<String, Failure> {
        match self.found.as_slice() {
            [number, unit] if !is_unit(number, unit, &settings.measures) => Err(Failure::refused(
                format!("`{number} {unit}` is not one amount; of one lot one amount is counted"),
            )),
            words => Ok(words.join(" ")),
        }
    }
}

fn lost(lot: &Lot) -> i64 {
    lot.shelf
        .as_ref()
        .map_or(lot.stock.lost, |shelf| shelf.lost())
}

/// Tells how far the count is from the book.
fn told(recording: &Recording, id: LotId, before: i64) -> String {
    let farm = &recording.farm;
    let lot = farm.lot(id);
    let gone = lost(lot) - before;
    let many = gone.unsigned_abs();
    let much = match (&lot.shelf, lot.stock.unit) {
        (Some(_), _) => phrase::count(many, "pack", "packs"),
        (None, unit) => Quantity::new(many, unit.unwrap_or(Unit::Grams)).to_string(),
    };
    let against = match gone {
        0 => "as the diary had it".to_owned(),
        1.. => format!("{much} less than the diary had"),
        _ => format!("{much} more than the diary had"),
    };
    format!("{} counted: {against}\n", called(farm, id))
}
