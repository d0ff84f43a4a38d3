//! The lineage drawing: rows of text with their lines in a gutter at the left, so that no line crosses a word.
//!
//! Laid out for a phone 340 units wide with text of 14 units, so that it stays above 12 pixels at 320.

use std::fmt::Write;

use crate::trace::{Layer, Relation, lanes};

use super::breaking::broken;
use super::in_words::{Words, summary, words};
use super::lineage::{Lineage, Row};

/// A drawing, ready to be written as SVG.
pub struct Drawing {
    /// Its height; its width is `WIDTH`.
    pub height: i32,
    /// Lines, each with its class and what it runs along.
    pub strokes: Vec<Stroke>,
    /// Where lines arrive.
    pub tips: Vec<Stroke>,
    /// A dot for each row.
    pub dots: Vec<Dot>,
    /// All text.
    pub texts: Vec<Text>,
    /// One sentence that says what it shows.
    pub summary: String,
    /// The same in words, a line each.
    pub words: Vec<Words>,
    /// The styles it uses.
    pub styles: Vec<Style>,
}

/// A stroke.
pub struct Stroke {
    /// Its class.
    pub class: &'static str,
    /// What it runs along, in SVG's path language.
    pub path: String,
}

/// A dot.
pub struct Dot {
    /// Its class.
    pub class: &'static str,
    /// Where.
    pub x: i32,
    /// Where.
    pub y: i32,
}

/// A line of text.
pub struct Text {
    /// Its class.
    pub class: &'static str,
    /// Where it starts.
    pub x: i32,
    /// Its baseline.
    pub y: i32,
    /// The text.
    pub text: String,
}

/// A style of line, for the key.
pub struct Style {
    /// Its class.
    pub class: &'static str,
    /// What it means.
    pub words: &'static str,
}

/// The drawing's width.
pub const WIDTH: i32 = 340;
const HEADING: i32 = 34;
const LINE: i32 = 18;
const GAP: i32 = 13;
/// The gutter's room at the outer edge, and between two lanes where there is room for it.
const EDGE: i32 = 8;
const LANE: i32 = 11;
/// The gutter is never wider than this.
const GUTTER: i32 = 112;
/// From a row's dot to its text.
const TO_TEXT: i32 = 15;
const ROUND: i32 = 7;
/// A dot's reach, and a tip's length.
const DOT: i32 = 6;

/// Returns the class of a style.
fn class(style: Relation) -> &'static str {
    match style {
        Relation::Part => "part",
        Relation::Live => "live",
        Relation::Carried => "film",
    }
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
    /// Lays a lineage out; nothing where there is no line to draw.
    pub fn of(lineage: &Lineage) -> Option<Self> {
        (!lineage.lines.is_empty()).then(|| Layout::new(lineage).draw())
    }
}

struct Layout<'a> {
    lineage: &'a Lineage,
    lanes: Vec<usize>,
    pitch: i32,
    /// Where the dots stand.
    dot_x: i32,
    /// Where each row's dot is.
    at: Vec<i32>,
    texts: Vec<Text>,
    height: i32,
}

impl<'a> Layout<'a> {
    fn new(lineage: &'a Lineage) -> Self {
        let lanes = lanes(&lineage.lines);
        let count = lanes.iter().max().map_or(1, |lane| lane + 1);
        let count = i32::try_from(count).unwrap_or(i32::MAX);
        let pitch = ((GUTTER - EDGE) / count).clamp(3, LANE);
        let mut layout = Self {
            lineage,
            lanes,
            pitch,
            dot_x: EDGE + pitch.saturating_mul(count).min(GUTTER) + 5,
            at: Vec::new(),
            texts: Vec::new(),
            height: 0,
        };
        let mut layer = None;
        for row in &lineage.rows {
            if layer != Some(row.layer) {
                layer = Some(row.layer);
                layout.heading(row.layer);
            }
            layout.row(row);
        }
        layout
    }

    fn heading(&mut self, layer: Layer) {
        self.height += HEADING;
        self.texts.push(Text {
            class: "over",
            x: self.dot_x + TO_TEXT,
            y: self.height - 10,
            text: layer.heading().to_owned(),
        });
    }

