//! The lineage drawing: a list of rows that can be opened, with its lines in a gutter at the left, so that no line
//! crosses a word and everything that is text is read, enlarged and printed as text.
//!
//! The list says by itself where each row leads, so the lines are for the eye alone.

use crate::farm::LotId;
use crate::trace::{Channels, Layer, Reached, Relation};

use super::gutter::{DOT_Y, Gutter, Piece, TOP, class};
use super::in_words::led_to;
use super::lineage::{Row, lineage};
use super::opened::{Opened, opened};
use super::shown::Shown;
use super::wording;

/// A drawing, ready to be written.
pub struct Drawing {
    /// The class of its gutter's width.
    pub width: &'static str,
    /// Where things are in each piece of the gutter.
    pub places: Places,
    /// Layers from the top.
    pub layers: Vec<Drawn>,
    /// How many lots it is about, in words.
    pub lots: String,
    /// Whether there are lots that are not named for want of room.
    pub is_short: bool,
    /// Whether there is a row to open.
    pub can_open: bool,
    /// The styles it uses.
    pub styles: Vec<Style>,
}

/// Where things are in a piece of the gutter, in pixels.
pub struct Places {
    /// Where the dot is.
    pub dot_x: i32,
    /// Where the dot is.
    pub dot_y: i32,
    /// How wide a piece is.
    pub width: i32,
    /// Where the part that grows begins.
    pub top: i32,
}

/// A layer.
pub struct Drawn {
    /// The words over it.
    pub heading: &'static str,
    /// The gutter beside them.
    pub piece: Piece,
    /// Its rows.
    pub rows: Vec<DrawnRow>,
}

/// A row.
pub struct DrawnRow {
    /// The gutter beside it.
    pub piece: Piece,
    /// The class of its dot.
    pub dot: &'static str,
    /// What it is.
    pub what: String,
    /// How many and when.
    pub detail: String,
    /// The code of the only lot, where it is one that may be named.
    pub code: Option<String>,
    /// What it led to.
    pub led_to: String,
    /// What stands in it, where it is several lots that may be named.
    pub opened: Option<Opened>,
}

/// A style of line, for the key.
pub struct Style {
    /// Its class.
    pub class: &'static str,
    /// What it means.
    pub words: &'static str,
}

/// Returns what a style means.
fn meaning(style: Relation) -> &'static str {
    match style {
        Relation::Part => "went into it",
        Relation::Live => "the worms themselves, or their parents",
        Relation::Carried => "at most a trace, carried on worms or in a pack",
    }
}

impl Drawing {
    /// Draws what a trace of a lot reached; nothing where there is no line to draw.
    pub fn of(
        shown: Shown<'_>,
        sources: &Channels,
        subject: LotId,
        reached: &[Reached],
    ) -> Option<Self> {
        let lineage = lineage(shown, sources, subject, reached);
        let mut styles: Vec<Relation> = lineage.lines.iter().map(|line| line.style).collect();
        styles.sort_unstable();
        styles.dedup();
        if styles.is_empty() {
            return None;
        }
        let gutter = Gutter::of(&lineage.lines, lineage.rows.len());
        let opened = opened(shown, &lineage.rows);
        let is_short = opened
            .iter()
            .flatten()
            .any(|opened| opened.counted.is_some());
        let led_to = led_to(shown, &lineage);
        let (places, width) = (Places::of(&gutter), gutter.width.class());
        let mut over = gutter.over.into_iter();
        let beside = gutter.rows.into_iter().zip(opened).zip(led_to);
        let mut layers: Vec<Drawn> = Vec::new();
        let mut layer = None;
        for (row, ((piece, opened), led_to)) in lineage.rows.into_iter().zip(beside) {
            let heading = over.next();
            if layer != Some(row.layer) {
                layer = Some(row.layer);
                layers.extend(heading.map(|piece| Drawn::of(row.layer, piece)));
            }
            let drawn = DrawnRow::of(shown, row, piece, (opened, led_to));
            if let Some(layer) = layers.last_mut() {
                layer.rows.push(drawn);
            }
        }
        let mut rows = layers.iter().flat_map(|layer| &layer.rows);
        Some(Self {
            width,
            places,
            can_open: rows.any(|row| row.opened.is_some()),
            layers,
            lots: wording::count(lineage.lots, "lot", "lots"),
            is_short,
            styles: styles.into_iter().map(Style::of).collect(),
        })
    }
}

impl Places {
    fn of(gutter: &Gutter) -> Self {
        Self {
            dot_x: gutter.width.dot_x(),
            dot_y: DOT_Y,
            width: gutter.width.pixels(),
            top: TOP,
        }
    }
}

impl Drawn {
    fn of(layer: Layer, piece: Piece) -> Self {
        Self {
            heading: layer.heading(),
            piece,
            rows: Vec::new(),
        }
    }
}

impl DrawnRow {
    fn of(
        shown: Shown<'_>,
        row: Row,
        piece: Piece,
        (opened, led_to): (Option<Opened>, String),
    ) -> Self {
        let code = match row.lots[..] {
            [only] => shown.code(only),
            _ => None,
        };
        Self {
            piece,
            dot: match row.layer {
                Layer::Subject => "self",
                Layer::Goods | Layer::Mixed | Layer::Beds | Layer::Taken => class(row.relation),
            },
            opened,
            what: row.what,
            detail: row.detail,
            code,
            led_to,
        }
    }
}

impl Style {
    fn of(style: Relation) -> Self {
        Self {
            class: class(style),
            words: meaning(style),
        }
    }
}
