//! A lot's lineage as rows and lines: what it came from in layers, like put with like until it can be read.
//!
//! Goods in stand at the top, the lot itself at the bottom. What was only carried stands apart from what was put in.
//! However much is behind a lot, every lot stands in exactly one row, and there are never more rows than can be read.

use crate::farm::LotId;
use crate::trace::{Channels, Layer, Line, Reached, Relation, lane_count, links};

use super::kind::Kind;
use super::shown::Shown;
use super::sketch::{Grain, Sketch};
use super::wording;

/// A row of the drawing: one lot, or several of a kind.
pub struct Row {
    /// Its layer.
    pub layer: Layer,
    /// What it is.
    pub what: String,
    /// How many and when; when only, where it is one lot. Nothing where none of it is public.
    pub detail: String,
    /// How the lot is reached from it.
    pub relation: Relation,
    /// The lots it stands for, in the order of time.
    pub lots: Vec<LotId>,
    /// By what they are told apart when the row is opened.
    pub within: Within,
}

/// By what the lots of a row are told apart when it is opened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Within {
    /// By when they were made.
    Time,
    /// By the rack they stand on, or stood on last.
    Rack,
    /// By what they are.
    Kind,
}

/// Rows from the top, and lines between them.
pub struct Lineage {
    /// The rows.
    pub rows: Vec<Row>,
    /// The lines.
    pub lines: Vec<Line>,
    /// How many lots stand behind the rows, the lot itself left out.
    pub lots: usize,
}

/// A drawing with more rows than this is put together more coarsely.
const ROWS: usize = 24;
/// A drawing with more lines side by side than this is put together more coarsely.
const LANES: usize = 12;

/// Puts together what a trace reached, as finely as can be read.
pub fn lineage(
    shown: Shown<'_>,
    sources: &Channels,
    subject: LotId,
    reached: &[Reached],
) -> Lineage {
    let links = links(shown.farm, sources, subject, reached);
    let mut sketch = Sketch::new(shown, subject, reached);
    for grain in Grain::ALL {
        sketch.place(grain);
        if sketch.row_count() > ROWS && grain != Grain::Layers {
            continue;
        }
        let lines = sketch.lines(&links);
        if lane_count(&lines) <= LANES || grain == Grain::Layers {
            return Lineage {
                rows: sketch.rows(),
                lines,
                lots: reached.len(),
            };
        }
    }
    unreachable!("the last grain is always taken")
}

/// Returns the row of the lot itself.
pub fn subject(shown: Shown<'_>, lot: LotId) -> Row {
    Row {
        layer: Layer::Subject,
        what: shown.what(lot),
        detail: shown.farm.lot(lot).code.to_string(),
        relation: Relation::Part,
        lots: Vec::new(),
        within: Within::Time,
    }
}

/// Returns how many lots of a layer there are, in words.
pub fn number(layer: Layer, count: usize) -> String {
    let (one, many) = match layer {
        Layer::Goods => ("delivery", "deliveries"),
        Layer::Beds => ("bed", "beds"),
        Layer::Mixed | Layer::Taken | Layer::Subject => ("batch", "batches"),
    };
    wording::count(count, one, many)
}

/// What the lots of a trace are, each text once.
pub struct Kinds {
    texts: Vec<Text>,
    /// For each lot of the trace, the place of its text.
    of: Vec<usize>,
}

/// A kind's place in its layer, and its words.
type Text = ((u8, bool), String);

impl Kinds {
    /// Finds out what each lot is; two that read the same are the same.
    pub fn of<'f>(kinds: &[Kind<'f>]) -> Self {
        let mut known: Vec<Kind<'f>> = kinds.to_vec();
        known.sort_unstable();
        known.dedup();
        let text = |kind: &Kind<'_>| (kind.place(), kind.to_string());
        let mut texts: Vec<Text> = known.iter().map(text).collect();
        texts.sort_unstable();
        texts.dedup();
        let places: Vec<usize> = known
            .iter()
            .map(|kind| {
                let found = texts.binary_search(&text(kind));
                found.expect("the text was just put there")
            })
            .collect();
        let place = |kind: &Kind<'f>| {
            let known = known.binary_search(kind);
            places[known.expect("the kind was just put there")]
        };
        let of = kinds.iter().map(place).collect();
        Self { texts, of }
    }

    /// Returns the place of a lot's text among all; the order of these is the order of rows in a layer.
    pub fn place(&self, lot: usize) -> usize {
        self.of[lot]
    }

    /// Returns the words at a place.
    pub fn words(&self, place: usize) -> &str {
        &self.texts[place].1
    }
}
