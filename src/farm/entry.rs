//! What can stand in the diary: one event a kind of row, and the entry that dates and numbers it.
//!
//! Promises that an event that exists is well formed; whether it fits the farm is for `fold` to say.

use jiff::Timestamp;
use jiff::civil::Date;

use super::amount::{Amount, Quantity};
use super::bin_code::{BinCode, Mark, Place};
use super::code::LotCode;
use super::facts::{BinFacts, CheckFacts, ComplaintFacts, DeliveryFacts, PrintFacts, TestFacts};
use super::kinds::{BatchKind, HoldStep, RecallStep, ReturnState};
use super::lot::LotSort;
use super::moment::Moment;
use super::naming::{BedName, Meant, Naming, TipTo, Typed};
use super::packs::{PackName, PackPick, SerialRange};
use super::portion::Portion;
use super::product::Product;
use super::word::Word;

/// The number of an entry, counted from 1 without a gap.
pub type EntryNumber = u32;

/// One entry of the diary.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number.
    pub number: EntryNumber,
    /// When it happened.
    pub when: Moment,
    /// When it was written down.
    pub written: Timestamp,
    /// Who wrote it.
    pub by: Option<Word>,
    /// A remark.
    pub note: Option<Word>,
    /// The entry that this one strikes out, and why.
    pub strikes: Option<Strike>,
    /// What happened; nothing more than the striking, where there is none.
    pub event: Option<Event<Meant>>,
}

/// A line drawn through an earlier entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Strike {
    /// The entry that is struck.
    pub entry: EntryNumber,
    /// Why.
    pub why: Word,
}

/// A row as it was typed, before its lots are looked up.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// When it happened.
    pub when: Moment,
    /// Who says so.
    pub by: Option<Word>,
    /// A remark.
    pub note: Option<Word>,
    /// What happened.
    pub event: Event<Typed>,
}

/// A lot that an event makes: its code and the grower's mark for it.
#[derive(Clone, Debug, PartialEq)]
pub struct NewLot<N: Naming> {
    /// Its code.
    pub code: N::Made,
    /// The grower's own mark.
    pub mark: Option<Mark>,
}

/// Something taken from a lot, or from packs that are opened again.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw<N: Naming> {
    /// The lot it is taken from.
    pub lot: N::Lot,
    /// The packs that were opened, where the lot is a pack run.
    pub packs: Option<SerialRange>,
    /// How much.
    pub amount: Amount,
}

/// A bed that is sieved, and how much came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sieved<N: Naming> {
    /// The bed.
    pub bed: BedName<N::Lot>,
    /// What came of it, where the row says so for each bed.
    pub amount: Option<Amount>,
}

/// What a row of thrown.csv throws out.
#[derive(Clone, Debug, PartialEq)]
pub enum Thrown<N: Naming> {
    /// Some of a lot.
    Some(Draw<N>),
    /// Packs off the shelf.
    Packs(Vec<PackPick<N>>),
    /// A whole bed, which ends there.
    Bed(BedName<N::Lot>),
}

