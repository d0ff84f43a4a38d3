//! Tenths of a gram, a millilitre or a piece: what packers' tables round to.

use std::fmt;

use super::amount::{Quantity, Unit};
use super::facts::Rate;

/// So many tenths of a gram, a millilitre or a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tenths(u64);

impl Tenths {
    /// Makes so many tenths.
    pub fn new(tenths: u64) -> Self {
        Self(tenths)
    }

    /// Returns a quantity in tenths of its unit.
    pub fn of(quantity: Quantity) -> Self {
        // A quantity is at most 10^12 of its unit.
        Self(quantity.value() * 10)
    }

    /// Turns so many tenths by a rate: grams into millilitres, rounded down, so that no pack seems fuller than it is.
    pub(super) fn grams_to_millilitres(self, density: Rate) -> Self {
        Self::narrowed(u128::from(self.0) * 1_000_000 / u128::from(density.thousandths()))
    }

    /// Turns millilitres into grams, rounded down.
    pub(super) fn millilitres_to_grams(self, density: Rate) -> Self {
        Self::narrowed(u128::from(self.0) * u128::from(density.thousandths()) / 1_000_000)
    }

    /// Turns grams into pieces, rounded down.
    pub(super) fn grams_to_pieces(self, per_kg: Rate) -> Self {
        self.millilitres_to_grams(per_kg)
    }

    fn narrowed(value: u128) -> Self {
        Self(u64::try_from(value).unwrap_or(u64::MAX))
    }

    /// Returns how many tenths there are.
    pub fn count(self) -> u64 {
        self.0
    }

    /// Takes some away, never below nothing.
    #[must_use]
    pub fn less(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// Returns the number of whole units and a part, as statistics take it.
    pub fn to_units(self) -> f64 {
        // Far below 2^53, so the division is the nearest there is.
        self.0 as f64 / 10.0
    }

    /// Writes it with its unit, as an amount is written: `19.8L`, `487.3mL`, `101.4`.
    pub fn with_unit(self, unit: Unit) -> String {
        let (small, large) = match unit {
            Unit::Grams => ("g", "kg"),
            Unit::Millilitres => ("mL", "L"),
            Unit::Pieces => return self.to_string(),
        };
        if self.0 < 10_000 {
            return format!("{self}{small}");
        }
        let text = format!("{}.{:04}", self.0 / 10_000, self.0 % 10_000);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        format!("{text}{large}")
    }
}

impl fmt::Display for Tenths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 % 10 {
            0 => f.pad(&(self.0 / 10).to_string()),
            tenth => f.pad(&format!("{}.{tenth}", self.0 / 10)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate(text: &str) -> Rate {
        Rate::read(text).expect("a rate")
    }

    /// By hand: 11.57 kg at 576 g/L is 11 570 / 576 = 20.0868 L, so 20 086.8 mL; 20 L at 576 g/L are 11 520 g;
    /// 55 g of worms at 832 in a kilogram are 45.76.
    #[test]
    fn litres_grams_and_worms_turn_into_each_other_as_by_hand() {
        let kilos = Tenths::of(Quantity::new(11_570, Unit::Grams));
        let litres = kilos.grams_to_millilitres(rate("576"));
        assert_eq!(litres.with_unit(Unit::Millilitres), "20.0868L");
        let litres = Tenths::of(Quantity::new(20_000, Unit::Millilitres));
        assert_eq!(
            litres
                .millilitres_to_grams(rate("576"))
                .with_unit(Unit::Grams),
            "11.52kg"
        );
        let worms = Tenths::of(Quantity::new(55, Unit::Grams)).grams_to_pieces(rate("832"));
        assert_eq!(worms.with_unit(Unit::Pieces), "45.7");
    }

    #[test]
    fn tenths_are_written_as_amounts_are() {
        let written = [(4_873, "487.3mL"), (5_000, "500mL"), (198_000, "19.8L")];
        for (tenths, text) in written {
            assert_eq!(Tenths::new(tenths).with_unit(Unit::Millilitres), text);
        }
        assert_eq!(Tenths::new(10_000).with_unit(Unit::Grams), "1kg");
        assert_eq!(
            Tenths::new(50).less(Tenths::new(70)).with_unit(Unit::Grams),
            "0g"
        );
    }
}
