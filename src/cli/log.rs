//! `castlot log`: the entries of a bin, a lot, a day or a worker, in the order in which they happened.
//!
//! `--json` prints `{"entries": [...]}`, each with `number`, `when`, `written`, `by`, `noun`, `code` (of the lot
//! it made), `text`, `strikes`, `struck_by` and `struck_why`.

use serde::Serialize;

use crate::farm::{Entry, Farm, Moment, Settings, Word};

use super::entries::{EntryJson, in_order, json, names_bin, names_lot, names_pack, page};
use super::failure::Failure;
use super::named::{Asking, Subject};
use super::out::{self, Ink};
use super::shed::Shed;

/// List the diary's entries in the order in which they happened.
///
/// Name a bin, a lot, a pack, or a day to see its own entries only; `--by RB` shows those of one worker.
/// Entries that were struck out are shown struck through, with who struck them and why.
///
/// Example: castlot log A07 --farm demo-farm
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub struct Args {
    /// A bin, a lot, a pack, or a day such as 2026-04-25; all entries without one.
    #[arg(value_name = "CODE|BIN|DAY")]
    what: Option<String>,
}

#[derive(Serialize)]
struct Log {
    entries: Vec<EntryJson>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed, args)?)
}

fn text(farm: &Farm, settings: &Settings, shed: &Shed, args: &Args) -> Result<String, Failure> {
    let entries = chosen(farm, settings, shed, args)?;
    if shed.json {
        let entries = entries.iter().map(|entry| json(farm, entry)).collect();
        return Ok(out::json(&Log { entries }));
    }
    if entries.is_empty() {
        return Ok("no entries\n".to_owned());
    }
    Ok(page(farm, &entries, Ink::of_stdout()))
}

fn chosen<'a>(
    farm: &'a Farm,
    settings: &Settings,
    shed: &Shed,
    args: &Args,
) -> Result<Vec<&'a Entry>, Failure> {
    let mut entries = in_order(farm);
    if let Some(by) = &shed.asked_by {
        let same = |other: &Word| {
            let (by, other) = (by.to_string(), other.to_string());
            by.eq_ignore_ascii_case(&other)
        };
        entries.retain(|entry| entry.by.as_ref().is_some_and(same));
    }
    let Some(what) = &args.what else {
        return Ok(entries);
    };
    if let Ok(moment) = Moment::read(what, settings.dates, &settings.zone) {
        entries.retain(|entry| entry.when.day() == moment.day());
        return Ok(entries);
    }
    let asking = Asking {
        farm,
        settings,
        command: "log",
    };
    match asking.find(what)? {
        Subject::Lot(id) => {
            let code = farm.lot(id).code;
            entries.retain(|entry| names_lot(entry, code));
        }
        Subject::Struck(code, _) => entries.retain(|entry| names_lot(entry, code)),
        Subject::Pack(id, serial) => {
            let code = farm.lot(id).code;
            entries.retain(|entry| names_pack(entry, code, serial));
        }
        Subject::Bin(bin) => entries.retain(|entry| names_bin(farm, entry, bin)),
        Subject::Rack(rack) => {
            let on_rack: Vec<_> = farm
                .bins()
                .iter()
                .filter(|(_, bin)| {
                    bin.standing
                        .as_ref()
                        .is_some_and(|s| s.place.rack() == rack)
                })
                .map(|(code, _)| *code)
                .collect();
            entries.retain(|entry| on_rack.iter().any(|bin| names_bin(farm, entry, *bin)));
        }
    }
    Ok(entries)
}
