//! One row of a sheet as text: what an import, `record` and `correct` all read.

use std::borrow::Cow;

use super::column::{self, columns};
use super::error::SheetError;
use crate::farm::Noun;

/// A row: a noun, and a text for each of its columns; an empty one where nothing is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row<'a> {
    noun: Noun,
    cells: Vec<Cow<'a, str>>,
}

impl<'a> Row<'a> {
    /// Makes an empty row.
    pub fn new(noun: Noun) -> Self {
        Self {
            noun,
            cells: vec![Cow::Borrowed(""); columns(noun).len()],
        }
    }

    /// Makes a row of its cells, in the order of `columns`.
    pub(super) fn of(noun: Noun, cells: Vec<Cow<'a, str>>) -> Self {
        debug_assert_eq!(cells.len(), columns(noun).len());
        Self { noun, cells }
    }

    /// Returns the kind of row.
    pub fn noun(&self) -> Noun {
        self.noun
    }

    /// Returns a cell, trimmed; empty where nothing is said or there is no such column.
    pub fn cell(&self, column: &str) -> &str {
        column::place(self.noun, column)
            .and_then(|place| self.cells.get(place))
            .map_or("", |cell| cell.trim())
    }

    /// Says something in a column, named by its header or its flag.
    pub fn set(&mut self, column: &str, text: impl Into<Cow<'a, str>>) -> Result<(), SheetError> {
        match column::place(self.noun, column) {
            Some(place) => {
                self.cells[place] = text.into();
                Ok(())
            }
            None => Err(SheetError::NoSuchColumn {
                typed: column.to_owned(),
                known: columns(self.noun)
                    .iter()
                    .map(|column| column.name)
                    .collect(),
            }),
        }
    }

    /// Returns the cells in the order of `columns`.
    pub fn cells(&self) -> impl Iterator<Item = &str> {
        self.cells.iter().map(AsRef::as_ref)
    }
}
