//! Tables without lines: columns two spaces apart, cells broken to keep the page within its width.

use std::fmt;

use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Row, presets};

use super::phrase::WIDTH;

/// Spaces before the table and between its columns.
const GAP: usize = 2;
/// No text is broken to less than so many characters.
const NARROWEST: usize = 16;

/// How a column is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Set {
    /// To the left, broken where the page is too narrow.
    Text,
    /// To the left, never broken: codes, dates.
    Whole,
    /// To the right, never broken.
    Number,
}

/// A table in the making.
#[derive(Debug)]
pub struct Table {
    columns: Vec<(&'static str, Set)>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// Starts a table.
    pub fn new(columns: &[(&'static str, Set)]) -> Self {
        Self {
            columns: columns.to_vec(),
            rows: Vec::new(),
        }
    }

    /// Adds a row, a cell a column.
    pub fn row(&mut self, cells: Vec<String>) {
        debug_assert_eq!(cells.len(), self.columns.len(), "a cell a column");
        self.rows.push(cells);
    }

    /// Returns the width to set it in: the page's, or more where what is never broken leaves too little for texts; and
    /// the spaces between columns, one where that is too wide for the page with two.
    fn width(&self, columns: &[usize]) -> (usize, usize) {
        let needs = columns.iter().map(|column| {
            let (head, set) = self.columns[*column];
            let cells = self.rows.iter().map(|row| row[*column].chars().count());
            let widest = cells
                .chain([head.chars().count()])
                .max()
                .unwrap_or_default();
            match set {
                Set::Text => widest.min(NARROWEST),
                Set::Whole | Set::Number => widest,
            }
        });
        let (needs, gaps) = (needs.sum::<usize>(), columns.len().saturating_sub(1));
        let room = WIDTH - GAP;
        let gap = if needs + GAP * gaps > room { 1 } else { GAP };
        (room.max(needs + gap * gaps), gap)
    }

    /// Prints it two spaces further in.
    pub fn indented(&self) -> String {
        let lines = self.to_string();
        lines.lines().map(|line| format!("  {line}\n")).collect()
    }

    /// Tells whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

impl fmt::Display for Table {
    /// Prints it, two spaces in; columns that are empty throughout are left out, and a header without names.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let filled: Vec<usize> = (0..self.columns.len())
            .filter(|column| self.rows.iter().any(|row| !row[*column].is_empty()))
            .collect();
        let (width, gap) = self.width(&filled);
        let mut table = comfy_table::Table::new();
        table
            .load_style(presets::NOTHING)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(u16::try_from(width).unwrap_or(u16::MAX));
        let named = filled
            .iter()
            .any(|column| !self.columns[*column].0.is_empty());
        if named {
            table.set_header(Row::from(
                filled.iter().map(|column| self.columns[*column].0),
            ));
        }
        for row in &self.rows {
            table.add_row(Row::from(filled.iter().map(|column| row[*column].as_str())));
        }
        for (place, column) in filled.iter().enumerate() {
            let last = place + 1 == filled.len();
            let Some(set) = table.column_mut(place) else {
                continue;
            };
            set.set_padding((0, if last { 0 } else { gap as u16 }));
            match self.columns[*column].1 {
                Set::Text => {}
                Set::Whole => {
                    set.set_constraint(ColumnConstraint::ContentWidth);
                }
                Set::Number => {
                    set.set_constraint(ColumnConstraint::ContentWidth);
                    set.set_cell_alignment(CellAlignment::Right);
                }
            }
        }
        for line in table.trim_fmt().lines() {
            writeln!(f, "  {line}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_breaks_texts_and_never_codes_and_leaves_empty_columns_out() {
        let columns = [
            ("packs", Set::Number),
            ("what", Set::Text),
            ("empty", Set::Text),
            ("code", Set::Whole),
        ];
        let mut table = Table::new(&columns);
        let long = "a text that is a good deal longer than the page is wide, so that it has to be broken somewhere";
        table.row(vec![
            "7".into(),
            "castings".into(),
            String::new(),
            "H26115-02-W".into(),
        ]);
        table.row(vec![
            "40".into(),
            long.into(),
            String::new(),
            "P26115-07-S".into(),
        ]);
        insta::assert_snapshot!(table.to_string(), @"
        packs  what                                                        code
            7  castings                                                    H26115-02-W
           40  a text that is a good deal longer than the page is wide,    P26115-07-S
               so that it has to be broken somewhere
        ");
    }
}
