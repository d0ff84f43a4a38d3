//! The gutter of a lineage: lanes with lines down the page, joints where a lot goes in, tips where a line arrives.
//!
//! Each row draws its own piece of every line that passes it, so a drawing can be cut between any two rows.

use crate::label::{Item, Length};
use crate::trace::{Line, Relation};

use super::slab::fill;

/// The lines of a drawing in their lanes.
pub struct Gutter<'a> {
    lines: &'a [Line],
    lanes: Vec<usize>,
    pitch: Length,
    /// Where the rows' dots are.
    dot_x: Length,
}

const STROKE: Length = Length::of_micrometres(250);
/// A joint is never so wide that it touches the next lane.
const JOINT: Length = Length::of_micrometres(1_000);
const DOT: Length = Length::of_micrometres(1_500);
/// Down from a row's top to its dot, in the middle of its first line.
const DOT_Y: Length = Length::of_micrometres(2_400);
/// Lines of worms are dashed and leave a row a little lower, so that they do not cover lines of stuff.
const LIVE_SHIFT: Length = Length::of_micrometres(800);
const DASH: Length = Length::of_micrometres(900);
/// The widest gutter, and the farthest apart that lanes stand.
const WIDEST: Length = Length::of_mm(52);
const WIDE: Length = Length::of_micrometres(2_600);
const TO_TEXT: Length = Length::of_mm(4);

impl<'a> Gutter<'a> {
    /// Puts lines into their lanes.
    pub fn of(lines: &'a [Line], lanes: Vec<usize>) -> Self {
        let count = lanes.iter().max().map_or(0, |lane| lane + 1);
        let count = i64::try_from(count).expect("lanes are few");
        let pitch = WIDE.min(WIDEST / count.max(1));
        Self {
            lines,
            lanes,
            pitch,
            dot_x: pitch * count + Length::of_mm(3),
        }
    }

    /// Where a row's text begins.
    pub fn text_x(&self) -> Length {
        self.dot_x + TO_TEXT
    }

    fn joint(&self) -> Length {
        JOINT.min(self.pitch * 7 / 10)
    }

    fn lane_x(&self, line: usize) -> Length {
        let lane = i64::try_from(self.lanes[line]).expect("lanes are few");
        self.dot_x - Length::of_mm(3) - self.pitch * lane
    }

    /// The lines that pass between a row and the one before it.
    pub fn between(&self, row: usize, height: Length) -> Vec<Item> {
        let mut items = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            let (low, high) = line.span();
            if low < row && row <= high {
                items.extend(upright(self.lane_x(at), Length::ZERO, height, line.style));
            }
        }
        items
    }

    /// A row's dot, and its piece of every line that passes or meets it.
    pub fn across(&self, row: usize, height: Length) -> Vec<Item> {
        let mut items = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            let (low, high) = line.span();
            if row < low || high < row {
                continue;
            }
            let (x, y) = (self.lane_x(at), DOT_Y + shift(line.style));
            let from = if row == low { y } else { Length::ZERO };
            let to = if row == high { y } else { height };
            items.extend(upright(x, from, to, line.style));
            if line.to == row {
                items.extend(level(x, self.dot_x - DOT / 2, y, line.style));
                items.extend(tip(self.dot_x - DOT / 2, y));
            } else if line.from.contains(&row) {
                items.extend(level(x, self.dot_x, y, line.style));
                items.push(square(x + STROKE / 2, y + STROKE / 2, self.joint()));
            }
        }
        items.push(square(self.dot_x, DOT_Y + STROKE / 2, DOT));
        items
    }
}

fn shift(style: Relation) -> Length {
    match style {
        Relation::Part | Relation::Carried => Length::ZERO,
        Relation::Live => LIVE_SHIFT,
    }
}

fn square(x: Length, y: Length, side: Length) -> Item {
    fill(x - side / 2, y - side / 2, side, side)
}

fn upright(x: Length, from: Length, to: Length, style: Relation) -> Vec<Item> {
    let piece = |at: Length, long: Length| fill(x, at, STROKE, long);
    pieces(from, to, style)
        .map(|(at, long)| piece(at, long))
        .collect()
}

fn level(from: Length, to: Length, y: Length, style: Relation) -> Vec<Item> {
    let piece = |at: Length, long: Length| fill(at, y, long, STROKE);
    pieces(from, to, style)
        .map(|(at, long)| piece(at, long))
        .collect()
}

/// Cuts a line into dashes where its style has them.
fn pieces(from: Length, to: Length, style: Relation) -> impl Iterator<Item = (Length, Length)> {
    let whole = to - from;
    let step = match style {
        Relation::Part | Relation::Carried => whole.max(DASH),
        Relation::Live => DASH * 2,
    };
    let dash = match style {
        Relation::Part | Relation::Carried => step,
        Relation::Live => DASH,
    };
    let count = (whole.micrometres() + step.micrometres() - 1) / step.micrometres();
    (0..count).map(move |n| {
        let at = from + step * n;
        (at, dash.min(to - at))
    })
}

/// A tip that points to the right, of three steps.
fn tip(x: Length, y: Length) -> Vec<Item> {
    let middle = y + STROKE / 2;
    let step = |n: i64| {
        let (wide, high) = (
            Length::of_micrometres(450),
            Length::of_micrometres(1_800 - n * 500),
        );
        fill(x - wide * (3 - n), middle - high / 2, wide, high)
    };
    (0..3).map(step).collect()
}
