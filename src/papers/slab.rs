//! Slabs: what a block comes to, a line or a row each, ready to be put on pages.

use std::rc::Rc;

use crate::label::{Area, Item, Layout, Length, Point, Size};

/// One line of text, row of a table or part of a drawing, in its own coordinates. It is never divided.
#[derive(Clone, Debug)]
pub struct Slab {
    /// The room above it, which is left out at the top of a page.
    pub above: Length,
    /// How high it is.
    pub height: Length,
    /// What stands on it.
    pub items: Vec<Item>,
    /// Labels that stand on it, laid out by `label`, each with its corner.
    pub labels: Vec<(Point, Layout)>,
    /// What it does at the end of a page.
    pub keep: Keep,
    /// A header that is set again where a page begins with this slab.
    pub header: Option<Rc<Slab>>,
    /// Whether it stands in a box with the slab before it, or begins one.
    pub boxed: Boxed,
}

/// Whether a page may end after a slab.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keep {
    /// It may.
    Free,
    /// The next slab goes on the same page.
    WithNext,
    /// A new page begins after it.
    EndOfPage,
}

/// How a slab stands to a box around several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Boxed {
    /// In no box.
    Not,
    /// The first in a box.
    First,
    /// In the box of the slab before.
    Too,
}

impl Slab {
    /// Makes a slab so high.
    pub fn of(height: Length, items: Vec<Item>) -> Self {
        Self {
            above: Length::ZERO,
            height,
            items,
            labels: Vec::new(),
            keep: Keep::Free,
            header: None,
            boxed: Boxed::Not,
        }
    }

    /// Gives it room above.
    pub fn below(mut self, above: Length) -> Self {
        self.above = above;
        self
    }

    /// Keeps it with the next.
    pub fn with_next(mut self) -> Self {
        self.keep = Keep::WithNext;
        self
    }
}

/// Returns a filled rectangle.
pub fn fill(x: Length, y: Length, width: Length, height: Length) -> Item {
    Item::Fill(Area {
        at: Point { x, y },
        size: Size { width, height },
    })
}
