//! Tables: cells wrap, the header comes again on every page, and no row is torn that fits a page.

use std::rc::Rc;

use crate::label::{Item, Length, Point};

use super::error::PaperError;
use super::set;
use super::slab::{Keep, Slab, fill};
use super::style::Style;
use super::width::{Wish, divide};

/// A column of a table.
#[derive(Clone, Debug)]
pub struct Column {
    heading: String,
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Text,
    Code,
    Number,
    Blank,
}

/// A table.
#[derive(Clone, Debug)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Row>,
}

#[derive(Clone, Debug)]
struct Row {
    cells: Vec<String>,
    weight: Weight,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Weight {
    Plain,
    Sum,
}

/// Between two columns, above and below a row's text, and the two strengths of rules.
const GAP: Length = Length::of_micrometres(3_200);
const PAD: Length = Length::of_micrometres(750);
const HAIR: Length = Length::of_micrometres(120);
const RULE: Length = Length::of_micrometres(420);
/// A cell to write in is at least so wide.
const WRITTEN: Length = Length::of_mm(19);
/// A text so short stays in one line.
const SHORT: Length = Length::of_mm(22);
/// A row of more lines than this may go on over a page's end.
const TALL: usize = 14;

impl Column {
    /// A column of text.
    pub fn text(heading: &str) -> Self {
        Self::of(heading, Kind::Text)
    }

    /// A column of codes and dates, set so that no letter reads as a digit.
    pub fn code(heading: &str) -> Self {
        Self::of(heading, Kind::Code)
    }

    /// A column of numbers, which stand one under the other at the right.
    pub fn number(heading: &str) -> Self {
        Self::of(heading, Kind::Number)
    }

    /// A column that people write in by hand.
    pub fn blank(heading: &str) -> Self {
        Self::of(heading, Kind::Blank)
    }

    fn of(heading: &str, kind: Kind) -> Self {
        let heading = heading.to_owned();
        Self { heading, kind }
    }

