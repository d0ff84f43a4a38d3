//! The next thing to try after each refusal: one whole command, or nothing where there is nothing sure to say.

use crate::farm::{LotCode, Quantity, Refusal};
use crate::sheets::SheetError;

/// Returns what to do next about a refusal.
pub fn of(refusal: &Refusal) -> Vec<String> {
    match refusal {
        Refusal::NoSuchLot { code, nearest } => no_such_lot(*code, nearest),
        Refusal::NoSuchMark { mark, nearest } if nearest.is_empty() => {
            vec![format!("look for it with `castlot find {mark}`")]
        }
        Refusal::NoSuchMark { nearest, .. } => {
            nearest.iter().map(|mark| if_meant(mark.as_str())).collect()
        }
        Refusal::StruckLot { by, .. } => {
            vec![format!("read why in entry {by}, with `castlot log`")]
        }
        Refusal::NoSuchComplaint { .. } => {
            vec!["see every complaint with `castlot complaint list`".to_owned()]
        }
        Refusal::ComplaintTaken { .. } => {
            vec!["leave the name out, and castlot gives the next one".to_owned()]
        }
        Refusal::NotYetTaken { taken: made, .. } | Refusal::NotYet { made, .. } => vec![format!(
            "if this happened on {made} or later, say so with `--when {made}`"
        )],
        Refusal::WrongSort { code, .. } | Refusal::NoSuchSerial { code, .. } => {
            vec![format!("see what it is with `castlot show {code}`")]
        }
        Refusal::NoBed { bin, .. } => vec![format!(
            "if a bed was made up there, record that first: `castlot bed {bin} LOT AMOUNT`"
        )],
        Refusal::OtherBed { bin, .. } => {
            vec![format!("see which beds it held with `castlot show {bin}`")]
        }
        Refusal::BedEnded { ended, .. } => vec![format!(
            "if this was before it ended, say when, as in `--when {ended}`"
        )],
        Refusal::BinTaken { bin, .. } => vec![format!(
            "if it was emptied before, record that first: `castlot tip {bin} BIN`, or `castlot throw {bin} --why WHY`"
        )],
        Refusal::ClearsUnsieved { .. } => {
            vec!["to clear every bed that is sieved, say `--clears all`".to_owned()]
        }
        Refusal::WhichBed { day, beds, .. } => {
            let bed = beds
                .first()
                .map(|bed| format!(", or name the bed, as in `{bed}`"));
            vec![format!(
                "say the time, as in `--when {day}T09:00`{}",
                bed.unwrap_or_default()
            )]
        }
        Refusal::TooMuch { code, wanted, .. } => count(*code, &found(*wanted)),
        Refusal::TooManyPacks { code, wanted, .. } => count(*code, &wanted.to_string()),
        Refusal::Held {
            code, may_despite, ..
        }
        | Refusal::HeldFor {
            code, may_despite, ..
        } => held(*code, *may_despite),
        Refusal::KeptApart { code, serial } => vec![
            format!(
                "if it was looked at and is good, put it back: `castlot return {code}/{serial}`"
            ),
            "if it has to be sold, say why, as in `--despite WHY`".to_owned(),
        ],
        Refusal::CodeTaken { .. } | Refusal::CodeLetter { .. } => {
            vec!["leave the code out, and castlot gives the next one".to_owned()]
        }
        Refusal::MarkTaken { code, .. } => {
            vec![format!("see what has it with `castlot show {code}`")]
        }
        Refusal::Upsets { entry, .. } => vec![format!(
            "if entry {entry} is wrong, strike it first: `castlot strike {entry} --why WHY`"
        )],
        Refusal::NoSuchEntry { .. } => vec!["read the last entries with `castlot log`".to_owned()],
        Refusal::StillNamed {
            entry, named_by, ..
        } => still_named(*entry, named_by),
        Refusal::OtherKind { entry } => vec![format!(
            "strike it, and record what happened: `castlot strike {entry} --why WHY`"
        )],
        Refusal::NothingToUndo { .. } => {
            vec!["say whose entry, as in `castlot undo --by NT`".to_owned()]
        }
        Refusal::IntoItself { .. }
        | Refusal::Twice { .. }
        | Refusal::NoCodeLeft { .. }
        | Refusal::TwoAmounts
        | Refusal::AlreadyStruck { .. }
        | Refusal::StrikesOnly { .. } => Vec::new(),
    }
}

/// Offers another name for the one that was typed.
pub fn if_meant(name: &str) -> String {
    format!("if `{name}` was meant, look at it with `castlot show {name}`")
}

/// Returns what to do next about a cell that does not read, where its message does not tell already.
pub fn of_cell(error: &SheetError) -> Option<String> {
    match error {
        SheetError::NoSuchProduct { typed, .. } => Some(format!(
            "add it to castlot.toml, under a heading `[product.{typed}]`"
        )),
        _ => None,
    }
}

fn no_such_lot(code: LotCode, nearest: &[LotCode]) -> Vec<String> {
    if nearest.is_empty() {
        // The day and the number are what people read off a label best.
        let half = code.to_string();
        let half = half.get(3..half.len() - 2).unwrap_or(&half);
        return vec![format!("look for it with `castlot find {half}`")];
    }
    nearest
        .iter()
        .map(|near| format!("if {near} was meant, look at it with `castlot show {near}`"))
        .collect()
}

fn count(code: LotCode, found: &str) -> Vec<String> {
    vec![format!(
        "if more is really there, count it first: `castlot record count --lot {code} --found {found} --why WHY`"
    )]
}

/// Writes a quantity so that a shell takes it as one word.
fn found(quantity: Quantity) -> String {
    quantity.to_string().replace(' ', "")
}

fn held(code: LotCode, may_despite: bool) -> Vec<String> {
    let release =
        format!("if it can be let go by itself, release it: `castlot release {code} --why WHY`");
    let despite = may_despite.then(|| "if it has to be, say why, as in `--despite WHY`".to_owned());
    std::iter::once(release).chain(despite).collect()
}

fn still_named(entry: u32, named_by: &[u32]) -> Vec<String> {
    let last = named_by.iter().max();
    let strike = last.map(|last| {
        format!("strike those first, from the last: `castlot strike {last} --why WHY`")
    });
    let correct = format!(
        "or put it right and leave them: `castlot correct {entry} --set COLUMN=VALUE --why WHY`"
    );
    strike.into_iter().chain([correct]).collect()
}
