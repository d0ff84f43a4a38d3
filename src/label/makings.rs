//! What a lot is made of, by kinds of stuff: loads of one kind added up, in falling share.

use std::collections::BTreeMap;

use crate::farm::{Basis, DeliveryFacts, DeliveryKind, Farm, LotId, LotSort};
use crate::trace::{Question, Side, Source, trace};

/// What a lot is made of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Makings {
    /// The kinds of stuff, the largest share first; in order of name where shares cannot be told.
    pub parts: Vec<Part>,
    /// Whether some amount on the way was estimated.
    pub guessed: bool,
}

/// One kind of stuff in a lot.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is called: a delivery's name up to a comma; a manure goes by its animal. In lower case.
    pub kind: String,
    /// Its share of the lot; `None` where an unknown amount leaves it untold.
    pub share: Option<f64>,
}

impl Makings {
    /// Works out what a lot is made of, from the trace.
    pub fn of(farm: &Farm, id: LotId) -> Self {
        let question = Question {
            lot: id,
            serial: None,
            when: None,
            side: Side::Back,
        };
        let sources = trace(farm, question).back.unwrap_or_default();
        let in_it: Vec<&Source> = sources.iter().filter(|s| is_named(farm, s)).collect();
        let known = in_it.iter().all(|source| source.share.is_some());
        let mut shares: BTreeMap<String, f64> = BTreeMap::new();
        for source in &in_it {
            let share = source.share.unwrap_or_default();
            *shares.entry(kind_of(farm, source.reached.lot)).or_default() += share;
        }
        let mut parts: Vec<Part> = shares
            .into_iter()
            .map(|(kind, share)| Part {
                kind,
                share: known.then_some(share),
            })
            .collect();
        // A stable sort: kinds of one share stay in the order of their names.
        let by_share = |a: &Part, b: &Part| {
            b.share
                .unwrap_or_default()
                .total_cmp(&a.share.unwrap_or_default())
        };
        parts.sort_by(by_share);
        Self {
            parts,
            guessed: in_it.iter().any(|s| s.basis != Some(Basis::Weighed)),
        }
    }

    /// Tells whether the shares can be told.
    pub fn is_known(&self) -> bool {
        self.parts.iter().all(|part| part.share.is_some())
    }
}

/// Tells whether a source is a delivery that is part of the lot.
fn is_named(farm: &Farm, source: &Source) -> bool {
    let is_delivery = matches!(farm.lot(source.reached.lot).sort, LotSort::Delivery(_));
    is_delivery && source.basis.is_some() && source.share != Some(0.0)
}

fn kind_of(farm: &Farm, id: LotId) -> String {
    let kind = farm
        .delivery(id)
        .map(|facts| match (facts.kind, &facts.animal) {
            (DeliveryKind::Manure, Some(animal)) => format!("{animal} manure"),
            (DeliveryKind::Manure, None)
            | (
                DeliveryKind::Feedstock
                | DeliveryKind::Bedding
                | DeliveryKind::Worms
                | DeliveryKind::Grit
                | DeliveryKind::Packing,
                _,
            ) => head(facts),
        });
    kind.unwrap_or_default().to_lowercase()
}

/// What follows a comma in a name is a remark about that load.
fn head(facts: &DeliveryFacts) -> String {
    facts
        .name
        .split(',')
        .next()
        .unwrap_or_default()
        .trim()
        .to_owned()
}