    fn style(&self, weight: Weight) -> Style {
        match (self.kind, weight) {
            (Kind::Text | Kind::Blank, Weight::Plain) => Style::CELL,
            (Kind::Text | Kind::Blank, Weight::Sum) => Style::CAPTION,
            (Kind::Code | Kind::Number, Weight::Plain) => Style::CODE,
            (Kind::Code | Kind::Number, Weight::Sum) => Style::CODE_STRONG,
        }
    }
}

impl Table {
    /// Makes an empty table.
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        Self {
            columns: columns.into_iter().collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    ///
    /// # Panics
    /// If it has not a cell for each column.
    pub fn row<S: Into<String>>(self, cells: impl IntoIterator<Item = S>) -> Self {
        self.with(cells, Weight::Plain)
    }

    /// Adds a row of sums, in bold under a rule.
    ///
    /// # Panics
    /// If it has not a cell for each column.
    pub fn sum<S: Into<String>>(self, cells: impl IntoIterator<Item = S>) -> Self {
        self.with(cells, Weight::Sum)
    }

    fn with<S: Into<String>>(mut self, cells: impl IntoIterator<Item = S>, weight: Weight) -> Self {
        let cells: Vec<String> = cells
            .into_iter()
            .map(|cell| set::plain(&cell.into()))
            .collect();
        assert_eq!(
            cells.len(),
            self.columns.len(),
            "a row has a cell for each column"
        );
        self.rows.push(Row { cells, weight });
        self
    }

    /// Tells whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Returns it as slabs in a room so wide.
    pub(super) fn slabs(&self, room: Length) -> Result<Vec<Slab>, PaperError> {
        let lanes = self.lanes(room)?;
        let header = Rc::new(self.header(&lanes, room)?);
        let mut slabs = vec![(*header).clone()];
        for row in &self.rows {
            let rows = self.row_slabs(row, &lanes, room)?;
            slabs.extend(rows.into_iter().map(|slab| Slab {
                header: Some(Rc::clone(&header)),
                ..slab
            }));
        }
        // A last row never stands alone on a page of its own.
        if let [_, _, .., second_last, _] = &mut slabs[..] {
            second_last.keep = Keep::WithNext;
        }
        Ok(slabs)
    }

    /// Returns each column's left edge and width.
    fn lanes(&self, room: Length) -> Result<Vec<(Length, Length)>, PaperError> {
        let gaps = GAP * i64::try_from(self.columns.len().saturating_sub(1)).unwrap_or(i64::MAX);
        let wishes: Vec<Wish> = (0..self.columns.len())
            .map(|at| self.wish(at))
            .collect::<Result<_, _>>()?;
        let mut x = Length::ZERO;
        let lane = |width: Length| {
            let left = x;
            x += width + GAP;
            (left, width)
        };
        Ok(divide(&wishes, room - gaps).into_iter().map(lane).collect())
    }

    fn wish(&self, at: usize) -> Result<Wish, PaperError> {
        let column = &self.columns[at];
        let (mut least, mut whole) = set::widths(&column.heading, Style::CAPTION)?;
        if column.kind == Kind::Blank {
            (least, whole) = (least.max(WRITTEN), whole.max(WRITTEN));
        }
        for row in &self.rows {
            let (word, line) = set::widths(&row.cells[at], column.style(row.weight))?;
            // A telephone number or a short answer is not torn apart while there is room elsewhere.
            least = least.max(if line <= SHORT { line } else { word });
            whole = whole.max(line);
        }
        Ok(Wish {
            least,
            whole,
            takes_more: column.kind == Kind::Text,
        })
    }

    fn header(&self, lanes: &[(Length, Length)], room: Length) -> Result<Slab, PaperError> {
        let texts = self.columns.iter().map(|column| column.heading.as_str());
        let styles = self.columns.iter().map(|_| Style::CAPTION);
        let cells = self.wrap(texts, styles, lanes)?;
        let deep = cells.iter().map(|(_, lines)| lines.len()).max();
        let deep = deep.unwrap_or_default();
        let (mut items, height) = self.set(&cells, lanes, 0..deep)?;
        items.push(fill(Length::ZERO, height, room, RULE));
        Ok(Slab::of(height + RULE, items)
            .below(Length::of_mm(2))
            .with_next())
    }

    fn row_slabs(
        &self,
        row: &Row,
        lanes: &[(Length, Length)],
        room: Length,
    ) -> Result<Vec<Slab>, PaperError> {
        let texts = row.cells.iter().map(String::as_str);
        let styles = self.columns.iter().map(|column| column.style(row.weight));
        let cells = self.wrap(texts, styles, lanes)?;
        let deep = cells.iter().map(|(_, lines)| lines.len()).max();
        let deep = deep.unwrap_or_default().max(1);
        let mut slabs = Vec::new();
        for from in (0..deep).step_by(TALL) {
            let to = (from + TALL).min(deep);
            let (mut items, mut height) = self.set(&cells, lanes, from..to)?;
            if from == 0 && row.weight == Weight::Sum {
                items.push(fill(Length::ZERO, Length::ZERO, room, HAIR * 2));
            }
            if to == deep {
                items.push(fill(Length::ZERO, height, room, HAIR));
                height += HAIR;
            }
            slabs.push(Slab::of(height, items));
        }
        Ok(slabs)
    }

    fn wrap<'a>(
        &self,
        texts: impl Iterator<Item = &'a str>,
        styles: impl Iterator<Item = Style>,
        lanes: &[(Length, Length)],
    ) -> Result<Vec<(Style, Vec<String>)>, PaperError> {
        texts
            .zip(styles)
            .zip(lanes)
            .map(|((text, style), (_, width))| Ok((style, set::lines(text, style, *width)?)))
            .collect()
    }

    /// Sets some lines of all cells of a row, and tells how high they stand.
    fn set(
        &self,
        cells: &[(Style, Vec<String>)],
        lanes: &[(Length, Length)],
        which: std::ops::Range<usize>,
    ) -> Result<(Vec<Item>, Length), PaperError> {
        let mut items = Vec::new();
        let mut height = Length::ZERO;
        for ((column, (style, lines)), (x, width)) in self.columns.iter().zip(cells).zip(lanes) {
            let mut y = PAD;
            for line in lines.iter().skip(which.start).take(which.len()) {
                let set = match column.kind {
                    Kind::Number => set::line_to(line, *style, *x + *width, y)?,
                    Kind::Text | Kind::Code | Kind::Blank => {
                        set::line(line, *style, Point { x: *x, y })?
                    }
                };
                items.extend(set);
                y += style.leading;
            }
            height = height.max(y + PAD);
        }
        Ok((items, height))
    }
}
