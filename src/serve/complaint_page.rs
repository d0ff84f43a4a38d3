//! A complaint taken at the rack or the stall, from a scanned pack or from whatever is known of it.

use askama::Template;

use crate::desk::call::{About, Call};
use crate::desk::rows::{maybe, put};
use crate::desk::{Finder, Subject, called};
use crate::farm::{Farm, LotSort, Noun, Settings};
use crate::sheets::Row;
use crate::trade::{SIGNS, Sign};

use super::find_page::with_serial;
use super::forms::FormError;
use super::frame::{Frame, Worker};
use super::posted::Fields;
use super::today::Rack;

/// The page that asks.
#[derive(Template)]
#[template(path = "shed/complaint.html")]
pub struct ComplaintPage<'a> {
    frame: Frame,
    worker: &'a Worker,
    /// The pack as it was scanned.
    pack: String,
    /// What that is, where it is known.
    known: Option<String>,
    signs: &'static [Sign],
}

impl<'a> ComplaintPage<'a> {
    /// Asks for a complaint, about a pack where one was scanned.
    pub fn of(rack: Rack<'_>, pack: Option<&str>, worker: &'a Worker) -> Self {
        let pack = pack.map(str::trim).unwrap_or_default();
        let named = named(rack.farm, rack.settings, pack);
        Self {
            frame: worker.frame(&rack.settings.name, "Complaint"),
            worker,
            known: named.as_ref().map(|(_, name)| name.clone()),
            pack: named.map_or_else(|| pack.to_owned(), |(code, _)| code),
            signs: SIGNS,
        }
    }
}

/// Reads the form as a row of the diary: as `castlot complaint take` writes it.
///
/// # Errors
/// Where nothing is said of what was seen.
pub fn row(rack: Rack<'_>, fields: &Fields, when: Option<&str>) -> Result<Row<'static>, FormError> {
    let signs = [fields.said("sign"), fields.said("own_sign")];
    let signs: Vec<&str> = signs.into_iter().flatten().collect();
    if signs.is_empty() {
        return Err(FormError::Missing {
            what: "what was seen",
        });
    }
    let typed = fields.said("pack");
    let named = typed.and_then(|typed| named(rack.farm, rack.settings, typed));
    // What names no pack of the diary is kept as it was heard.
    let heard = typed.filter(|_| named.is_none());
    let mut row = Row::new(Noun::Complaint);
    maybe(&mut row, "when", when);
    maybe(&mut row, "note", fields.said("note"));
    put(&mut row, "sign", signs.join("; "));
    maybe(
        &mut row,
        "pack",
        named.as_ref().map(|(code, _)| code.as_str()),
    );
    maybe(&mut row, "heard", heard);
    maybe(&mut row, "bought_at", fields.said("bought_at"));
    maybe(&mut row, "bought_about", fields.said("bought_about"));
    maybe(&mut row, "contact", fields.said("contact"));
    Ok(row)
}

/// Returns the code of the pack or run that a text names, and what it is.
fn named(farm: &Farm, settings: &Settings, typed: &str) -> Option<(String, String)> {
    let finder = Finder { farm, settings };
    // A serial may stand behind a space: `run-36 #1`.
    let (run, serial) = match finder.find(&typed.replace(" #", "#")).ok()? {
        Subject::Pack(run, serial) => (run, Some(serial)),
        Subject::Lot(run) if matches!(farm.lot(run).sort, LotSort::Run(_)) => (run, None),
        Subject::Lot(_) | Subject::Struck(..) | Subject::Bin(_) | Subject::Rack(_) => return None,
    };
    Some((with_serial(farm.lot(run).code, serial), called(farm, run)))
}

/// Says what may be behind a complaint just taken, and which runs may be meant, a line each.
pub fn what_then(farm: &Farm, settings: &Settings, entry: crate::farm::EntryNumber) -> Vec<String> {
    let taken = farm.entry(entry);
    let Some(call) = taken.and_then(|entry| Call::of_entry(farm, settings, entry)) else {
        return Vec::new();
    };
    let signs = call.signs().into_iter();
    let mut lines: Vec<String> = signs
        .map(|sign| format!("{}: likely behind it: {}", sign.name, sign.cause))
        .collect();
    if let About::AnyOf(candidates, _) = &call.about {
        let names: Vec<String> = candidates
            .iter()
            .take(SHOWN)
            .map(|candidate| called(farm, candidate.run))
            .collect();
        let more = candidates.len().saturating_sub(SHOWN);
        let more = if more > 0 {
            format!(", and {more} more")
        } else {
            String::new()
        };
        if !names.is_empty() {
            lines.push(format!(
                "Runs that may be meant: {}{more}",
                names.join("; ")
            ));
        }
    }
    lines
}

/// So many runs are named.
const SHOWN: usize = 8;
