//! What is known by name while rows are read: the farm's bins and refs, and those of the same import.
//!
//! A lower-case `a07` may be a bin or a ref; only this can tell.

use std::collections::HashSet;

use super::column;
use super::table::Table;
use crate::farm::{BinCode, Farm, Mark, Noun};

/// The names that are known.
#[derive(Clone, Debug)]
pub struct Known<'a> {
    farm: &'a Farm,
    bins: HashSet<BinCode>,
    marks: HashSet<Mark>,
}

impl<'a> Known<'a> {
    /// Knows what the farm knows.
    pub fn of(farm: &'a Farm) -> Self {
        Self {
            farm,
            bins: HashSet::new(),
            marks: HashSet::new(),
        }
    }

    /// Learns the bins and refs of a sheet.
    pub(super) fn learn(&mut self, table: &Table) {
        let bins = match table.noun {
            Noun::Bin | Noun::Bed => Some("bin"),
            Noun::Split => Some("to_bin"),
            _ => None,
        };
        let marks = column::place(table.noun, "ref").map(|_| "ref");
        for index in 0..table.len() {
            if let Some(Ok(bin)) = bins.map(|column| table.cell(index, column).parse()) {
                self.bins.insert(bin);
            }
            if let Some(Ok(mark)) = marks.map(|column| table.cell(index, column).parse()) {
                self.marks.insert(mark);
            }
        }
    }

    /// Tells whether there is such a bin.
    pub(super) fn has_bin(&self, bin: BinCode) -> bool {
        self.bins.contains(&bin) || self.farm.bins().contains_key(&bin)
    }

    /// Tells whether a lot has that ref.
    pub(super) fn has_mark(&self, mark: &Mark) -> bool {
        self.marks.contains(mark) || self.farm.marked(mark).is_some()
    }
}
