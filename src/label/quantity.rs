//! Quantities as a label gives them, with a space before the unit: `20 L`, `50 worms`.

use crate::farm::{PackKind, Quantity, Unit};

/// Writes a quantity with a space before its unit, as in `2.4 kg`.
pub fn spaced(quantity: Quantity) -> String {
    let text = quantity.to_string();
    let digits = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(digits);
    format!("{number} {unit}").trim_end().to_owned()
}

/// Writes what one pack holds; pieces in a tub are worms.
pub fn of_packs(net: Quantity, kind: PackKind) -> String {
    match (net.unit(), kind) {
        (Unit::Pieces, PackKind::Tub) if net.value() == 1 => "1 worm".to_owned(),
        (Unit::Pieces, PackKind::Tub) => format!("{} worms", net.value()),
        (Unit::Pieces | Unit::Grams | Unit::Millilitres, _) => spaced(net),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_stands_apart_and_worms_are_named() {
        let read = |text: &str| Quantity::read(text, &Default::default()).unwrap();
        assert_eq!(spaced(read("20L")), "20 L");
        assert_eq!(spaced(read("2.45kg")), "2.45 kg");
        assert_eq!(spaced(read("500mL")), "500 mL");
        assert_eq!(spaced(read("40")), "40");
        assert_eq!(of_packs(read("50"), PackKind::Tub), "50 worms");
        assert_eq!(of_packs(read("500mL"), PackKind::Bottle), "500 mL");
    }
}
