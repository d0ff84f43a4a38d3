//! A lineage drawn down a page: a row a lot, its lines in a gutter at the left, so that no line crosses a word and
//! the drawing goes on over pages.
//!
//! Every lot has its own row; where they are more than can be read, like is put with like.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{Farm, LotId};
use crate::label::{Item, Length, Point};
use crate::trace::{Layer, Line, Reached, Relation, Side, lane_count, lanes, rank, ways};

use super::error::PaperError;
use super::lot_words::{called, what};
use super::set;
use super::slab::{Slab, fill};
use super::strokes::Gutter;
use super::style::Style;
use super::wording::count;

/// What is drawn.
#[derive(Clone, Copy)]
pub struct Drawn<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// The lot it is about.
    pub subject: LotId,
    /// What a trace of it reached, what was only carried left out.
    pub reached: &'a [Reached],
    /// Which way the trace looked.
    pub side: Side,
}

/// How finely lots are told apart.
#[derive(Clone, Copy, PartialEq)]
enum Grain {
    Lots,
    Months,
    Kinds,
}

/// A drawing with more rows than this (about five pages), or more lines side by side, is put together more coarsely.
const ROWS: usize = 220;
const LANES: usize = 56;

/// A row: one lot, or several of a kind.
pub struct Row {
    pub layer: Layer,
    pub lots: Vec<LotId>,
}

/// Draws it, in a room so wide. Tells also whether lots were put together.
pub fn draw(drawn: Drawn<'_>, room: Length) -> Result<(Vec<Slab>, bool), PaperError> {
    let mut grain = Grain::Lots;
    let mut rows = drawn.rows(grain);
    let mut lines = drawn.lines(&rows);
    for coarser in [Grain::Months, Grain::Kinds] {
        if rows.len() <= ROWS && lane_count(&lines) <= LANES {
            break;
        }
        grain = coarser;
        rows = drawn.rows(grain);
        lines = drawn.lines(&rows);
    }
    let gutter = Gutter::of(&lines, lanes(&lines));
    let mut slabs = Vec::new();
    let mut layer = None;
    for (at, row) in rows.iter().enumerate() {
        if layer != Some(row.layer) {
            layer = Some(row.layer);
            slabs.push(heading(row.layer, at, &gutter)?);
        }
        slabs.push(drawn.row(row, at, &gutter, room)?);
    }
    Ok((slabs, grain != Grain::Lots))
}

fn heading(layer: Layer, before: usize, gutter: &Gutter) -> Result<Slab, PaperError> {
    const HEIGHT: Length = Length::of_mm(7);
    let y = HEIGHT - Style::CAPTION.leading;
    let x = gutter.text_x();
    let mut items = set::line(layer.heading(), Style::CAPTION, Point { x, y })?;
    items.extend(gutter.between(before, HEIGHT));
    Ok(Slab::of(HEIGHT, items).with_next())
}

