//! The layers of a lineage drawing, and the order of kinds in each.

use crate::farm::{BatchKind, LotSort};

/// A layer of the drawing, from the top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// Deliveries.
    Goods,
    /// What was mixed or prepared to feed and bed with.
    Mixed,
    /// Beds.
    Beds,
    /// What was taken from beds, or blended of it, and packs that were opened.
    Taken,
    /// The lot itself.
    Subject,
}

impl Layer {
    /// Returns the words over the layer.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Goods => "Came in",
            Self::Mixed => "Mixed and prepared",
            Self::Beds => "Beds",
            Self::Taken => "Taken from beds",
            Self::Subject => "This lot",
        }
    }

    /// Returns the layer of a lot behind another.
    pub fn of(sort: LotSort) -> Self {
        match sort {
            LotSort::Delivery(_) => Self::Goods,
            LotSort::Batch(BatchKind::Feed | BatchKind::Bedding) => Self::Mixed,
            LotSort::Bed => Self::Beds,
            LotSort::Batch(
                BatchKind::Castings
                | BatchKind::Worms
                | BatchKind::Cocoons
                | BatchKind::Overs
                | BatchKind::Liquid,
            )
            | LotSort::Run(_) => Self::Taken,
        }
    }
}

/// Returns the order of kinds in a layer: what goes back into beds first, what is packed last.
pub fn rank(sort: LotSort) -> u8 {
    match sort {
        LotSort::Delivery(kind) => kind as u8,
        LotSort::Bed => 0,
        LotSort::Batch(BatchKind::Feed) => 1,
        LotSort::Batch(BatchKind::Bedding) => 2,
        LotSort::Batch(BatchKind::Overs) => 3,
        LotSort::Batch(BatchKind::Cocoons) => 4,
        LotSort::Batch(BatchKind::Worms) => 5,
        LotSort::Batch(BatchKind::Liquid) => 6,
        LotSort::Batch(BatchKind::Castings) => 7,
        LotSort::Run(_) => 8,
    }
}
