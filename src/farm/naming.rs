//! Two ways of naming a lot: as a person typed it, and as the diary keeps it.

use std::fmt::Debug;

use super::bin_code::{BinCode, Mark};
use super::code::LotCode;

/// How an event names the lots it speaks of: one form for what was typed, one for what it means.
pub trait Naming: Clone + Debug + PartialEq + 'static {
    /// The name of a lot that is there already.
    type Lot: Clone + Debug + PartialEq;
    /// The code of a lot that the event makes.
    type Made: Clone + Debug + PartialEq;
}

/// As typed: codes, refs or bins; codes of new lots may be left to castlot.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed;

/// As meant: every lot by its code.
#[derive(Clone, Debug, PartialEq)]
pub struct Meant;

impl Naming for Typed {
    type Lot = LotName;
    type Made = Option<LotCode>;
}

impl Naming for Meant {
    type Lot = LotCode;
    type Made = LotCode;
}

/// A lot as a person names it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum LotName {
    /// By its code.
    Code(LotCode),
    /// By the grower's own mark.
    Mark(Mark),
}

/// A bed as an event names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BedName<L> {
    /// The bed that is in that bin then.
    Bin(BinCode),
    /// That bed, named by its own code or ref.
    Bed(L),
    /// The bed that was found in the bin that was typed. Only this form and `Bed` are ever kept.
    Found {
        /// The bin as typed.
        bin: BinCode,
        /// The bed in it then.
        bed: L,
    },
}

/// Where a bed is tipped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TipTo<L> {
    /// Into a bin, as typed, whatever is in it. Never kept.
    Typed(BinCode),
    /// Into a bin that was found empty: the bed moves there.
    Empty(BinCode),
    /// Into another bed.
    Into(BedName<L>),
}
