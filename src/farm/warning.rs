//! What the farm lets pass, with a word.

use super::amount::Quantity;
use super::bin_code::{BinCode, Place};
use super::code::{LotCode, PackCode};
use super::packs::SerialRange;
use super::refusal::packs;
use super::shelf::Fate;

/// What is let pass, with a word.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Warning {
    /// The bin was never set up.
    #[error("bin {bin} has not been set up; if it is new, record it with its place")]
    UnknownBin {
        /// The bin.
        bin: BinCode,
    },
    /// Two bins stand in one place.
    #[error("{place} is where bin {other} stands; bin {bin} is put there too")]
    PlaceTaken {
        /// The place.
        place: Place,
        /// The bin that stands there.
        other: BinCode,
        /// The bin that is put there.
        bin: BinCode,
    },
    /// More is drawn than there was, but not all was weighed.
    #[error("{code} had about {left} left, and {wanted} is drawn")]
    MoreThanLeft {
        /// The lot.
        code: LotCode,
        /// What was left.
        left: Quantity,
        /// What is drawn.
        wanted: Quantity,
    },
    /// The draw is in a unit that nothing turns into the lot's own.
    #[error(
        "{code} is kept in other units and has no {test} test; the {wanted} drawn counts as not known"
    )]
    NoRate {
        /// The lot.
        code: LotCode,
        /// The test that would help.
        test: &'static str,
        /// What is drawn.
        wanted: Quantity,
    },
    /// More packs are taken than there are, by no more than scales differ.
    #[error("{code} has {} there, and {wanted} are taken", packs(*.left))]
    MorePacks {
        /// The run.
        code: LotCode,
        /// How many there are.
        left: u32,
        /// How many are taken.
        wanted: u32,
    },
    /// Packs are not where the row says.
    #[error("{} {} already", which_packs(*.code, *.serials), fate_word(*.fate))]
    PackElsewhere {
        /// The run.
        code: LotCode,
        /// Their serials.
        serials: SerialRange,
        /// What had become of them.
        fate: Fate,
    },
    /// A held lot is used all the same, with a reason.
    #[error("{code} is held; used despite that: {why}")]
    Despite {
        /// The lot.
        code: LotCode,
        /// The reason given.
        why: String,
    },
    /// A lot that is not held is released.
    #[error("{code} was not held")]
    NotHeld {
        /// The lot.
        code: LotCode,
    },
    /// The value of a density or count test is not a number.
    #[error(
        "the value `{value}` of {test} is not a number above nothing; it turns no amount into another"
    )]
    NotARate {
        /// The test.
        test: String,
        /// The value.
        value: String,
    },
}

/// Names packs with their verb: `P26115-07-S/0012 is`, or `P26115-07-S #1-12 are`.
fn which_packs(run: LotCode, serials: SerialRange) -> String {
    if serials.count() == 1 {
        let serial = serials.first();
        format!("{} is", PackCode { run, serial })
    } else {
        format!("{run} #{serials} are")
    }
}

fn fate_word(fate: Fate) -> &'static str {
    match fate {
        Fate::InStore => "in store",
        Fate::Sold => "sold",
        Fate::Complained => "back with a complaint",
        Fate::Thrown => "thrown out",
        Fate::Opened => "opened",
    }
}
