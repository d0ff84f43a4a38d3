//! Why the farm cannot be as an entry says.

use super::amount::Quantity;
use super::bin_code::{BinCode, Mark};
use super::code::{LotCode, Serial};
use super::entry::EntryNumber;
use super::moment::Moment;

/// Why an entry is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// No lot has that code.
    #[error("no lot has the code {code}")]
    NoSuchLot {
        /// The code.
        code: LotCode,
        /// The nearest codes there are.
        nearest: Vec<LotCode>,
    },
    /// No lot has that mark.
    #[error("no lot has the ref `{mark}`")]
    NoSuchMark {
        /// The mark.
        mark: Mark,
        /// Marks that are nearly the same.
        nearest: Vec<Mark>,
    },
    /// The entry that made the lot has been struck out.
    #[error("{code} was struck out by entry {by}")]
    StruckLot {
        /// The lot.
        code: LotCode,
        /// The striking entry.
        by: EntryNumber,
    },
    /// The lot was made only later.
    #[error("{code} was made on {made}, after this")]
    NotYet {
        /// The lot.
        code: LotCode,
        /// When it was made.
        made: Moment,
    },
    /// The lot is not of the kind that can stand here.
    #[error("{code} is {}; {wanted} is wanted here", one(is))]
    WrongSort {
        /// The lot.
        code: LotCode,
        /// What it is.
        is: &'static str,
        /// What would have been right.
        wanted: &'static str,
    },
    /// No complaint has that name.
    #[error("no complaint is called `{name}`")]
    NoSuchComplaint {
        /// The name.
        name: Mark,
    },
    /// The complaint was taken only later.
    #[error("complaint {name} was taken on {taken}, after this")]
    NotYetTaken {
        /// The complaint.
        name: Mark,
        /// When it was taken.
        taken: Moment,
    },
    /// Another complaint has the name.
    #[error("a complaint is called `{name}` already")]
    ComplaintTaken {
        /// The name.
        name: Mark,
    },
    /// The bin has no bed in it then.
    #[error("bin {bin} has no bed in it on {when}")]
    NoBed {
        /// The bin.
        bin: BinCode,
        /// When.
        when: Moment,
    },
    /// The bin holds another bed than the one that was meant.
    #[error("bin {bin} holds bed {holds} on {when}, not {meant}")]
    OtherBed {
        /// The bin.
        bin: BinCode,
        /// When.
        when: Moment,
        /// The bed in it then.
        holds: LotCode,
        /// The bed that was meant.
        meant: LotCode,
    },
    /// The bed has ended before.
    #[error("bed {bed} ended on {ended}, before this")]
    BedEnded {
        /// The bed.
        bed: LotCode,
        /// When it ended.
        ended: Moment,
    },
    /// The bin has a bed in it already.
    #[error("bin {bin} holds bed {bed} on {when}")]
    BinTaken {
        /// The bin.
        bin: BinCode,
        /// The bed in it.
        bed: LotCode,
        /// When.
        when: Moment,
    },
    /// A bed is tipped into itself.
    #[error("bed {bed} cannot be tipped into itself")]
    IntoItself {
        /// The bed.
        bed: LotCode,
    },
    /// A bed is named twice in one row.
    #[error("{code} is named twice in one row")]
    Twice {
        /// What is named twice.
        code: LotCode,
    },
    /// The row is cleared of a bed that it does not sieve.
    #[error("bin {bin} is cleared but not sieved in this row")]
    ClearsUnsieved {
        /// The bin, or the bed's code.
        bin: String,
    },
    /// Nobody can tell which of two beds is meant.
    #[error("bin {bin} held more than one bed on {day}; give the time, or the bed's code: {}", codes(.beds))]
    WhichBed {
        /// The bin.
        bin: BinCode,
        /// The day.
        day: jiff::civil::Date,
        /// The beds it held.
        beds: Vec<LotCode>,
    },
    /// More is drawn than there was.
    #[error("{code} had {left} left, and {wanted} is drawn")]
    TooMuch {
        /// The lot.
        code: LotCode,
        /// What was left.
        left: Quantity,
        /// What is drawn.
        wanted: Quantity,
    },
    /// More packs are taken than there are.
    #[error("{code} has {} to take from, and {wanted} are taken", packs(*.left))]
    TooManyPacks {
        /// The run.
        code: LotCode,
        /// How many there are.
        left: u32,
        /// How many are taken.
        wanted: u32,
    },
    /// The pack came back with a complaint, and is kept apart.
    #[error("{code}/{serial} came back with a complaint and is kept apart")]
    KeptApart {
        /// The run.
        code: LotCode,
        /// The serial.
        serial: Serial,
    },
    /// The run has no such serial.
    #[error("{code} has {count} packs; there is no #{}", serial.number())]
    NoSuchSerial {
        /// The run.
        code: LotCode,
        /// The serial.
        serial: Serial,
        /// How many packs it has.
        count: u32,
    },
    /// The lot is held.
    #[error("{code} has been held since {since}")]
    Held {
        /// The lot.
        code: LotCode,
        /// Since when.
        since: Moment,
        /// Whether the row has a column `despite`.
        may_despite: bool,
    },
    /// A hold on another lot reaches it.
    #[error("{code} is held because of {origin}, which has been held since {since}")]
    HeldFor {
        /// The lot.
        code: LotCode,
        /// The lot that is held itself.
        origin: LotCode,
        /// Since when.
        since: Moment,
        /// Whether the row has a column `despite`.
        may_despite: bool,
    },
    /// The code is given already.
    #[error("the code {code} is given already, by entry {entry}")]
    CodeTaken {
        /// The code.
        code: LotCode,
        /// The entry.
        entry: EntryNumber,
    },
    /// The code's letter is not that of what is made.
    #[error("{code} cannot name a {made}: its letter says otherwise")]
    CodeLetter {
        /// The code.
        code: LotCode,
        /// What is made.
        made: &'static str,
    },
    /// The mark is used already.
    #[error("the ref `{mark}` is used already, by {code}")]
    MarkTaken {
        /// The mark.
        mark: Mark,
        /// The lot that has it.
        code: LotCode,
    },
    /// No more codes are left for the day.
    #[error("no code is left for {day}")]
    NoCodeLeft {
        /// The day.
        day: jiff::civil::Date,
    },
    /// An amount for all beds and one for a single bed stand in one row.
    #[error(
        "the row has an amount for all beds and one for a single bed; give the one or the other"
    )]
    TwoAmounts,
    /// An earlier-written entry would then be refused.
    #[error("entry {entry} would then be wrong: {why}")]
    Upsets {
        /// The entry.
        entry: EntryNumber,
        /// What would be wrong with it.
        why: Box<Refusal>,
    },
    /// There is no such entry.
    #[error("there is no entry {entry}")]
    NoSuchEntry {
        /// The number.
        entry: EntryNumber,
    },
    /// The entry has been struck out before.
    #[error("entry {entry} was struck out by entry {by}")]
    AlreadyStruck {
        /// The entry.
        entry: EntryNumber,
        /// The striking entry.
        by: EntryNumber,
    },
    /// A line drawn through an entry is not drawn through itself.
    #[error(
        "entry {entry} strikes another out, and holds nothing of its own; record again what was struck"
    )]
    StrikesOnly {
        /// The entry.
        entry: EntryNumber,
    },
    /// Unstruck entries name its lots.
    #[error("entry {entry} made {code}, which later entries name: {}", numbers(.named_by))]
    StillNamed {
        /// The entry to be struck.
        entry: EntryNumber,
        /// Its lot.
        code: LotCode,
        /// The entries that name the lot.
        named_by: Vec<EntryNumber>,
    },
    /// The replacement is of another kind.
    #[error("entry {entry} can be corrected, but not into another kind of row")]
    OtherKind {
        /// The entry.
        entry: EntryNumber,
    },
    /// Nobody with these initials wrote an entry that could be struck.
    #[error("there is no entry by `{by}` to take back")]
    NothingToUndo {
        /// The initials.
        by: String,
    },
}

fn codes(codes: &[LotCode]) -> String {
    codes
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(", ")
}

/// Writes what a lot is with the article that it takes: `a bed`, but `castings`.
fn one(is: &str) -> String {
    match is {
        "bed" | "pack run" => format!("a {is}"),
        _ => is.to_owned(),
    }
}

pub(super) fn packs(count: u32) -> String {
    match count {
        1 => "1 pack".to_owned(),
        _ => format!("{count} packs"),
    }
}

fn numbers(numbers: &[EntryNumber]) -> String {
    numbers
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(", ")
}
