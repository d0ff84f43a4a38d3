//! `castlot find`: from half a code, a place and a time to the lots that may be meant, each with why.
//!
//! `--json` prints `{"asked": 3, "candidates": [...]}`: how many things were asked, and the lots that fit the most
//! of them, pack runs first, each with `code`, `ref`, `kind`, `name`, `when`, `serial` (of the pack, where one was
//! given), `fits` (how many of the things asked) and `why` (a line each).

use serde::Serialize;

use crate::farm::{Farm, LotId, LotSort, Serial, Settings};

use super::failure::Failure;
use super::find_sale::best_sale;
use super::half_code::HalfCode;
use super::named::title;
use super::out;
use super::period::{Near, Period};
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
pub(super) struct Found {
    asked: usize,
    pub(super) candidates: Vec<Candidate>,
}

#[derive(Debug, Serialize)]
pub(super) struct Candidate {
    #[serde(skip)]
    pub(super) id: LotId,
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    name: String,
    when: String,
    pub(super) serial: Option<u32>,
    fits: usize,
    pub(super) why: Vec<String>,
    /// How well the code fits by itself; 0 where none was asked for or it does not.
    #[serde(skip)]
    strength: u32,
    #[serde(skip)]
    rank: Rank,
}

/// What candidates are sorted by: those that fit more first, then runs, then by how well, then the newest.
type Rank = (std::cmp::Reverse<usize>, bool, std::cmp::Reverse<u32>, i64);

/// What is looked for.
pub(super) struct Wanted {
    pub(super) code: Option<HalfCode>,
    pub(super) bought: Option<String>,
    pub(super) about: Option<Period>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed, args)?)
}

fn text(farm: &Farm, settings: &Settings, shed: &Shed, args: &Args) -> Result<String, Failure> {
    let wanted = wanted(settings, shed, args)?;
    let found = found(farm, &wanted);
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

/// Returns the lots that fit the most of what is asked, the best first.
pub(super) fn found(farm: &Farm, wanted: &Wanted) -> Found {
    let asked = [
        wanted.code.is_some(),
        wanted.bought.is_some(),
        wanted.about.is_some(),
    ];
    let asked = asked.into_iter().filter(|asked| *asked).count();
    let weigh = |id| weighed(farm, wanted, id);
    let mut candidates: Vec<Candidate> = farm.lots().filter_map(|(id, _)| weigh(id)).collect();
    let best = candidates.iter().map(|c| c.fits).max().unwrap_or_default();
    candidates.retain(|candidate| candidate.fits == best);
    // A slip in the code counts only where no lot has the code as it was given.
    let well = candidates
        .iter()
        .map(|c| c.strength)
        .max()
        .unwrap_or_default();
    if wanted.code.is_some() && well > SLIP {
        candidates.retain(|candidate| candidate.strength > SLIP);
    }
    // Alone, a short piece is within a slip of half the farm.
    let short = wanted.code.as_ref().is_some_and(HalfCode::is_short);
    if asked == 1 && short {
        candidates.retain(|candidate| candidate.strength > SLIP);
    }
    candidates.sort_by_key(|candidate| candidate.rank);
    Found { asked, candidates }
}

/// How well a code with a slip in it fits.
const SLIP: u32 = 1;

fn weighed(farm: &Farm, wanted: &Wanted, id: LotId) -> Option<Candidate> {
    let lot = farm.lot(id);
    let (mut why, mut fits, mut well, mut strength) = (Vec::new(), 0, 0, 0);
    let code = wanted.code.as_ref().and_then(|half| half.fits(lot));
    if let Some((by_code, reason)) = code {
        (fits, well, strength) = (1, by_code, by_code);
        why.push(reason);
    }
    if let Some(sale) = best_sale(farm, wanted, lot) {
        fits += usize::from(sale.place) + usize::from(sale.near.is_some());
        well += match sale.near {
            Some(Near::Within) => 2,
            Some(Near::Days(_)) => 1,
            None => 0,
        };
        why.push(sale.reason);
    }
    if fits == 0 {
        return None;
    }
    let serial = wanted.code.as_ref().and_then(|half| half.serial);
    let known = |serial: &Serial| {
        lot.shelf
            .as_ref()
            .is_some_and(|s| s.fate(*serial).is_some())
    };
    let is_run = matches!(lot.sort, LotSort::Run(_));
    let newest = -lot.when.latest();
    Some(Candidate {
        id,
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        kind: lot.sort.word(),
        name: title(farm, id),
        when: lot.when.to_string(),
        serial: serial.filter(known).map(Serial::number),
        fits,
        why,
        strength,
        rank: (
            std::cmp::Reverse(fits),
            !is_run,
            std::cmp::Reverse(well),
            newest,
        ),
    })
}

fn page(found: &Found) -> String {
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
