//! In what manner a lot is reached: what the way to it can still be, and how weak the amounts on it are.

use crate::farm::{Basis, Class, Ways};

/// What a way so far can still be, and how weak its amounts are.
#[derive(Clone, Copy, PartialEq)]
pub(super) struct Manner {
    pub ways: Ways,
    pub weak: Basis,
}

/// Three grades of amounts.
const GRADES: [Basis; 3] = [Basis::Weighed, Basis::Guess, Basis::Unknown];
/// Kinds of way times grades of amounts.
pub(super) const MANNERS: usize = Ways::COUNT * GRADES.len();

impl Manner {
    /// A way that begins.
    pub const BEGUN: Self = Self {
        ways: Ways::BEGUN,
        weak: Basis::Weighed,
    };

    pub const fn index(self) -> usize {
        self.ways.index() * GRADES.len() + self.weak as usize
    }

    /// Goes one flow further.
    pub fn along(self, class: Class, basis: Basis) -> Self {
        let ways = self.ways.along(class);
        // Amounts matter for shares, and only what is part has a share.
        let weak = if ways.is_part() {
            self.weak.max(basis)
        } else {
            Basis::Weighed
        };
        Self { ways, weak }
    }

    /// Tells whether reaching by this manner tells everything that reaching by the other would.
    const fn covers(self, other: Self) -> bool {
        let as_weak = self.weak as u8 >= other.weak as u8;
        self.ways.allows(other.ways) && (!other.ways.is_part() || as_weak)
    }
}

/// A manner by its index, the inverse of `Manner::index`.
pub(super) const ALL_MANNERS: [Manner; MANNERS] = {
    let mut all = [Manner::BEGUN; MANNERS];
    let mut i = 0;
    while i < MANNERS {
        all[i] = Manner {
            ways: Ways::at(i / GRADES.len()),
            weak: GRADES[i % GRADES.len()],
        };
        i += 1;
    }
    all
};

/// For each manner, those that cover it, as bits.
pub(super) const COVERED_BY: [u16; MANNERS] = {
    let mut covered = [0; MANNERS];
    let mut i = 0;
    while i < MANNERS {
        let mut by = 0;
        while by < MANNERS {
            if ALL_MANNERS[by].covers(ALL_MANNERS[i]) {
                covered[i] |= 1 << by;
            }
            by += 1;
        }
        i += 1;
    }
    covered
};
