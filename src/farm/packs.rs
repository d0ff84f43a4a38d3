//! Which packs of which run a row speaks of.

use std::fmt;

use super::code::Serial;
use super::naming::Naming;

/// A run of serials, first to last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SerialRange {
    first: Serial,
    last: Serial,
}

impl SerialRange {
    /// Makes a range; `None` where the last comes before the first.
    pub fn new(first: Serial, last: Serial) -> Option<Self> {
        (first <= last).then_some(Self { first, last })
    }

    /// Returns the first serial.
    pub fn first(self) -> Serial {
        self.first
    }

    /// Returns the last serial.
    pub fn last(self) -> Serial {
        self.last
    }

    /// Returns how many packs it names.
    pub fn count(self) -> u32 {
        self.last.number() - self.first.number() + 1
    }

    /// Returns its first so many, and the others.
    pub(super) fn split(self, many: u32) -> (Option<Self>, Option<Self>) {
        if many == 0 {
            return (None, Some(self));
        }
        let middle = Serial::new(self.first.number().saturating_add(many - 1));
        let middle = middle.map_or(self.last, |middle| middle.min(self.last));
        let next = Serial::new(middle.number().saturating_add(1));
        let rest = next.and_then(|next| Self::new(next, self.last));
        (
            Self::new(self.first, middle),
            rest.filter(|_| middle < self.last),
        )
    }

    /// Returns the packs that both name, where there are any.
    pub fn both(self, other: Self) -> Option<Self> {
        Self::new(self.first.max(other.first), self.last.min(other.last))
    }

    /// Tells whether it names that pack.
    pub fn holds(self, serial: Serial) -> bool {
        (self.first..=self.last).contains(&serial)
    }

    /// Returns its serials in order.
    pub fn serials(self) -> impl Iterator<Item = Serial> {
        (self.first.number()..=self.last.number()).filter_map(Serial::new)
    }
}

impl fmt::Display for SerialRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.first == self.last {
            f.pad(&self.first.number().to_string())
        } else {
            f.pad(&format!("{}-{}", self.first.number(), self.last.number()))
        }
    }
}

/// Some packs of one run.
#[derive(Clone, Debug, PartialEq)]
pub struct PackPick<N: Naming> {
    /// The run.
    pub run: N::Lot,
    /// Which of its packs.
    pub which: Which,
}

/// Which packs of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Which {
    /// `#1-12`: those serials.
    Serials(SerialRange),
    /// `x31`: so many whose serials nobody noted.
    Unnumbered(u32),
    /// `all` that are not yet sold or thrown then.
    All,
}

impl fmt::Display for Which {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Serials(range) => write!(f, "#{range}"),
            Self::Unnumbered(count) => write!(f, "x{count}"),
            Self::All => f.write_str("all"),
        }
    }
}

/// One pack, or a pack of a run whose serial nobody knows.
#[derive(Clone, Debug, PartialEq)]
pub struct PackName<N: Naming> {
    /// The run.
    pub run: N::Lot,
    /// The serial, where it is known.
    pub serial: Option<Serial>,
}
