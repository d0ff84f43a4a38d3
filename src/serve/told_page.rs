//! What is answered to a form: what was written down, under which numbers, and the way to take it back; or why nothing was.

use askama::Template;

use crate::desk::telling::told;
use crate::farm::{BinCode, EntryNumber, Event, Farm, LotCode};
use crate::trade::lot_name;

use super::card::{apart, said_at};
use super::frame::{Frame, Worker};
use super::not_recorded::Reason;

/// The answer to a form that was recorded.
#[derive(Template)]
#[template(path = "shed/told.html")]
pub struct ToldPage<'a> {
    frame: Frame,
    worker: &'a Worker,
    head: String,
    lines: Vec<ToldLine>,
    warnings: Vec<String>,
    then: Vec<String>,
    back: Option<Back>,
    bin: Option<String>,
    next: Option<String>,
}

/// What one entry says.
struct ToldLine {
    said: String,
    entry: EntryNumber,
}

/// The entries that are taken back together.
struct Back {
    entries: String,
    first: EntryNumber,
}

/// What was recorded.
pub struct Told<'a> {
    /// The farm with the entries in it.
    pub farm: &'a Farm,
    /// Their numbers.
    pub entries: &'a [EntryNumber],
    /// What is to be said beside them.
    pub warnings: Vec<String>,
    /// What comes of it.
    pub then: Vec<String>,
    /// The bin it was of.
    pub bin: Option<String>,
    /// The bin that is next on the round.
    pub next: Option<String>,
}

impl<'a> ToldPage<'a> {
    /// Says what was recorded.
    pub fn of(name: &str, told_of: Told<'_>, worker: &'a Worker) -> Self {
        let farm = told_of.farm;
        let entries = told_of
            .entries
            .iter()
            .filter_map(|number| farm.entry(*number));
        let here: Option<BinCode> = told_of.bin.as_ref().and_then(|bin| bin.parse().ok());
        let lines: Vec<ToldLine> = entries
            .clone()
            .map(|entry| ToldLine {
                said: match here {
                    Some(bin) => sentence(&said_at(farm, entry, bin)),
                    None => told(farm, entry),
                },
                entry: entry.number,
            })
            .collect();
        // What strikes is not struck; nor is what goes with an entry by itself (a hold put on by a rule).
        let mut own: Vec<EntryNumber> = entries
            .filter(|entry| entry.event.is_some() && farm.struck_by(entry.number).is_none())
            .filter(|entry| !matches!(entry.event, Some(Event::Hold { .. })))
            .map(|entry| entry.number)
            .collect();
        own.sort_unstable();
        let back = own.first().map(|first| Back {
            first: *first,
            entries: own
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(" "),
        });
        let head = told_of.bin.clone().unwrap_or_else(|| "Recorded".to_owned());
        Self {
            frame: worker.frame(name, format!("{head}: recorded")),
            worker,
            head,
            lines,
            warnings: told_of
                .warnings
                .iter()
                .map(|line| by_name(farm, line))
                .collect(),
            then: told_of.then,
            back,
            next: told_of
                .next
                .filter(|next| told_of.bin.as_ref() != Some(next)),
            bin: told_of.bin,
        }
    }
}

/// Names lots as they are called at the rack, where a line names them by code.
fn by_name(farm: &Farm, line: &str) -> String {
    let words = line.split(' ').map(|word| {
        let code: Option<LotCode> = word.parse().ok();
        let lot = code.and_then(|code| farm.lot_of(code));
        lot.map_or_else(|| word.to_owned(), |lot| lot_name(farm, lot))
    });
    apart(&words.collect::<Vec<_>>().join(" "))
}

/// The answer to a form that was not recorded.
#[derive(Template)]
#[template(path = "shed/refused.html")]
pub struct RefusedPage {
    frame: Frame,
    reasons: Vec<Reason>,
    bin: Option<String>,
}

impl RefusedPage {
    /// Says why nothing was recorded.
    pub fn of(name: &str, reasons: Vec<Reason>, bin: Option<String>, worker: &Worker) -> Self {
        Self {
            frame: worker.frame(name, "Not recorded"),
            reasons: reasons.into_iter().map(as_sentence).collect(),
            bin,
        }
    }
}

fn as_sentence(reason: Reason) -> Reason {
    Reason {
        what: sentence(&reason.what),
        ..reason
    }
}

/// Writes a message as a sentence of its own.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    let whole = format!("{}{}", first.unwrap_or_default(), letters.as_str());
    format!("{}.", whole.trim_end_matches('.').replace('`', ""))
}
