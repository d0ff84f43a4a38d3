//! A lineage in the making: lots put into rows, more and more coarsely until the rows can be read.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{LotId, PublicFact};
use crate::trace::{Layer, Line, Link, Reached, Relation};

use super::kind::Kind;
use super::lineage::{Kinds, Row, Within, number, subject};
use super::shown::Shown;

/// How finely lots are told apart; each step puts more of them together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Grain {
    /// Deliveries and batches by kind and month, beds by rack; few lots each for itself.
    Fine,
    /// Deliveries and batches by kind, beds by rack.
    Middle,
    /// By kind.
    Coarse,
    /// By kind, whatever the animal, species or product.
    Plain,
    /// All of a layer together.
    Layers,
}

impl Grain {
    /// From the finest; the last has at most three rows a layer.
    pub const ALL: [Self; 5] = [
        Self::Fine,
        Self::Middle,
        Self::Coarse,
        Self::Plain,
        Self::Layers,
    ];
}

/// So many beds, and so many of other layers, stand on their own.
const BEDS_ALONE: usize = 12;
const OTHERS_ALONE: usize = 4;

/// What lots are put together by: the order of these is the order of rows in a layer.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Key<'f> {
    layer: Layer,
    relation: Relation,
    /// What they are, or nothing where that does not matter.
    kind: Option<usize>,
    apart: Apart<'f>,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Apart<'f> {
    Nothing,
    Month(i16, i8),
    Rack(&'f str),
    Lot(LotId),
}

/// A lineage in the making.
pub struct Sketch<'a> {
    shown: Shown<'a>,
    subject: LotId,
    reached: &'a [Reached],
    kinds: Kinds,
    plain: Kinds,
    /// How many lots that are not only carried each layer has.
    near: BTreeMap<Layer, usize>,
    grain: Grain,
    rows: Vec<(Key<'a>, Vec<LotId>)>,
    /// Each lot's row, by its place among the lots of the farm.
    found: Vec<Option<usize>>,
}

impl<'a> Sketch<'a> {
    /// Begins with what a trace reached; no lot has its row yet.
    pub fn new(shown: Shown<'a>, subject: LotId, reached: &'a [Reached]) -> Self {
        let farm = shown.farm;
        let mut near = BTreeMap::new();
        for r in reached.iter().filter(|r| r.relation != Relation::Carried) {
            *near.entry(Layer::of(farm.lot(r.lot).sort)).or_default() += 1;
        }
        let kinds: Vec<Kind<'a>> = reached.iter().map(|r| shown.kind(r.lot)).collect();
        let plain: Vec<Kind<'a>> = kinds.iter().map(|kind| kind.plain()).collect();
        Self {
            shown,
            subject,
            reached,
            kinds: Kinds::of(&kinds),
            plain: Kinds::of(&plain),
            near,
            grain: Grain::Fine,
            rows: Vec::new(),
            found: Vec::new(),
        }
    }

    /// Puts every lot in its row.
    pub fn place(&mut self, grain: Grain) {
        self.grain = grain;
        let mut by_key: BTreeMap<Key<'a>, Vec<LotId>> = BTreeMap::new();
        for (place, r) in self.reached.iter().enumerate() {
            by_key.entry(self.key(place)).or_default().push(r.lot);
        }
        self.rows = by_key.into_iter().collect();
        self.found = vec![None; self.shown.farm.lot_count()];
        for (row, (_, lots)) in self.rows.iter().enumerate() {
            for lot in lots {
                self.found[lot.index()] = Some(row);
            }
        }
        self.found[self.subject.index()] = Some(self.rows.len());
    }

    fn key(&self, place: usize) -> Key<'a> {
        let Reached { lot, relation, .. } = self.reached[place];
        let made = self.shown.farm.lot(lot);
        let layer = Layer::of(made.sort);
        let near = self.near.get(&layer).copied().unwrap_or_default();
        let day = made.when.day();
        let month = Apart::Month(day.year(), day.month());
        let (alone, apart) = match (layer, self.grain) {
            (_, _) if relation == Relation::Carried => (false, Apart::Nothing),
            (_, Grain::Layers) => (false, Apart::Nothing),
            (Layer::Goods, Grain::Fine) if self.shown.lets_out(PublicFact::Months) => {
                (false, month)
            }
            (Layer::Goods, Grain::Fine) => (false, Apart::Nothing),
            (Layer::Beds, Grain::Fine | Grain::Middle) => {
                (near <= BEDS_ALONE, self.bed_apart(lot, month))
            }
            (_, Grain::Fine) => (near <= OTHERS_ALONE, month),
            (_, Grain::Middle | Grain::Coarse | Grain::Plain) => (near == 1, Apart::Nothing),
        };
        let kind = match (relation, layer, self.grain) {
            (Relation::Carried, _, _) | (_, Layer::Beds, _) | (_, _, Grain::Layers) => None,
            (_, _, Grain::Plain) => Some(self.plain.place(place)),
            (_, _, Grain::Fine | Grain::Middle | Grain::Coarse) => Some(self.kinds.place(place)),
        };
        Key {
            layer,
            relation,
            kind,
            apart: if alone { Apart::Lot(lot) } else { apart },
        }
    }

    /// Returns what tells a bed from others: its rack, or where that is not public, its month.
    fn bed_apart(&self, bed: LotId, month: Apart<'a>) -> Apart<'a> {
        match (self.shown.lets_out(PublicFact::Places), self.grain) {
            (true, _) => self.shown.rack(bed).map_or(Apart::Nothing, Apart::Rack),
            (false, Grain::Fine) => month,
            (false, Grain::Middle | Grain::Coarse | Grain::Plain | Grain::Layers) => Apart::Nothing,
        }
    }

    /// Returns how many rows there are, the lot's own among them.
    pub fn row_count(&self) -> usize {
        self.rows.len() + 1
    }

    /// Returns the rows, the lot's own last.
    pub fn rows(self) -> Vec<Row> {
        let rows = self.rows.iter().map(|(key, lots)| self.row(*key, lots));
        let mut rows: Vec<Row> = rows.collect();
        rows.push(subject(self.shown, self.subject));
        rows
    }

    fn row(&self, key: Key<'_>, lots: &[LotId]) -> Row {
        let (what, detail) = self.words(key, lots);
        let within = match (key.layer, key.relation, key.apart) {
            (Layer::Beds, _, Apart::Nothing) if self.shown.lets_out(PublicFact::Places) => {
                Within::Rack
            }
            (_, Relation::Carried, _) => Within::Kind,
            (_, _, _) if key.kind.is_none() && key.layer != Layer::Beds => Within::Kind,
            (_, _, _) => Within::Time,
        };
        Row {
            layer: key.layer,
            what,
            detail,
            relation: key.relation,
            lots: lots.to_vec(),
            within,
        }
    }

    /// Returns what a row is, and how many and when.
    fn words(&self, key: Key<'_>, lots: &[LotId]) -> (String, String) {
        let made = self.shown.made(key.layer, lots);
        if let [only] = lots {
            return (self.shown.what(*only), made.unwrap_or_default());
        }
        let number = number(key.layer, lots.len());
        let words = match self.grain {
            Grain::Plain => &self.plain,
            Grain::Fine | Grain::Middle | Grain::Coarse | Grain::Layers => &self.kinds,
        };
        match (key.kind, key.apart) {
            (Some(kind), _) => {
                let detail = std::iter::once(number).chain(made);
                let detail: Vec<String> = detail.collect();
                (words.words(kind).to_owned(), detail.join(", "))
            }
            (None, Apart::Rack(rack)) => {
                (format!("{number} on rack {rack}"), made.unwrap_or_default())
            }
            (None, _) if key.relation == Relation::Carried => {
                let (count, noun) = number.split_once(' ').unwrap_or((&number, ""));
                (format!("{count} more {noun}"), made.unwrap_or_default())
            }
            (None, _) => (number, made.unwrap_or_default()),
        }
    }

    /// Returns the lines between rows, each once, in its nearest style.
    pub fn lines(&self, links: &[Link]) -> Vec<Line> {
        let count = self.row_count();
        let mut nearest: Vec<Option<Relation>> = vec![None; count * count];
        for link in links {
            let (source, target) = (self.row_of(link.from), self.row_of(link.to));
            if source != target {
                let line = &mut nearest[target * count + source];
                *line = Some(line.map_or(link.relation, |known| known.min(link.relation)));
            }
        }
        let mut by_target: BTreeMap<(usize, Relation), BTreeSet<usize>> = BTreeMap::new();
        for (place, style) in nearest.into_iter().enumerate() {
            if let Some(style) = style {
                let (to, from) = (place / count, place % count);
                by_target.entry((to, style)).or_default().insert(from);
            }
        }
        let line = |((to, style), from): ((usize, Relation), BTreeSet<usize>)| Line {
            from: from.into_iter().collect(),
            to,
            style,
        };
        by_target.into_iter().map(line).collect()
    }

    fn row_of(&self, lot: LotId) -> usize {
        self.found[lot.index()].expect("every lot of a trace has been placed")
    }
}
