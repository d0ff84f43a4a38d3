//! A lot's lineage as rows and lines: what it came from in layers, like put with like until it can be read.
//!
//! Goods in stand at the top, the lot itself at the bottom. What was only carried is one row a layer.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{Event, Farm, LotId};
use crate::trace::{Layer, Line, Reached, Relation, Side, lane_count, rank, ways};

use super::wording;

/// A row of the drawing: one lot, or several of a kind.
pub struct Row {
    /// Its layer.
    pub layer: Layer,
    /// What it is.
    pub what: String,
    /// How many and when, or its code.
    pub detail: String,
    /// How the lot is reached from it.
    pub relation: Relation,
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

/// How finely lots are told apart; each step puts more of them together.
#[derive(Clone, Copy, PartialEq)]
enum Grain {
    Fine,
    Middle,
    Coarse,
}

/// A drawing with more rows than this is put together more coarsely.
const ROWS: usize = 24;
/// A drawing with more lines side by side than this is put together more coarsely.
const LANES: usize = 12;
/// So many beds, and so many of other layers, stand on their own.
const BEDS_ALONE: usize = 12;
const OTHERS_ALONE: usize = 4;

/// Puts together what a trace reached, as finely as can be read.
pub fn lineage(farm: &Farm, subject: LotId, reached: &[Reached]) -> Lineage {
    let mut drawn = Sketch::new(farm, subject, reached, Grain::Fine).finish();
    for grain in [Grain::Middle, Grain::Coarse] {
        if drawn.rows.len() <= ROWS && lane_count(&drawn.lines) <= LANES {
            break;
        }
        drawn = Sketch::new(farm, subject, reached, grain).finish();
    }
    drawn
}

/// What lots are put together by: the order of these is the order of rows in a layer.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    layer: Layer,
    relation: Relation,
    /// The order of kinds in a layer.
    rank: u8,
    /// What they are, or nothing where that does not matter.
    what: String,
    /// Year and month, or the place of a single lot, or a rack.
    apart: Apart,
}

#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Apart {
    Nothing,
    Month(i16, i8),
    Rack(String),
    Lot(LotId),
}

struct Sketch<'a> {
    farm: &'a Farm,
    subject: LotId,
    reached: &'a [Reached],
    grain: Grain,
    /// How many lots that are not only carried each layer has.
    near: BTreeMap<Layer, usize>,
    rows: Vec<(Key, Vec<LotId>)>,
    /// Each lot's row, by its place among the lots.
    found: Vec<Option<usize>>,
}

impl<'a> Sketch<'a> {
    fn new(farm: &'a Farm, subject: LotId, reached: &'a [Reached], grain: Grain) -> Self {
        let mut near = BTreeMap::new();
        for r in reached.iter().filter(|r| r.relation != Relation::Carried) {
            *near.entry(Layer::of(farm.lot(r.lot).sort)).or_default() += 1;
        }
        let (rows, found) = (Vec::new(), vec![None; farm.lot_count()]);
        let mut sketch = Self {
            farm,
            subject,
            reached,
            grain,
            near,
            rows,
            found,
        };
        sketch.place();
        sketch
    }

    /// Puts every lot in its row.
    fn place(&mut self) {
        let mut by_key: BTreeMap<Key, Vec<&Reached>> = BTreeMap::new();
        for r in self.reached {
            by_key.entry(self.key(r)).or_default().push(r);
        }
        for (row, (key, same)) in by_key.into_iter().enumerate() {
            for r in &same {
                self.found[r.lot.index()] = Some(row);
            }
            let lots = same.iter().map(|r| r.lot).collect();
            self.rows.push((key, lots));
        }
        self.found[self.subject.index()] = Some(self.rows.len());
    }

    fn key(&self, reached: &Reached) -> Key {
        let lot = self.farm.lot(reached.lot);
        let (layer, relation) = (Layer::of(lot.sort), reached.relation);
        let day = lot.when.day();
        let month = Apart::Month(day.year(), day.month());
        let near = self.near.get(&layer).copied().unwrap_or_default();
        let (alone, apart) = match (layer, self.grain) {
            (_, _) if relation == Relation::Carried => (false, Apart::Nothing),
            (Layer::Goods, Grain::Fine) => (false, month),
            (Layer::Beds, Grain::Fine | Grain::Middle) => {
                (near <= BEDS_ALONE, self.rack(reached.lot))
            }
            (_, Grain::Fine) => (near <= OTHERS_ALONE, month),
            (_, Grain::Middle | Grain::Coarse) => (near == 1, Apart::Nothing),
        };
        let (rank, what) = match (relation, layer) {
            (Relation::Carried, _) | (_, Layer::Beds) => (0, String::new()),
            _ => (
                self.rank(reached.lot),
                wording::what(self.farm, reached.lot),
            ),
        };
        let apart = if alone {
            Apart::Lot(reached.lot)
        } else {
            apart
        };
        Key {
            layer,
            relation,
            rank,
            what,
            apart,
        }
    }