    fn row(&mut self, row: &Row) {
        let x = self.dot_x + TO_TEXT;
        let class = if row.layer == Layer::Subject {
            "self"
        } else {
            "what"
        };
        self.at.push(self.height + LINE / 2 + 2);
        let what = broken(&row.what, WIDTH - x)
            .into_iter()
            .map(|text| (class, text));
        let detail = broken(&row.detail, WIDTH - x)
            .into_iter()
            .map(|text| ("when", text));
        for (class, text) in what.chain(detail) {
            self.height += LINE;
            let y = self.height - 2;
            self.texts.push(Text { class, x, y, text });
        }
        self.height += GAP;
    }

    fn draw(self) -> Drawing {
        let mut order: Vec<usize> = (0..self.lineage.lines.len()).collect();
        // What matters most is drawn last, on top.
        order.sort_by_key(|line| std::cmp::Reverse(self.lineage.lines[*line].style));
        let strokes = order.iter().map(|line| self.stroke(*line)).collect();
        let tips = order.iter().map(|line| self.tip(*line)).collect();
        let dots = self.dots();
        let mut styles: Vec<Relation> = self.lineage.lines.iter().map(|line| line.style).collect();
        styles.sort_unstable();
        styles.dedup();
        let style = |style: Relation| Style {
            class: class(style),
            words: meaning(style),
        };
        Drawing {
            height: self.height,
            strokes,
            tips,
            dots,
            summary: summary(self.lineage),
            words: words(self.lineage),
            styles: styles.into_iter().map(style).collect(),
            texts: self.texts,
        }
    }

    fn dots(&self) -> Vec<Dot> {
        let rows = self.lineage.rows.iter().zip(&self.at);
        rows.map(|(row, y)| Dot {
            class: if row.layer == Layer::Subject {
                "self"
            } else {
                class(row.relation)
            },
            x: self.dot_x,
            y: *y,
        })
        .collect()
    }

    fn lane_x(&self, line: usize) -> i32 {
        let lane = i32::try_from(self.lanes[line]).unwrap_or(i32::MAX);
        (self.dot_x - 5 - self.pitch.saturating_mul(lane.saturating_add(1))).max(EDGE / 2)
    }

    /// Returns how far a style's lines leave a row above or below its dot, so that they do not cover each other.
    fn shift(style: Relation) -> i32 {
        match style {
            Relation::Part => 0,
            Relation::Live => 4,
            Relation::Carried => -4,
        }
    }

    /// Draws a line: from each source out to the lane, round a corner, and the farthest ones along it to the target.
    fn stroke(&self, line: usize) -> Stroke {
        let Self { lineage, at, .. } = self;
        let target = &lineage.lines[line];
        let (x, shift) = (self.lane_x(line), Self::shift(target.style));
        let from_x = self.dot_x;
        let round = ROUND.min(from_x - x);
        let end = at[target.to] + shift;
        let above = target.from.iter().copied().find(|row| *row < target.to);
        let below = target
            .from
            .iter()
            .copied()
            .rev()
            .find(|row| *row > target.to);
        let mut path = String::new();
        for row in &target.from {
            let y = at[*row] + shift;
            let turn = if *row < target.to { round } else { -round };
            let corner = y + turn;
            // Writing to a String cannot fail.
            let _ = write!(path, "M{from_x} {y}H{}Q{x} {y} {x} {corner}", x + round);
            if Some(*row) == above || Some(*row) == below {
                let _ = write!(
                    path,
                    "V{}Q{x} {end} {} {end}H{}",
                    end - turn,
                    x + round,
                    from_x - DOT
                );
            }
        }
        Stroke {
            class: class(target.style),
            path,
        }
    }

    fn tip(&self, line: usize) -> Stroke {
        let target = &self.lineage.lines[line];
        let (x, y) = (
            self.dot_x - DOT,
            self.at[target.to] + Self::shift(target.style),
        );
        Stroke {
            class: class(target.style),
            path: format!("M{} {}L{x} {y}L{} {}Z", x - 6, y - 4, x - 6, y + 4),
        }
    }
}
