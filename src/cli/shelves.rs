//! How many packs of some runs there are, with buyers, in store, or gone.

use crate::farm::{Farm, LotId};

/// Packs of several runs, added up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shelves {
    /// Runs.
    pub runs: u32,
    /// Packs made.
    pub made: u32,
    /// With buyers: sold, and not come back.
    pub out: u32,
    /// In store.
    pub here: u32,
    /// Thrown out, opened, kept apart after a complaint, or missing.
    pub gone: u32,
}

impl Shelves {
    /// Adds up the runs among some lots.
    pub fn of(farm: &Farm, lots: impl Iterator<Item = LotId>) -> Self {
        let mut sum = Self::default();
        for shelf in lots.filter_map(|id| farm.lot(id).shelf.as_ref()) {
            let (made, out, here) = (shelf.made(), shelf.out(), shelf.in_store());
            sum.runs += 1;
            sum.made += made;
            sum.out += out;
            sum.here += here;
            sum.gone += made.saturating_sub(out + here);
        }
        sum
    }

    /// Returns the cells that follow a run's name in a table: packs, with buyers, in store, gone.
    pub fn cells(self) -> [String; 4] {
        [self.made, self.out, self.here, self.gone].map(|number| number.to_string())
    }
}
