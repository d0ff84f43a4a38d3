//! What a lot is called, in a few words.

use crate::farm::{Farm, LotId, LotSort, Unit};

/// Writes what a lot is in a few words, with the grower's mark: `horse manure (manure-2)`.
pub fn called(farm: &Farm, lot: LotId) -> String {
    let title = title(farm, lot);
    match &farm.lot(lot).mark {
        Some(mark) => format!("{title} ({mark})"),
        None => title,
    }
}

/// Writes what a lot is in a few words, with the grower's mark or else its code: for lists in a paragraph.
pub fn called_in_list(farm: &Farm, lot: LotId) -> String {
    match &farm.lot(lot).mark {
        Some(_) => called(farm, lot),
        None => format!("{} ({})", title(farm, lot), farm.lot(lot).code),
    }
}

/// Writes the grower's mark of a lot, where it has one.
pub fn mark(farm: &Farm, lot: LotId) -> Option<String> {
    farm.lot(lot).mark.as_ref().map(ToString::to_string)
}

/// Names a lot as its grower does: by its mark, or else by its code.
pub fn mark_or_code(farm: &Farm, lot: LotId) -> String {
    mark(farm, lot).unwrap_or_else(|| farm.lot(lot).code.to_string())
}

/// Writes what a lot is in a few words.
pub fn title(farm: &Farm, lot: LotId) -> String {
    match farm.lot(lot).sort {
        LotSort::Delivery(kind) => farm
            .delivery(lot)
            .map_or_else(|| kind.word().to_owned(), |facts| facts.name.to_string()),
        LotSort::Bed => {
            let stays = &farm.lot(lot).stays;
            stays
                .last()
                .map_or_else(|| "bed".to_owned(), |stay| format!("bed in {}", stay.bin))
        }
        LotSort::Batch(kind) => kind.word().to_owned(),
        LotSort::Run(kind) => farm.product(lot).map_or_else(
            || kind.word().to_owned(),
            |product| match product.net.unit() {
                Unit::Pieces => format!("{}, {}", product.name, product.net),
                Unit::Grams | Unit::Millilitres => format!("{} {}", product.name, product.net),
            },
        ),
    }
}
