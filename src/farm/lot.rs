//! A lot as it stands: what it is, what was drawn of it, where it went, whether it is held.

use super::amount::{Amount, Quantity, Unit};
use super::bin_code::{BinCode, Mark};
use super::code::{LotCode, LotLetter};
use super::facts::Rate;
use super::flow::FlowId;
use super::kinds::{BatchKind, DeliveryKind, PackKind, Reach};
use super::moment::Moment;
use super::shelf::Shelf;

/// The place of a lot in `Farm::lots`, which stands in the order of recording.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LotId(pub(super) u32);

impl LotId {
    /// Returns the place as an index.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// What a lot is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LotSort {
    /// A delivery.
    Delivery(DeliveryKind),
    /// A bed.
    Bed,
    /// A harvested or blended batch.
    Batch(BatchKind),
    /// A pack run.
    Run(PackKind),
}

impl LotSort {
    /// Returns the letter that begins the code of such a lot.
    pub fn letter(self) -> LotLetter {
        match self {
            Self::Delivery(_) => LotLetter::Goods,
            Self::Bed => LotLetter::Bed,
            Self::Batch(_) => LotLetter::Harvest,
            Self::Run(_) => LotLetter::Packs,
        }
    }

    /// Returns every word that `word` returns.
    pub fn words() -> Vec<&'static str> {
        let kinds = DeliveryKind::WORDS.iter().chain(BatchKind::WORDS);
        let mut words: Vec<&str> = kinds.copied().chain(["bed", "pack run"]).collect();
        words.sort_unstable();
        words.dedup();
        words
    }

    /// Returns the word for it in traces: the delivery's or batch's kind, `bed`, or `pack run`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Delivery(kind) => kind.word(),
            Self::Bed => "bed",
            Self::Batch(kind) => kind.word(),
            Self::Run(_) => "pack run",
        }
    }
}

/// A lot of the farm.
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    /// Its code.
    pub code: LotCode,
    /// The grower's own mark.
    pub mark: Option<Mark>,
    /// What it is.
    pub sort: LotSort,
    /// The entry that made it, as its place in `Farm::entries`.
    pub entry: usize,
    /// When it was made.
    pub when: Moment,
    /// Whether its making has been reached in the order of events.
    pub(super) born: bool,
    /// How it ended, for a bed.
    pub ended: Option<Ending>,
    /// The bins it has been in, for a bed.
    pub stays: Vec<Stay>,
    /// How much of it was made, except for beds and pack runs.
    pub made: Option<Amount>,
    /// What there was of it and what was drawn, except for beds and pack runs.
    pub stock: Stock,
    /// Its packs, for a pack run.
    pub shelf: Option<Box<Shelf>>,
    /// Flows into it, in the order of events.
    pub inflows: Vec<FlowId>,
    /// Flows out of it, in the order of events.
    pub outflows: Vec<FlowId>,
    /// Holds put on this lot itself.
    pub holds: Vec<Hold>,
    /// Tests of it, as places in `Farm::entries`, in the order of recording.
    pub tests: Vec<usize>,
    /// What a litre of it weighs, by the tests, in time's order.
    pub(super) densities: Vec<(Moment, Rate)>,
    /// How many pieces make a kilogram, by the tests, in time's order.
    pub(super) per_kg: Vec<(Moment, Rate)>,
}

/// How and when a bed ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ending {
    /// When.
    pub when: Moment,
    /// The entry that ended it, as its place in `Farm::entries`.
    pub entry: usize,
}

/// A bed's stay in a bin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// The bin.
    pub bin: BinCode,
    /// Since when.
    pub from: Moment,
    /// Until when, if it is not there still.
    pub to: Option<Moment>,
}

/// A hold on a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hold {
    /// The entry that put it on, as its place in `Farm::entries`.
    pub entry: usize,
    /// Since when.
    pub since: Moment,
    /// How far it reaches.
    pub reach: Reach,
    /// Until when, if it has been released.
    pub released: Option<Moment>,
}

/// What there was of a lot since it was made or last counted, and what was drawn since.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stock {
    /// What it is counted in, where anybody knows.
    pub unit: Option<Unit>,
    /// How much there was, in whole units, where anybody knows.
    pub had: Option<u64>,
    /// How much has been drawn, in whole units, of what is known.
    pub drawn: u64,
    /// Whether all of that was weighed.
    pub(super) sure: bool,
    /// How much of what was drawn was thrown out.
    pub thrown: u64,
    /// How much less a count found than the book said, in all.
    pub lost: i64,
}

impl Stock {
    /// Starts with what was made or found.
    pub(super) fn of(amount: Amount) -> Self {
        let quantity = amount.quantity();
        Self {
            unit: quantity.map(Quantity::unit),
            had: quantity.map(Quantity::value),
            drawn: 0,
            sure: amount.is_weighed(),
            thrown: 0,
            lost: 0,
        }
    }

    /// Returns what is left, never below nothing, where anybody knows.
    pub fn left(&self) -> Option<Quantity> {
        let (unit, had) = self.unit.zip(self.had)?;
        Some(Quantity::new(had.saturating_sub(self.drawn), unit))
    }

    /// Tells whether everything made and drawn was weighed.
    pub fn is_sure(&self) -> bool {
        self.sure
    }
}

impl Lot {
    /// Tells whether a hold on this lot itself stands.
    pub fn is_held(&self) -> bool {
        self.holds.iter().any(|hold| hold.released.is_none())
    }

    /// Returns the bin a bed is in, if it has not ended.
    pub fn bin(&self) -> Option<BinCode> {
        self.stays
            .last()
            .filter(|stay| stay.to.is_none())
            .map(|stay| stay.bin)
    }

    /// Returns what a litre of it weighs, by the test nearest before that moment, or else the first after.
    pub fn density(&self, when: Moment) -> Option<Rate> {
        nearest(&self.densities, when)
    }

    /// Returns how many pieces make a kilogram, chosen like a density.
    pub fn per_kg(&self, when: Moment) -> Option<Rate> {
        nearest(&self.per_kg, when)
    }
}

fn nearest(tests: &[(Moment, Rate)], when: Moment) -> Option<Rate> {
    let before = tests.iter().rev().find(|(at, _)| at.could_precede(when));
    before.or_else(|| tests.first()).map(|(_, rate)| *rate)
}