impl Drawn<'_> {
    fn rows(&self, grain: Grain) -> Vec<Row> {
        let mut by_key: BTreeMap<_, Vec<LotId>> = BTreeMap::new();
        for reached in self.reached {
            let lot = self.farm.lot(reached.lot);
            let (what, day) = (what(self.farm, reached.lot), lot.when.day());
            let place = (lot.when.earliest(), Some(reached.lot));
            let (what, place) = match grain {
                Grain::Lots => (String::new(), place),
                Grain::Months => (
                    what,
                    (i64::from(day.year()) * 12 + i64::from(day.month()), None),
                ),
                Grain::Kinds => (what, (0, None)),
            };
            let kind = if grain == Grain::Lots {
                0
            } else {
                rank(lot.sort)
            };
            let key = (Layer::of(lot.sort), kind, what, place);
            by_key.entry(key).or_default().push(reached.lot);
        }
        let mut rows: Vec<Row> = by_key
            .into_iter()
            .map(|((layer, ..), lots)| Row { layer, lots })
            .collect();
        let subject = Row {
            layer: Layer::Subject,
            lots: vec![self.subject],
        };
        match self.side {
            Side::Back => rows.push(subject),
            Side::Forward => rows.insert(0, subject),
        }
        rows
    }

    /// Returns the lines between rows: one for all that goes into a row in one manner.
    fn lines(&self, rows: &[Row]) -> Vec<Line> {
        let mut row_of: BTreeMap<LotId, usize> = BTreeMap::new();
        for (at, row) in rows.iter().enumerate() {
            row_of.extend(row.lots.iter().map(|lot| (*lot, at)));
        }
        let mut by_target: BTreeMap<(usize, Relation), BTreeSet<usize>> = BTreeMap::new();
        for way in ways(self.farm, self.subject, self.reached, self.side) {
            let (from, to) = (row_of[&way.from], row_of[&way.to]);
            if from != to && way.relation != Relation::Carried {
                by_target
                    .entry((to, way.relation))
                    .or_default()
                    .insert(from);
            }
        }
        let line = |((to, style), from): ((usize, Relation), BTreeSet<usize>)| Line {
            from: from.into_iter().collect(),
            to,
            style,
        };
        by_target.into_iter().map(line).collect()
    }

    fn row(&self, row: &Row, at: usize, gutter: &Gutter, room: Length) -> Result<Slab, PaperError> {
        const CODE: Length = Length::of_mm(24);
        const DAY: Length = Length::of_mm(21);
        const ENTRY: Length = Length::of_mm(17);
        const PAD: Length = Length::of_micrometres(350);
        let text = gutter.text_x();
        let (code, what, day, entry) = self.words(row);
        let wide = room - text - CODE - DAY - ENTRY - Length::of_mm(3);
        let style = match row.layer {
            Layer::Subject => Style::CAPTION,
            Layer::Goods | Layer::Mixed | Layer::Beds | Layer::Taken => Style::CELL,
        };
        let mut items = Vec::new();
        let place = |x: Length, y: Length| Point { x, y };
        let mut y = PAD;
        for line in set::lines(&set::plain(&what), style, wide)? {
            items.extend(set::line(&line, style, place(text + CODE, y))?);
            y += style.leading;
        }
        let height = y.max(PAD + style.leading) + PAD;
        items.extend(set::line(&code, Style::CODE, place(text, PAD))?);
        let right = room - ENTRY - Length::of_mm(3);
        items.extend(set::line_to(&day, Style::CELL, right, PAD)?);
        items.extend(set::line_to(&entry, Style::CELL, room, PAD)?);
        items.extend(gutter.across(at, height));
        if row.layer == Layer::Subject {
            let bar = Length::of_micrometres(400);
            items.extend(
                [Length::ZERO, height - bar].map(|y| -> Item { fill(text, y, room - text, bar) }),
            );
        }
        Ok(Slab::of(height, items))
    }

    /// Returns what a row says: code, what it is, when it was made, and by which entry.
    fn words(&self, row: &Row) -> (String, String, String, String) {
        let farm = self.farm;
        let day = |lot: &LotId| farm.lot(*lot).when.day();
        match &row.lots[..] {
            [only] => {
                let lot = farm.lot(*only);
                let entry = farm.entries()[lot.entry].number;
                (
                    lot.code.to_string(),
                    called(farm, *only),
                    day(only).to_string(),
                    format!("entry {entry}"),
                )
            }
            lots => {
                let (first, last) = (lots.iter().map(day).min(), lots.iter().map(day).max());
                let span = match (first, last) {
                    (Some(first), Some(last)) if first != last => {
                        format!("{} to {}", brief(first), brief(last))
                    }
                    (Some(day), _) => day.to_string(),
                    (None, _) => String::new(),
                };
                let kind = lots
                    .first()
                    .map_or_else(String::new, |lot| what(farm, *lot));
                (count(lots.len(), "lot", "lots"), kind, span, String::new())
            }
        }
    }
}

fn brief(day: jiff::civil::Date) -> String {
    format!("{}-{:02}", day.year(), day.month())
}