    /// Returns the order of a lot's kind in its layer; what was blended comes after what it was blended of.
    fn rank(&self, lot: LotId) -> u8 {
        let blended = matches!(self.farm.making(lot), Event::Blend { .. });
        rank(self.farm.lot(lot).sort) * 2 + u8::from(blended)
    }

    /// Returns the rack that a bed's last bin stands on now.
    fn rack(&self, bed: LotId) -> Apart {
        let stay = self.farm.lot(bed).stays.last();
        let bin = stay.and_then(|stay| self.farm.bins().get(&stay.bin));
        let standing = bin.and_then(|bin| bin.standing.as_ref());
        standing.map_or(Apart::Nothing, |s| Apart::Rack(s.place.rack().to_owned()))
    }

    fn finish(self) -> Lineage {
        let mut rows: Vec<Row> = self
            .rows
            .iter()
            .map(|(key, lots)| self.row(key, lots))
            .collect();
        rows.push(Row {
            layer: Layer::Subject,
            what: wording::what(self.farm, self.subject),
            detail: self.farm.lot(self.subject).code.to_string(),
            relation: Relation::Part,
        });
        Lineage {
            rows,
            lines: self.lines(),
            lots: self.reached.len(),
        }
    }

    fn row(&self, key: &Key, lots: &[LotId]) -> Row {
        let day = |lot: LotId| self.farm.lot(lot).when.day();
        let first = lots.iter().copied().map(day).min().unwrap_or_default();
        let last = lots.iter().copied().map(day).max().unwrap_or_default();
        let months = wording::brief_months(first, last);
        let (one, many) = match key.layer {
            Layer::Goods => ("delivery", "deliveries"),
            Layer::Beds => ("bed", "beds"),
            Layer::Mixed | Layer::Taken | Layer::Subject => ("batch", "batches"),
        };
        let number = wording::count(lots.len(), one, many);
        let (what, detail) = match (lots, &key.apart) {
            ([only], _) if key.relation != Relation::Carried => {
                let code = self.farm.lot(*only).code;
                (
                    wording::what(self.farm, *only),
                    format!("{code}, {}", wording::brief_date(day(*only))),
                )
            }
            (_, Apart::Rack(rack)) => (format!("{number} on rack {rack}"), months),
            (_, _) if key.what.is_empty() => {
                let more = if key.relation == Relation::Carried {
                    " more"
                } else {
                    ""
                };
                let (count, noun) = number.split_once(' ').unwrap_or((&number, ""));
                (format!("{count}{more} {noun}"), months)
            }
            (_, _) => (key.what.clone(), format!("{number}, {months}")),
        };
        Row {
            layer: key.layer,
            what,
            detail,
            relation: key.relation,
        }
    }

    /// Returns the lines between rows, each once, in its nearest style.
    fn lines(&self) -> Vec<Line> {
        let mut nearest: BTreeMap<(usize, usize), Relation> = BTreeMap::new();
        for way in ways(self.farm, self.subject, self.reached, Side::Back) {
            let (source, target) = (self.row_of(way.from), self.row_of(way.to));
            if source != target {
                let line = nearest.entry((source, target)).or_insert(way.relation);
                *line = way.relation.min(*line);
            }
        }
        let mut by_target: BTreeMap<(usize, Relation), BTreeSet<usize>> = BTreeMap::new();
        for ((from, to), style) in nearest {
            by_target.entry((to, style)).or_default().insert(from);
        }
        let line = |((to, style), from): ((usize, Relation), BTreeSet<usize>)| Line {
            from: from.into_iter().collect(),
            to,
            style,
        };
        by_target.into_iter().map(line).collect()
    }

    fn row_of(&self, lot: LotId) -> usize {
        self.found[lot.index()].expect("every lot of a way has been placed")
    }
}
