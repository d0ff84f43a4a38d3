//! Why a text names nothing on this farm, and what it may have meant.

use crate::farm::{BinCode, CodeError, EntryNumber, LotCode, Mark, Moment, Refusal, Serial};

/// A text that leads nowhere.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Lost {
    /// The code is right, and no lot has it.
    #[error("{}", Refusal::NoSuchLot { code: *code, nearest: Vec::new() })]
    NoSuchLot {
        /// The code.
        code: LotCode,
        /// The nearest codes there are.
        nearest: Vec<LotCode>,
    },
    /// The lot was struck out.
    #[error("{}", Refusal::StruckLot { code: *code, by: *by })]
    Struck {
        /// The lot.
        code: LotCode,
        /// The entry that struck it.
        by: EntryNumber,
    },
    /// A serial is of a pack, and the lot is none.
    #[error("{code} is {sort}; only pack runs have serials")]
    NotARun {
        /// The lot.
        code: LotCode,
        /// What it is.
        sort: &'static str,
    },
    /// The run has no such pack.
    #[error("{}", Refusal::NoSuchSerial { code: *code, serial: *serial, count: *count })]
    NoSuchSerial {
        /// The run.
        code: LotCode,
        /// The serial.
        serial: Serial,
        /// How many packs it has.
        count: u32,
    },
    /// Nothing is called so.
    #[error("no lot, bin or rack is called `{mark}`")]
    NoSuchMark {
        /// The name.
        mark: Mark,
        /// The lots that are called nearly so.
        nearest: Vec<LotCode>,
    },
    /// No bin is called so, but one nearly.
    #[error("no bin or rack is called `{bin}`")]
    NearlyBin {
        /// The name.
        bin: BinCode,
        /// The bin that is called nearly so.
        near: BinCode,
    },
    /// Nothing is called so, and half a lot's code looks like it.
    #[error("no lot, bin or rack is called `{bin}`")]
    NoSuchBin {
        /// The name.
        bin: BinCode,
        /// The lots that have it in their codes.
        with: Vec<LotCode>,
    },
    /// No such rack.
    #[error("no bin stands on rack `{rack}`")]
    NoSuchRack {
        /// The name.
        rack: String,
    },
    /// A rack is not a lot.
    #[error("`{rack}` is a rack; a lot, a pack or a bin is wanted")]
    IsRack {
        /// The rack.
        rack: String,
    },
    /// The bin was empty.
    #[error("bin {bin} has no bed in it {}", then(*when))]
    NoBedIn {
        /// The bin.
        bin: BinCode,
        /// When; now, where nothing was said.
        when: Option<Moment>,
        /// The last bed that was in it.
        last: Option<LotCode>,
    },
    /// It is a web address of somebody else.
    #[error("`{address}` is no address of this farm")]
    StrangeAddress {
        /// The address.
        address: String,
        /// The code in it.
        code: Option<LotCode>,
    },
    /// It does not read as a code.
    #[error("{error}")]
    Misread {
        /// What is wrong with it.
        error: CodeError,
        /// The part with the slip.
        slip: String,
        /// The nearest codes there are.
        nearest: Vec<LotCode>,
    },
}

fn then(when: Option<Moment>) -> String {
    when.map_or_else(|| "now".to_owned(), |when| format!("on {when}"))
}