/// What happened. One variant a sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Event<N: Naming> {
    /// A bin is set up in its place.
    Bin {
        bin: BinCode,
        place: Place,
        facts: Box<BinFacts>,
    },
    /// A delivery comes in.
    Delivery {
        lot: NewLot<N>,
        amount: Amount,
        facts: Box<DeliveryFacts>,
    },
    /// A bed is made up in a bin.
    Bed {
        lot: NewLot<N>,
        bin: BinCode,
        takes: Vec<Draw<N>>,
        species: Option<Box<str>>,
    },
    /// A bed is fed.
    Feed {
        bed: BedName<N::Lot>,
        takes: Vec<Draw<N>>,
    },
    /// A bed is passed over.
    Skip { bed: BedName<N::Lot>, why: Word },
    /// A bed is looked at.
    Check {
        bed: BedName<N::Lot>,
        facts: Box<CheckFacts>,
    },
    /// A share of everything in a bed is made into a new one.
    Split {
        bed: BedName<N::Lot>,
        share: Portion,
        to: BinCode,
        lot: NewLot<N>,
    },
    /// A bed is tipped into another bin: it moves there if that is empty, else it goes into the bed there.
    Tip {
        bed: BedName<N::Lot>,
        to: TipTo<N::Lot>,
    },
    /// A bin is put in another place.
    Move { bin: BinCode, place: Place },
    /// Beds are sieved, or worms, cocoons or liquid taken from them.
    Sieving {
        lot: NewLot<N>,
        kind: BatchKind,
        from: Vec<Sieved<N>>,
        whole: Option<Amount>,
        clears: Clears<N>,
    },
    /// Lots are put together.
    Blend {
        lot: NewLot<N>,
        kind: BatchKind,
        from: Vec<Draw<N>>,
    },
    /// Something is found out about a lot.
    Test { lot: N::Lot, facts: Box<TestFacts> },
    /// Packs are filled.
    Pack {
        lot: NewLot<N>,
        product: Box<Product>,
        count: u32,
        from: Vec<Draw<N>>,
        best_by: Option<Date>,
        despite: Option<Box<str>>,
    },
    /// Packs are weighed, measured or counted out.
    Weighing {
        run: N::Lot,
        values: Vec<Quantity>,
        tare: Option<Quantity>,
    },
    /// Packs are sold.
    Sale {
        packs: Vec<PackPick<N>>,
        to: Box<SaleTo>,
        despite: Option<Box<str>>,
    },
    /// Packs come back.
    Return {
        packs: Vec<PackPick<N>>,
        state: ReturnState,
        buyer: Option<Word>,
        market: Option<Word>,
    },
    /// What is really left of a lot is counted.
    Count {
        lot: N::Lot,
        found: Found,
        why: Word,
    },
    /// Something is thrown out.
    Thrown { what: Thrown<N>, why: Word },
    /// Somebody complains.
    Complaint {
        pack: Option<PackName<N>>,
        facts: Box<ComplaintFacts>,
    },
    /// A complaint is settled.
    Settlement { complaint: Mark, why: Word },
    /// A lot is held, or released.
    Hold {
        lot: N::Lot,
        step: HoldStep,
        reason: Word,
    },
    /// A recall goes a step on.
    Recall {
        recall: Box<str>,
        step: RecallStep,
        lots: Vec<N::Lot>,
        packs: Vec<PackPick<N>>,
        buyer: Option<Word>,
        why: Option<Word>,
    },
    /// Labels were printed.
    Print {
        packs: Vec<PackPick<N>>,
        facts: Box<PrintFacts>,
    },
}

/// Which beds end with a sieving.
#[derive(Clone, Debug, PartialEq)]
pub enum Clears<N: Naming> {
    /// None, or those named.
    Named(Vec<BedName<N::Lot>>),
    /// All that are sieved.
    All,
}

/// What a count found: some of a lot's stuff, or nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// Nothing is left.
    Nothing,
    /// So much is left.
    Some(Amount),
}

/// Who got what was sold, and on what paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SaleTo {
    /// The buyer, where there is a name.
    pub buyer: Option<Word>,
    /// The market, where there is none.
    pub market: Option<Word>,
    /// How to reach the buyer.
    pub contact: Option<Word>,
    /// The number of the invoice or note.
    pub document: Option<Box<str>>,
}

impl<N: Naming> Event<N> {
    /// Returns the lot that the event makes, if it makes one.
    pub fn makes(&self) -> Option<&NewLot<N>> {
        self.makes_what().map(|(lot, _)| lot)
    }

    /// Returns the lot that the event makes and what it is, if it makes one.
    pub(super) fn makes_what(&self) -> Option<(&NewLot<N>, LotSort)> {
        match self {
            Self::Delivery { lot, facts, .. } => Some((lot, LotSort::Delivery(facts.kind))),
            Self::Bed { lot, .. } | Self::Split { lot, .. } => Some((lot, LotSort::Bed)),
            Self::Sieving { lot, kind, .. } | Self::Blend { lot, kind, .. } => {
                Some((lot, LotSort::Batch(*kind)))
            }
            Self::Pack { lot, product, .. } => Some((lot, LotSort::Run(product.kind))),
            Self::Bin { .. }
            | Self::Feed { .. }
            | Self::Skip { .. }
            | Self::Check { .. }
            | Self::Tip { .. }
            | Self::Move { .. }
            | Self::Test { .. }
            | Self::Weighing { .. }
            | Self::Sale { .. }
            | Self::Return { .. }
            | Self::Count { .. }
            | Self::Thrown { .. }
            | Self::Complaint { .. }
            | Self::Settlement { .. }
            | Self::Hold { .. }
            | Self::Recall { .. }
            | Self::Print { .. } => None,
        }
    }
}

impl Entry {
    /// Returns the code of the lot that the entry made, if it made one.
    pub fn made(&self) -> Option<LotCode> {
        self.event
            .as_ref()
            .and_then(Event::makes)
            .map(|lot| lot.code)
    }
}
