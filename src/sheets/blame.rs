//! Which column a refusal is about, so that a person looks at the right cell.

use super::row::Row;
use crate::farm::{LotCode, LotLetter, Noun, Refusal};

/// Returns the column of a row that a refusal is about, where it is about one.
pub fn column_of(refusal: &Refusal, row: &Row) -> Option<&'static str> {
    let noun = row.noun();
    match refusal {
        Refusal::NoSuchLot { code, .. } | Refusal::StruckLot { code, .. } => {
            by_text(row, &code.to_string()).or_else(|| lot_column(noun, *code))
        }
        Refusal::NoSuchMark { mark, .. } => {
            by_text(row, mark.as_str()).or_else(|| source_column(noun))
        }
        Refusal::NotYet { code, .. }
        | Refusal::WrongSort { code, .. }
        | Refusal::NoSuchSerial { code, .. }
        | Refusal::KeptApart { code, .. }
        | Refusal::Held { code, .. }
        | Refusal::HeldFor { code, .. } => {
            by_text(row, &code.to_string()).or_else(|| lot_column(noun, *code))
        }
        Refusal::TooMuch { .. } | Refusal::TooManyPacks { .. } => source_column(noun),
        Refusal::NoBed { bin, .. }
        | Refusal::OtherBed { bin, .. }
        | Refusal::WhichBed { bin, .. } => by_text(row, bin.as_str()).or_else(|| bed_column(noun)),
        Refusal::BedEnded { bed, .. } => {
            by_text(row, &bed.to_string()).or_else(|| bed_column(noun))
        }
        Refusal::BinTaken { .. } => match noun {
            Noun::Split | Noun::Tip => Some("to_bin"),
            _ => Some("bin"),
        },
        Refusal::IntoItself { .. } => Some("to_bin"),
        Refusal::Twice { code } => match noun {
            Noun::Sieving if code.letter() == LotLetter::Bed => Some("from"),
            _ => Some("code"),
        },
        Refusal::ClearsUnsieved { .. } => Some("clears"),
        Refusal::TwoAmounts => Some("amount"),
        Refusal::CodeTaken { .. } | Refusal::CodeLetter { .. } => Some("code"),
        Refusal::MarkTaken { .. } => Some("ref"),
        Refusal::NoSuchComplaint { .. }
        | Refusal::NotYetTaken { .. }
        | Refusal::ComplaintTaken { .. } => Some("complaint"),
        Refusal::NoCodeLeft { .. } | Refusal::Upsets { .. } => Some("when"),
        Refusal::NoSuchEntry { .. }
        | Refusal::AlreadyStruck { .. }
        | Refusal::StrikesOnly { .. }
        | Refusal::StillNamed { .. }
        | Refusal::OtherKind { .. }
        | Refusal::NothingToUndo { .. } => None,
    }
}

/// The columns that name bins, beds, lots or packs.
const NAMING: [&str; 11] = [
    "bin", "to_bin", "takes", "from", "clears", "lot", "run", "packs", "pack", "what", "lots",
];

/// Returns the first column that has a name in it as a word of its own, in any case.
fn by_text(row: &Row, name: &str) -> Option<&'static str> {
    let has = |column: &&&str| {
        let words = row
            .cell(column)
            .split(|c: char| c == ';' || c == ':' || c == '/' || c == '#' || c.is_whitespace());
        words
            .into_iter()
            .any(|word| word.eq_ignore_ascii_case(name))
    };
    NAMING.iter().find(has).copied()
}

/// Returns the column that names a lot, by what its code's letter says it is.
fn lot_column(noun: Noun, code: LotCode) -> Option<&'static str> {
    match code.letter() {
        LotLetter::Bed => bed_column(noun),
        LotLetter::Goods | LotLetter::Harvest | LotLetter::Packs => source_column(noun),
    }
}

/// Returns the column that names beds, or else the one that names lots.
fn bed_column(noun: Noun) -> Option<&'static str> {
    match noun {
        Noun::Bin
        | Noun::Feed
        | Noun::Skip
        | Noun::Check
        | Noun::Split
        | Noun::Tip
        | Noun::Move => Some("bin"),
        Noun::Bed
        | Noun::Delivery
        | Noun::Sieving
        | Noun::Blend
        | Noun::Test
        | Noun::Pack
        | Noun::Weighing
        | Noun::Sale
        | Noun::Return
        | Noun::Count
        | Noun::Thrown
        | Noun::Complaint
        | Noun::Settlement
        | Noun::Hold
        | Noun::Recall
        | Noun::Print => source_column(noun),
    }
}

/// Returns the column that names what is taken, sold or spoken of.
fn source_column(noun: Noun) -> Option<&'static str> {
    match noun {
        Noun::Bed | Noun::Feed => Some("takes"),
        Noun::Sieving | Noun::Blend | Noun::Pack => Some("from"),
        Noun::Test | Noun::Count | Noun::Hold => Some("lot"),
        Noun::Weighing => Some("run"),
        Noun::Sale | Noun::Return | Noun::Print => Some("packs"),
        Noun::Thrown => Some("what"),
        Noun::Complaint => Some("pack"),
        Noun::Settlement => Some("complaint"),
        Noun::Recall => Some("lots"),
        Noun::Bin | Noun::Skip | Noun::Check | Noun::Split | Noun::Tip | Noun::Move => Some("bin"),
        Noun::Delivery => None,
    }
}
