//! How one lot is reached from another: as a part, as the animals themselves, or only by being carried.

use super::flow::Class;

/// How a lot is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Relation {
    /// By bulk and whole flows only: it is in it.
    Part,
    /// By live and whole flows only: these are the animals, or their stock.
    Live,
    /// By any other way: a film on worms, a bag's inside.
    Carried,
}

/// What a way can still be: each bit stands for a relation that all its flows so far allow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ways(u8);

impl Ways {
    /// How many there are; `index` is below it.
    pub const COUNT: usize = 4;
    /// A way that begins: nothing is ruled out yet.
    pub const BEGUN: Self = Self(3);
    /// May be part.
    const PART: u8 = 2;
    /// May be live.
    const LIVE: u8 = 1;

    /// Returns the way of that index.
    pub const fn at(index: usize) -> Self {
        Self((index % Self::COUNT) as u8)
    }

    /// Returns its place among all.
    pub const fn index(self) -> usize {
        self.0 as usize
    }

    /// Goes one flow further.
    pub fn along(self, class: Class) -> Self {
        let keeps = match class {
            Class::Bulk => Self::PART,
            Class::Live => Self::LIVE,
            Class::Whole => Self::PART | Self::LIVE,
            Class::Touch => 0,
        };
        Self(self.0 & keeps)
    }

    /// Tells whether it allows all that the other does.
    pub const fn allows(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    /// Tells whether it may be part.
    pub const fn is_part(self) -> bool {
        self.0 & Self::PART != 0
    }

    /// Returns the nearest relation that it allows.
    pub fn relation(self) -> Relation {
        match (self.is_part(), self.0 & Self::LIVE != 0) {
            (true, _) => Relation::Part,
            (false, true) => Relation::Live,
            (false, false) => Relation::Carried,
        }
    }
}

impl Relation {
    /// Returns the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Live => "live",
            Self::Carried => "carried",
        }
    }
}
