//! Flows: what moved from one lot to another, when, how much, and in what manner.

use super::amount::Amount;
use super::kinds::{BatchKind, DeliveryKind};
use super::lot::{LotId, LotSort};
use super::moment::Moment;
use super::packs::SerialRange;
use super::portion::Portion;

/// The place of a flow in `Farm::flows`, which stands in the order of events.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FlowId(pub(super) u32);

impl FlowId {
    /// Returns the place as an index.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// In what manner a flow carries its source.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Stuff: bedding, feed, castings, overs, liquid, packing bedding.
    Bulk,
    /// Animals.
    Live,
    /// Both at once: splits, tips, cocoons, packs opened again.
    Whole,
    /// A surface only: bags, tubs, lids.
    Touch,
}

/// By which flows something travels from lot to lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// With stuff: by bulk and whole flows only.
    Part,
    /// With animals: by live and whole flows only.
    Live,
    /// By anything that moved, surfaces too.
    Any,
}

impl Way {
    /// Tells whether a flow of that class is on such a way.
    pub fn takes(self, class: Class) -> bool {
        match (self, class) {
            (Self::Part, Class::Bulk | Class::Whole)
            | (Self::Live, Class::Live | Class::Whole)
            | (Self::Any, _) => true,
            (Self::Part, Class::Live | Class::Touch) | (Self::Live, Class::Bulk | Class::Touch) => {
                false
            }
        }
    }

    /// Returns the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Live => "live",
            Self::Any => "any",
        }
    }
}

/// How much moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Much {
    /// So much, in the source's own unit or turned into it.
    Amount(Amount),
    /// A part of one amount that was weighed for several beds together, divided by what each held.
    Divided(Amount),
    /// A share of everything.
    Portion(Portion),
    /// Everything.
    All,
}

/// How sure an amount is; the worse one is the greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Basis {
    /// Weighed, measured or counted.
    Weighed,
    /// Guessed, converted or divided.
    Guess,
    /// Nobody knows.
    Unknown,
}

impl Basis {
    /// Returns the word for it in traces.
    pub fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Guess => "guess",
            Self::Unknown => "unknown",
        }
    }
}

impl Much {
    /// Returns how sure it is.
    pub fn basis(self) -> Basis {
        match self {
            Self::Amount(Amount::Weighed(_)) | Self::Portion(_) | Self::All => Basis::Weighed,
            Self::Amount(Amount::Guess(_))
            | Self::Divided(Amount::Weighed(_) | Amount::Guess(_)) => Basis::Guess,
            Self::Amount(Amount::Unknown) | Self::Divided(Amount::Unknown) => Basis::Unknown,
        }
    }
}

/// One flow.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// The entry that tells of it, as its place in `Farm::entries`.
    pub entry: usize,
    /// When it moved.
    pub when: Moment,
    /// Where from.
    pub from: LotId,
    /// Where to; `None` for what was thrown out.
    pub to: Option<LotId>,
    /// In what manner.
    pub class: Class,
    /// How much.
    pub much: Much,
    /// Which packs were opened for it.
    pub packs: Option<SerialRange>,
}

/// What is left of a lot after a count: it stands between two flows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recount {
    /// How many flows came before it.
    pub after: usize,
    /// The lot.
    pub lot: LotId,
    /// What was found, nothing being weighed as zero.
    pub found: Amount,
}

impl Class {
    /// Returns the manner in which a draw carries its source; `pieces` where the source is counted.
    pub fn of_draw(sort: LotSort, pieces: bool) -> Self {
        match sort {
            LotSort::Delivery(DeliveryKind::Worms) | LotSort::Batch(BatchKind::Worms) => Self::Live,
            LotSort::Batch(BatchKind::Cocoons) | LotSort::Run(_) | LotSort::Bed => Self::Whole,
            LotSort::Delivery(_) | LotSort::Batch(_) if pieces => Self::Touch,
            LotSort::Delivery(
                DeliveryKind::Manure
                | DeliveryKind::Feedstock
                | DeliveryKind::Bedding
                | DeliveryKind::Grit
                | DeliveryKind::Packing,
            )
            | LotSort::Batch(
                BatchKind::Castings
                | BatchKind::Overs
                | BatchKind::Liquid
                | BatchKind::Feed
                | BatchKind::Bedding,
            ) => Self::Bulk,
        }
    }

    /// Returns the manner in which what is sieved out carries its bed.
    pub fn of_sieving(kind: BatchKind) -> Self {
        match kind {
            BatchKind::Worms => Self::Live,
            BatchKind::Cocoons => Self::Whole,
            BatchKind::Castings
            | BatchKind::Overs
            | BatchKind::Liquid
            | BatchKind::Feed
            | BatchKind::Bedding => Self::Bulk,
        }
    }
}
