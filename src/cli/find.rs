//! `castlot find`: from half a code, a place and a time to the lots that may be meant, each with why.
//!
//! `--json` prints `{"asked": 3, "candidates": [...]}`: how many things were asked, and the lots that fit the most
//! of them, pack runs first, each with `code`, `ref`, `kind`, `name`, `when`, `serial` (of the pack, where one was
//! given), `fits` (how many of the things asked) and `why` (a line each).

use serde::Serialize;

use crate::desk::candidates::{Candidate, Wanted, found};
use crate::desk::half_code::HalfCode;
use crate::desk::period::Period;
use crate::desk::{mark, title};
use crate::farm::{Farm, Serial, Settings};

use super::failure::Failure;
use super::out;
use super::shed::Shed;

/// Find a lot by half a code, by where a pack was bought, or by about when.
///
/// The code may be typed or written down as it was heard: `15-02`, `P26115`, `fifteen dash oh two`. Pack runs
/// come first, each with why it may be the one.
///
/// Example: castlot find 15-02 --bought "Quay market" --about 2026-05 --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Half a code, as it was typed or heard.
    #[arg(value_name = "HALF-CODE")]
    code: Vec<String>,
    /// Where it was bought, or who bought it.
    #[arg(long, value_name = "PLACE")]
    bought: Option<String>,
    /// About when it was bought: a day, a month or a year.
    #[arg(long, value_name = "TIME")]
    about: Option<String>,
}

/// Candidates that are printed; more than these are only counted.
const SHOWN: usize = 20;

#[derive(Serialize)]
struct FoundJson {
    asked: usize,
    candidates: Vec<CandidateJson>,
}

#[derive(Serialize)]
struct CandidateJson {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    name: String,
    when: String,
    serial: Option<u32>,
    fits: usize,
    why: Vec<String>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed, args)?)
}

fn text(farm: &Farm, settings: &Settings, shed: &Shed, args: &Args) -> Result<String, Failure> {
    let wanted = wanted(settings, shed, args)?;
    let found = found(farm, &wanted);
    let candidates = found.candidates.iter();
    let found = FoundJson {
        asked: found.asked,
        candidates: candidates.map(|found| json(farm, found)).collect(),
    };
    Ok(if shed.json {
        out::json(&found)
    } else {
        page(&found)
    })
}

fn wanted(settings: &Settings, shed: &Shed, args: &Args) -> Result<Wanted, Failure> {
    let typed = args.code.join(" ");
    let code =
        match typed.trim() {
            "" => None,
            typed => Some(HalfCode::read(typed).ok_or_else(|| {
                Failure::refused(format!("`{typed}` has nothing of a code in it"))
            })?),
        };
    let about = match &args.about {
        None => None,
        Some(text) => {
            let today = settings.zone.to_datetime(shed.now).date();
            Some(Period::read(text, settings.dates, today).ok_or_else(|| {
                Failure::refused(format!("`{text}` is not a day, a month or a year"))
                    .hint("write it as in `--about 2026-05`, `--about 2026-05-09` or `--about may`")
            })?)
        }
    };
    let bought = args.bought.as_ref().map(|place| place.trim().to_owned());
    let bought = bought.filter(|place| !place.is_empty());
    if code.is_none() && bought.is_none() && about.is_none() {
        return Err(Failure::refused("nothing to look for").hint(
            "give half a code, a place or a time: `castlot find 15-02 --bought \"Quay market\" --about 2026-05`",
        ));
    }
    Ok(Wanted {
        code,
        bought,
        about,
    })
}

fn json(farm: &Farm, found: &Candidate) -> CandidateJson {
    let lot = farm.lot(found.lot);
    CandidateJson {
        code: lot.code.to_string(),
        mark: mark(farm, found.lot),
        kind: lot.sort.word(),
        name: title(farm, found.lot),
        when: lot.when.to_string(),
        serial: found.serial.map(Serial::number),
        fits: found.fits,
        why: found.why.clone(),
    }
}

fn page(found: &FoundJson) -> String {
    let Some(best) = found.candidates.first() else {
        return "nothing fits; try less of the code, or leave the place or the time out\n"
            .to_owned();
    };
    let mut text = String::new();
    if best.fits < found.asked {
        text += "Nothing fits all of that; these fit in part:\n\n";
    }
    for candidate in found.candidates.iter().take(SHOWN) {
        let mark = candidate.mark.as_ref().map(|mark| format!(" ({mark})"));
        let serial = candidate.serial.map(|serial| format!("/{serial:04}"));
        let (mark, serial) = (mark.unwrap_or_default(), serial.unwrap_or_default());
        let when = candidate.when.replace('T', " ");
        let made = if candidate.kind == "pack run" {
            "packed "
        } else {
            ""
        };
        text += &format!(
            "{}{mark}, {made}{when}: {}{serial}\n",
            candidate.name, candidate.code
        );
        for why in &candidate.why {
            text += &format!("  {why}\n");
        }
    }
    let more = found.candidates.len().saturating_sub(SHOWN);
    if more > 0 {
        text += &format!(
            "\nand {more} more; a longer piece of the code, a place or a time narrows it\n"
        );
    }
    text
}

#[cfg(test)]
#[path = "find_test.rs"]
mod tests;
