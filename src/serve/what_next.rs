//! What to do next about a form that was refused, in words for whoever stands at the rack with a phone; nothing, where there
//! is nothing sure to say. What only the computer that castlot runs on can do is said to be done there.

use crate::desk::Unsaid;
use crate::farm::{CodeError, Refusal};
use crate::sheets::SheetError;

use super::forms::FormError;

/// Returns what to do next about a rule that refused.
pub fn after_refusal(refusal: &Refusal) -> Option<String> {
    let next = match refusal {
        Refusal::NoSuchLot { nearest, .. } => return Some(near(nearest)),
        Refusal::NoSuchMark { nearest, .. } => return Some(near(nearest)),
        Refusal::NoSuchSerial { count, .. } => {
            return Some(format!(
                "Serials count from 1 to {count}: read the pack's again."
            ));
        }
        Refusal::StruckLot { .. } => "Look under Find for the one that stands in its place.",
        Refusal::WrongSort { .. } => "Look under Find what it is.",
        Refusal::NotYet { .. } => {
            "Choose another, or have the day put right at the computer on which it was made too late."
        }
        Refusal::NoBed { .. } => {
            "If a bed was made up there, that has to be written down first, at the computer."
        }
        Refusal::OtherBed { .. } => "Open the bin again: it shows the bed that is in it now.",
        Refusal::BedEnded { .. } => {
            "If you did this before that, have it written down at the computer, with its time."
        }
        Refusal::WhichBed { .. } => "Have it written down at the computer, with its time.",
        Refusal::TooMuch { .. } => {
            "Choose another feed, or say a smaller amount. If more is really there, have it counted first, at the computer."
        }
        Refusal::TooManyPacks { .. } => "Have the packs counted, at the computer.",
        Refusal::Held { .. } | Refusal::HeldFor { .. } => {
            "Use another lot until it is released: choose it under “Feed in use”."
        }
        Refusal::Upsets { entry, .. } => {
            return Some(format!(
                "If entry {entry} is wrong, have it struck out first; then send this again."
            ));
        }
        Refusal::StillNamed { .. } => {
            "Take those back first, from the last, or have this one put right at the computer."
        }
        Refusal::AlreadyStruck { .. } => "There is nothing left to do.",
        Refusal::NoSuchComplaint { .. }
        | Refusal::NotYetTaken { .. }
        | Refusal::ComplaintTaken { .. }
        | Refusal::BinTaken { .. }
        | Refusal::IntoItself { .. }
        | Refusal::Twice { .. }
        | Refusal::ClearsUnsieved { .. }
        | Refusal::KeptApart { .. }
        | Refusal::CodeTaken { .. }
        | Refusal::CodeLetter { .. }
        | Refusal::MarkTaken { .. }
        | Refusal::NoCodeLeft { .. }
        | Refusal::TwoAmounts
        | Refusal::NoSuchEntry { .. }
        | Refusal::StrikesOnly { .. }
        | Refusal::OtherKind { .. }
        | Refusal::NothingToUndo { .. } => return None,
    };
    Some(next.to_owned())
}

/// Returns what to do next about a field that does not read, where its message does not tell already.
pub fn after_cell(error: &SheetError) -> Option<String> {
    match error {
        SheetError::Refused { source } => after_refusal(source),
        SheetError::Amount { .. } => {
            Some("A number and its unit are read, as in 300 g or 2 scoop.".to_owned())
        }
        SheetError::Code {
            source: CodeError::Shape { .. } | CodeError::Check { .. } | CodeError::Mark { .. },
        } => Some("Look it up under Find.".to_owned()),
        _ => None,
    }
}

/// Returns what to do next about words that say too little.
pub fn after_words(unsaid: &Unsaid) -> Option<String> {
    let next = match unsaid {
        Unsaid::NoLot { .. } => {
            "Choose the feed under “Feed in use”, or write both, as in mix-18 300g."
        }
        Unsaid::NoAmount { .. } => "Write how much behind it, as in mix-18 300g.",
        Unsaid::NothingToGive { .. } => "Say how much, under “Fed another amount”.",
        Unsaid::FedAndSkipped { .. }
        | Unsaid::NoWhy
        | Unsaid::NoKey { .. }
        | Unsaid::Twice { .. }
        | Unsaid::NoRange { .. }
        | Unsaid::LongRange { .. }
        | Unsaid::NoPacks { .. } => return None,
    };
    Some(next.to_owned())
}

/// Returns what to do next about a form.
pub fn after_form(error: &FormError) -> Option<String> {
    match error {
        FormError::Missing { .. } => Some("Say that too, and send it again.".to_owned()),
        FormError::Code { .. } | FormError::NoBed { .. } => {
            Some("Scan the bin again, and send it from there.".to_owned())
        }
        FormError::Unsaid { source } => after_words(source),
        FormError::TooMany => Some("Take them back a few at a time.".to_owned()),
        FormError::NotYours { .. } => {
            Some("Whoever wrote it can, or anybody at the computer.".to_owned())
        }
    }
}

fn near(nearest: &[impl std::fmt::Display]) -> String {
    if nearest.is_empty() {
        return "Look it up under Find: half of it may be enough.".to_owned();
    }
    let names: Vec<String> = nearest.iter().map(ToString::to_string).collect();
    format!("Nearly the same: {}.", names.join(", "))
}
