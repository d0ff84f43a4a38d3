//! `castlot release`: a lot let go.

use crate::desk::called_in_list;
use crate::desk::rows::put;
use crate::farm::{Farm, LotId, Noun, Recording};
use crate::trace::held;

use super::failure::Failure;
use super::hold::lot_or_bed;
use super::phrase::listed;
use super::shed::Shed;
use super::voice;
use super::write_down::{Said, Typing};

/// Let a lot go that is on hold.
///
/// A lot that was put on hold itself is let go with everything that this hold reached; holds on other lots that reach it
/// stand. A lot that a hold elsewhere reaches is let go alone: what it came from stays on hold, and so does
/// what was or will be made of it, until that is released by itself.
///
/// Example: `castlot release manure-2 --why "a second bean test, 6 pots: no damage seen"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The lots; a bin stands for the bed in it.
    #[arg(value_name = "LOT", required = true)]
    lots: Vec<String>,
    /// Why.
    #[arg(long, value_name = "WHY")]
    why: String,
    #[command(flatten)]
    said: Said,
}

/// Lets lots go, and tells what still stands against them.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let recording = shed.record_and_give(Typing::Words, |farm, settings| {
        let rows = args.lots.iter().map(|lot| {
            let mut row = args.said.row(Noun::Hold);
            put(&mut row, "lot", lot_or_bed(farm, settings, lot));
            put(&mut row, "state", "release");
            put(&mut row, "reason", &*args.why);
            row
        });
        Ok(rows.collect())
    })?;
    if !shed.json {
        for line in told(&recording) {
            voice::say(line);
        }
    }
    Ok(())
}

/// Tells how each lot of a recording stands now.
fn told(recording: &Recording) -> Vec<String> {
    let farm = &recording.farm;
    let entries = recording.entries().iter();
    let lots = entries.filter_map(|entry| entry.event.as_ref()?.lots_named().first().copied());
    lots.filter_map(|code| farm.lot_of(code))
        .filter_map(|lot| standing(farm, lot))
        .collect()
}

fn standing(farm: &Farm, lot: LotId) -> Option<String> {
    let name = called_in_list(farm, lot);
    let freed = farm
        .holdings()
        .iter()
        .any(|held| held.freed().contains(&lot));
    let all = held(farm);
    let origins = all.get(&lot).into_iter().flatten();
    let mut origins: Vec<String> = origins.map(|by| called_in_list(farm, by.origin)).collect();
    origins.dedup();
    if !origins.is_empty() {
        return Some(format!(
            "{name} is still on hold, because of {}; a second release lets it go alone",
            listed(&origins)
        ));
    }
    let is_used = !farm.lot(lot).outflows.is_empty() || farm.lot(lot).shelf.is_none();
    match (freed, is_used) {
        (true, true) => Some(format!(
            "{name} is let go, alone: what is made of it stays on hold"
        )),
        (true, false) => Some(format!("{name} is let go, alone")),
        // One that was never held has been warned of.
        (false, _) => (!farm.lot(lot).holds.is_empty()).then(|| format!("{name} is let go")),
    }
}
