//! `castlot hold`: lots put on hold, with everything they reach.

use std::collections::BTreeSet;

use crate::desk::rows::{maybe, put};
use crate::desk::{Subject, called};
use crate::farm::{Farm, LotId, Noun, Reach, Recording, Settings};

use super::failure::Failure;
use super::named::Asking;
use super::phrase::count;
use super::reached;
use super::shed::Shed;
use super::voice;
use super::write_down::{Said, Typing};

/// Put lots on hold, and with them everything they are part of or stock of.
///
/// What a hold reaches is not fed, bedded, mixed, tipped, split, packed, sold or labelled for sale, from the hold on.
/// Sieving, feeding, checking, testing, counting, throwing out and taking back stay possible. What may only have
/// been carried over, as a film on worms that were moved, is flagged and not stopped, unless `--reach all` stops it too.
///
/// Example: `castlot hold manure-3 --why "the hay was never vouched for"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Lots: deliveries, beds, batches or runs; a bin stands for the bed in it.
    #[arg(value_name = "LOT", required = true)]
    lots: Vec<String>,
    /// Why.
    #[arg(long, value_name = "WHY")]
    why: String,
    /// How far it reaches: `parts`, or `all` that may have been carried to as well.
    #[arg(long, value_name = "REACH", value_parser = ["parts", "all"])]
    reach: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Puts lots on hold, and tells what that reaches.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let recording = shed.record_and_give(Typing::Words, |farm, settings| {
        let rows = args.lots.iter().map(|lot| {
            let mut row = args.said.row(Noun::Hold);
            put(&mut row, "lot", lot_or_bed(farm, settings, lot));
            put(&mut row, "state", "hold");
            put(&mut row, "reason", &*args.why);
            maybe(&mut row, "reach", args.reach.as_deref());
            row
        });
        Ok(rows.collect())
    })?;
    if !shed.json {
        for line in reach_of(&recording) {
            voice::say(line);
        }
    }
    Ok(())
}

/// Returns the code of the bed in a bin, where a bin was typed; else what was typed, for the sheets' reader to read.
pub(super) fn lot_or_bed(farm: &Farm, settings: &Settings, typed: &str) -> String {
    let asking = Asking {
        farm,
        settings,
        command: "show",
    };
    match asking.find(typed) {
        Ok(Subject::Bin(_)) => match asking.find_lot(typed, None) {
            Ok((bed, _)) => farm.lot(bed).code.to_string(),
            Err(_) => typed.to_owned(),
        },
        Ok(Subject::Pack(..) | Subject::Lot(_) | Subject::Struck(..) | Subject::Rack(_))
        | Err(_) => typed.to_owned(),
    }
}

/// Tells what each hold of a recording reaches.
fn reach_of(recording: &Recording) -> Vec<String> {
    let farm = &recording.farm;
    let new = farm.holdings().iter();
    let new = new.filter(|held| held.hold.entry >= recording.before);
    let mut lines = Vec::new();
    for held in new {
        let stopped = |stops: bool| -> BTreeSet<LotId> {
            let reached = held.reached();
            reached
                .filter(|(lot, how)| *lot != held.origin && held.stops(*how) == stops)
                .map(|(lot, _)| lot)
                .collect()
        };
        lines.extend(told(
            farm,
            held.origin,
            held.hold.reach,
            &stopped(true),
            &stopped(false),
        ));
    }
    lines
}

fn told(
    farm: &Farm,
    origin: LotId,
    reach: Reach,
    stopped: &BTreeSet<LotId>,
    flagged: &BTreeSet<LotId>,
) -> Vec<String> {
    let name = called(farm, origin);
    if stopped.is_empty() && flagged.is_empty() {
        return vec![format!("{name} is on hold; nothing has been made of it")];
    }
    let mut lines = Vec::new();
    if stopped.is_empty() {
        lines.push(format!(
            "{name} is on hold; it is part of nothing, and stock of nothing"
        ));
    } else {
        let carried = match reach {
            Reach::All => ", what may only have been carried among them",
            Reach::Parts => "",
        };
        let lots = reached::lots(farm, stopped);
        lines.push(format!("{name} is on hold, and with it {lots}{carried}"));
        lines.extend(Some(reached::packs(farm, stopped)).filter(|packs| !packs.is_empty()));
    }
    if !flagged.is_empty() {
        let lots = count(flagged.len() as u64, "lot", "lots");
        lines.push(format!(
            "{lots} it may only have been carried to: flagged, not stopped; `--reach all` stops those too"
        ));
    }
    lines
}
