//! What a lot is, as far as the public words tell lots apart.
//!
//! A delivery's own name is the grower's, and may name a person; it is never used.

use std::fmt;

use crate::farm::{
    Amount, BatchKind, DeliveryFacts, DeliveryKind, Event, Farm, LotId, LotSort, PackKind, Unit,
    Word,
};
use crate::trace::rank;

use super::wording::{capital, names_whom};

/// What a lot is; the order is that of rows in a layer: what was blended comes after what it was blended of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Kind<'f> {
    rank: u8,
    is_blend: bool,
    sort: LotSort,
    /// Whether it is packing that is counted, not weighed.
    is_counted: bool,
    /// The animal, the species or the product.
    of: Option<&'f str>,
}

impl<'f> Kind<'f> {
    /// Returns what a lot is.
    pub fn of(farm: &'f Farm, lot: LotId) -> Self {
        let sort = farm.lot(lot).sort;
        let facts = farm.delivery(lot);
        let of = match sort {
            LotSort::Delivery(DeliveryKind::Manure) => {
                facts.and_then(|f| tactful(f, f.animal.as_deref()))
            }
            LotSort::Delivery(DeliveryKind::Worms) => {
                facts.and_then(|f| tactful(f, f.species.as_deref()))
            }
            LotSort::Run(_) => farm.product(lot).map(|product| &*product.name),
            LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => None,
        };
        Self {
            rank: rank(sort),
            is_blend: matches!(farm.making(lot), Event::Blend { .. }),
            sort,
            is_counted: sort == LotSort::Delivery(DeliveryKind::Packing) && is_counted(farm, lot),
            of,
        }
    }

    /// Returns it without its animal, species or product, for places with no room for so many.
    pub fn plain(self) -> Self {
        Self { of: None, ..self }
    }

    /// Returns its place among the kinds of its layer.
    pub fn place(self) -> (u8, bool) {
        (self.rank, self.is_blend)
    }
}

/// Returns what was typed of a delivery, unless it has a word of the names that stand beside it.
fn tactful<'a>(facts: &DeliveryFacts, typed: Option<&'a str>) -> Option<&'a str> {
    let said_by = facts.said_by.as_ref().and_then(Word::said);
    let names = [
        facts.supplier.said(),
        said_by,
        facts.origin.as_deref(),
        facts.hay_from.as_deref(),
    ];
    typed.filter(|typed| {
        !names
            .into_iter()
            .flatten()
            .any(|name| names_whom(typed, name))
    })
}

fn is_counted(farm: &Farm, lot: LotId) -> bool {
    let quantity = farm.made_amount(lot).and_then(Amount::quantity);
    quantity.is_some_and(|quantity| quantity.unit() == Unit::Pieces)
}

impl fmt::Display for Kind<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.sort, self.of) {
            (LotSort::Delivery(DeliveryKind::Manure), Some(animal)) => {
                f.write_str(&capital(&format!("{animal} manure")))
            }
            (LotSort::Delivery(DeliveryKind::Worms), Some(species)) => {
                write!(f, "Worms, {species}")
            }
            (LotSort::Delivery(kind), _) => f.write_str(delivery(kind, self.is_counted)),
            (LotSort::Bed, _) => f.write_str("Worm bed"),
            (LotSort::Batch(kind), _) => f.write_str(batch(kind, self.is_blend)),
            (LotSort::Run(_), Some(product)) => f.write_str(product),
            (LotSort::Run(kind), None) => f.write_str(packs(kind)),
        }
    }
}

fn delivery(kind: DeliveryKind, is_counted: bool) -> &'static str {
    match kind {
        DeliveryKind::Manure => "Manure",
        DeliveryKind::Feedstock => "Worm feed",
        DeliveryKind::Bedding => "Bedding",
        DeliveryKind::Worms => "Worms",
        DeliveryKind::Grit => "Grit",
        DeliveryKind::Packing if is_counted => "Bags, tubs and lids",
        DeliveryKind::Packing => "Packing bedding",
    }
}

fn batch(kind: BatchKind, is_blend: bool) -> &'static str {
    match (kind, is_blend) {
        (BatchKind::Castings, false) => "Sieved castings",
        (BatchKind::Castings, true) => "Blended castings",
        (BatchKind::Worms, _) => "Worms taken out",
        (BatchKind::Cocoons, _) => "Cocoons set aside",
        (BatchKind::Overs, _) => "Overs from the sieve",
        (BatchKind::Liquid, false) => "Liquid drawn off",
        (BatchKind::Liquid, true) => "Liquid in the barrel",
        (BatchKind::Feed, _) => "Mixed feed",
        (BatchKind::Bedding, _) => "Prepared bedding",
    }
}

fn packs(kind: PackKind) -> &'static str {
    match kind {
        PackKind::Bag => "Bags",
        PackKind::Tub => "Tubs",
        PackKind::Bottle => "Bottles",
    }
}
