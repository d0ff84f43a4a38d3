//! What a complaint's page says: what may be behind the sign, which runs may be meant, when it went in.

use crate::desk::call::{About, Because, Call};
use crate::desk::called;
use crate::farm::{Farm, LotId, Moment};
use crate::trade::Sign;

use super::phrase::{at, count};

/// Candidates that are printed; more than these are only counted.
const SHOWN: usize = 12;

/// Tells what may be behind a sign, in a sentence.
pub fn behind(signs: &[&Sign]) -> String {
    match signs {
        [] => "The table of signs has no word of this; anything may be behind it, at any time."
            .to_owned(),
        signs => {
            let causes: Vec<String> = signs.iter().map(|sign| sign.cause.to_owned()).collect();
            let or = causes.join("; or ");
            format!("Usually behind it: {or}.")
        }
    }
}

/// Lists the runs that may be meant; nothing where the run is known.
pub fn candidates(farm: &Farm, call: &Call) -> String {
    let About::AnyOf(runs, because) = &call.about else {
        return String::new();
    };
    if runs.is_empty() {
        return "No run had been sold by then, so none can be meant.\n".to_owned();
    }
    let number = count(runs.len() as u64, "run", "runs");
    let mut text = match because {
        Because::TheyFit if runs.len() == 1 => {
            "1 run may be meant; it stays a suspect until the call is narrowed:\n".to_owned()
        }
        Because::TheyFit => {
            format!("{number} may be meant; each stays a suspect until the call is narrowed:\n")
        }
        Because::NothingTells if runs.len() == 1 => {
            "Nothing tells which run is meant; the only one sold by then stays a suspect:\n"
                .to_owned()
        }
        Because::NothingTells => {
            format!("Nothing tells which run is meant; {number} sold by then stay suspects:\n")
        }
    };
    for candidate in runs.iter().take(SHOWN) {
        let code = farm.lot(candidate.run).code;
        let serial = candidate.serial.map(|serial| format!("/{serial}"));
        let what = called(farm, candidate.run);
        let packed = at(farm.lot(candidate.run).when);
        text += &format!(
            "  {what}, packed {packed}: {code}{}\n",
            serial.unwrap_or_default()
        );
        for why in &candidate.why {
            text += &format!("    {why}\n");
        }
    }
    let more = runs.len().saturating_sub(SHOWN);
    if more > 0 {
        text += &format!("  and {more} more\n");
    }
    text
}

/// Names the pack of a call, or tells how many runs may be meant.
pub fn about(farm: &Farm, call: &Call) -> String {
    match &call.about {
        About::Pack(run, serial) => {
            let serial = serial.map(|serial| format!(" #{}", serial.number()));
            marked(farm, *run) + &serial.unwrap_or_default()
        }
        About::AnyOf(runs, _) => match &runs[..] {
            [only] => format!("perhaps {}", marked(farm, only.run)),
            runs => format!("one of {}", count(runs.len() as u64, "run", "runs")),
        },
    }
}

/// Names a run by its mark, or by its code where it has none.
fn marked(farm: &Farm, run: LotId) -> String {
    let lot = farm.lot(run);
    let mark = lot.mark.as_ref().map(ToString::to_string);
    mark.unwrap_or_else(|| lot.code.to_string())
}

/// Tells between which days the cause went in, by the usual lag.
pub fn went_in(sign: &Sign, when: Moment) -> String {
    let Some(lag) = sign.lag else {
        return "whatever went in, at any time".to_owned();
    };
    let back = |days: i64| {
        let span = jiff::Span::new().days(days);
        when.day().saturating_sub(span)
    };
    let (first, last) = (back(lag.most), back(lag.least));
    format!(
        "what went in {} to {} days before, {first} to {last}",
        lag.least, lag.most
    )
}

/// Lists what to look at next.
pub fn next(signs: &[&Sign]) -> Vec<String> {
    signs
        .iter()
        .flat_map(|sign| sign.next.iter().map(|next| (*next).to_owned()))
        .collect()
}
