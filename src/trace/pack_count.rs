//! How many packs are where: of a whole run by its shelf, of single packs one by one.

use crate::farm::Shelf;

use super::listed::{ListedPacks, Whereabouts};

/// How many packs are where. Made is the sum of the others, but that a count may have found more than were made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PackCount {
    /// Made.
    pub made: u32,
    /// In store.
    pub in_store: u32,
    /// Sold and not back.
    pub sold: u32,
    /// Back with a complaint and kept apart.
    pub back: u32,
    /// Thrown out.
    pub thrown: u32,
    /// Opened and used again.
    pub opened: u32,
    /// Missing when counted, or not accounted for.
    pub not_found: u32,
    /// In store or gone, nobody can say which: single packs of a run of which some left without their serials noted.
    pub unplaced: u32,
}

impl PackCount {
    /// Adds another count.
    pub fn plus(self, other: Self) -> Self {
        Self {
            made: self.made.saturating_add(other.made),
            in_store: self.in_store.saturating_add(other.in_store),
            sold: self.sold.saturating_add(other.sold),
            back: self.back.saturating_add(other.back),
            thrown: self.thrown.saturating_add(other.thrown),
            opened: self.opened.saturating_add(other.opened),
            not_found: self.not_found.saturating_add(other.not_found),
            unplaced: self.unplaced.saturating_add(other.unplaced),
        }
    }

    /// Returns how many can be said to be somewhere.
    pub fn traced(self) -> u32 {
        self.made
            .saturating_sub(self.not_found)
            .saturating_sub(self.unplaced)
    }

    /// Counts the packs of a whole run.
    pub fn of_shelf(shelf: &Shelf) -> Self {
        let mut count = Self {
            made: shelf.made(),
            in_store: shelf.in_store(),
            sold: shelf.out(),
            back: shelf.complained(),
            thrown: shelf.thrown(),
            opened: shelf.opened(),
            not_found: 0,
            unplaced: 0,
        };
        let known = [
            count.in_store,
            count.sold,
            count.back,
            count.thrown,
            count.opened,
        ];
        let known = known.into_iter().fold(0, u32::saturating_add);
        count.not_found = count.made.saturating_sub(known);
        count
    }

    /// Counts single packs, each once.
    pub(super) fn of_packs(packs: &[ListedPacks]) -> Self {
        let at = |wanted: fn(Whereabouts) -> bool| {
            let found = packs.iter().filter(|pack| wanted(pack.at));
            found.map(|packs| packs.serials.count()).sum()
        };
        Self {
            made: at(|_| true),
            in_store: at(|at| at == Whereabouts::InStore),
            sold: at(|at| matches!(at, Whereabouts::Sold(_))),
            back: at(|at| at == Whereabouts::Back),
            thrown: at(|at| at == Whereabouts::Thrown),
            opened: at(|at| at == Whereabouts::Opened),
            not_found: 0,
            unplaced: at(|at| at == Whereabouts::Unplaced),
        }
    }
}
