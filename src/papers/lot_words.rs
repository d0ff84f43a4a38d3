//! What papers call a lot, an amount, and a buyer. Papers are for people with a right to know, so names stand on them.

use crate::farm::{BatchKind, Event, Farm, LotId, LotSort, Product, SaleTo};
use crate::trace::Relation;

/// Returns what a lot is: a delivery's name, a bed and its bin, a batch's kind, a run's product.
pub fn what(farm: &Farm, id: LotId) -> String {
    let lot = farm.lot(id);
    match lot.sort {
        LotSort::Delivery(kind) => farm
            .delivery(id)
            .map_or_else(|| kind.word().to_owned(), |facts| facts.name.to_string()),
        LotSort::Bed => match lot.stays.first() {
            Some(stay) => format!("bed in {}", stay.bin),
            None => "bed".to_owned(),
        },
        LotSort::Batch(kind) => batch(kind, matches!(farm.making(id), Event::Blend { .. })),
        LotSort::Run(_) => farm.product(id).map_or_else(|| "packs".to_owned(), packed),
    }
}

fn batch(kind: BatchKind, blended: bool) -> String {
    let word = match kind {
        BatchKind::Castings => "castings",
        BatchKind::Worms => "worms",
        BatchKind::Cocoons => "cocoons",
        BatchKind::Overs => "overs",
        BatchKind::Liquid => "liquid",
        BatchKind::Feed => "mixed feed",
        BatchKind::Bedding => "prepared bedding",
    };
    match (kind, blended) {
        (BatchKind::Feed | BatchKind::Bedding, _) | (_, false) => word.to_owned(),
        (_, true) => format!("blended {word}"),
    }
}

/// Returns a product with its net quantity: `Worm-worked compost, 20L`.
pub fn packed(product: &Product) -> String {
    format!("{}, {}", product.name, product.net)
}

/// Returns what a lot is, with the grower's own mark.
pub fn called(farm: &Farm, id: LotId) -> String {
    let what = what(farm, id);
    match &farm.lot(id).mark {
        Some(mark) => format!("{what} ({mark})"),
        None => what,
    }
}

/// Names who got a sale: the buyer, or the market.
pub fn whom(to: &SaleTo) -> String {
    match (&to.buyer, &to.market) {
        (Some(buyer), _) => buyer.to_string(),
        (None, Some(market)) => market.to_string(),
        (None, None) => "nobody noted who".to_owned(),
    }
}

/// Returns how a lot is reached, in words.
pub fn manner(relation: Option<Relation>) -> &'static str {
    match relation {
        None => "itself",
        Some(Relation::Part) => "it is in it",
        Some(Relation::Live) => "the worms or their stock",
        Some(Relation::Carried) => "carried at most",
    }
}
