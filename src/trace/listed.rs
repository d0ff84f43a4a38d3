//! What stands on the list of a recall: lots, runs with each of their packs, and sales.
//!
//! Lots stand by code, so that lists of two times can be compared.

use crate::farm::{
    BinCode, EntryNumber, LotCode, LotSort, Mark, Moment, Product, Quantity, Relation, SaleTo,
    SerialRange,
};

use super::pack_count::PackCount;

/// A delivery, bed or batch on the list.
#[derive(Clone, Debug, PartialEq)]
pub struct ListedLot {
    /// Its code.
    pub code: LotCode,
    /// The grower's mark.
    pub mark: Option<Mark>,
    /// What it is.
    pub sort: LotSort,
    /// When it was made.
    pub when: Moment,
    /// How it is reached; `None` for a lot that the list begins with.
    pub relation: Option<Relation>,
    /// The bin a bed is still in.
    pub bin: Option<BinCode>,
    /// What is left of a delivery or batch by the book; `None` for a bed and where nobody knows.
    pub left: Option<Quantity>,
}

/// A pack run on the list.
#[derive(Clone, Debug, PartialEq)]
pub struct ListedRun {
    /// Its code.
    pub code: LotCode,
    /// The grower's mark.
    pub mark: Option<Mark>,
    /// What was packed.
    pub product: Product,
    /// When it was packed.
    pub when: Moment,
    /// How it is reached; `None` for a run that the list begins with.
    pub relation: Option<Relation>,
    /// The packs that are meant, where it is not the whole run.
    pub only: Vec<SerialRange>,
    /// Every pack that is meant, in the order of serials.
    pub packs: Vec<ListedPacks>,
    /// How many are where.
    pub count: PackCount,
}

/// Packs on the list that are in one place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ListedPacks {
    /// Their serials.
    pub serials: SerialRange,
    /// Where they are.
    pub at: Whereabouts,
}

/// Where a pack is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Whereabouts {
    /// In store.
    InStore,
    /// Sold, by that entry, and not back since.
    Sold(EntryNumber),
    /// Back with a complaint and kept apart.
    Back,
    /// Thrown out.
    Thrown,
    /// Opened and used again.
    Opened,
    /// In store, or among those of its run that left without their serials noted or were missing when counted.
    Unplaced,
}

/// A sale of packs on the list.
#[derive(Clone, Debug, PartialEq)]
pub struct ListedSale {
    /// The entry.
    pub entry: EntryNumber,
    /// When.
    pub when: Moment,
    /// Who got them, or where.
    pub to: SaleTo,
    /// The packs that are out, run by run.
    pub packs: Vec<SoldPacks>,
}

/// Packs of one run that a sale put out.
#[derive(Clone, Debug, PartialEq)]
pub struct SoldPacks {
    /// The run.
    pub run: LotCode,
    /// Its mark.
    pub mark: Option<Mark>,
    /// Those whose serials are known.
    pub serials: Vec<SerialRange>,
    /// How many more whose serials nobody noted; where only some packs of the run are meant, these may be among them.
    pub unnumbered: u32,
}

impl SoldPacks {
    /// Returns how many packs they are.
    pub fn count(&self) -> u32 {
        let numbered: u32 = self.serials.iter().map(|range| range.count()).sum();
        numbered.saturating_add(self.unnumbered)
    }
}

impl ListedSale {
    /// Returns how many packs it put out.
    pub fn count(&self) -> u32 {
        self.packs
            .iter()
            .map(SoldPacks::count)
            .fold(0, u32::saturating_add)
    }
}
