//! The dots of a printer as lengths on paper.

use crate::farm::{Dpi, Printer};

use super::length::Length;

/// An inch, in micrometres.
const INCH: i64 = 25_400;

/// How large a printer's dots are, as a fraction of whole micrometres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dots {
    micrometres: i64,
    of: i64,
}

impl Dots {
    /// The dots that codes are drawn in where the printer does not say: eight to the millimetre.
    pub const USUAL: Self = Self {
        micrometres: 125,
        of: 1,
    };

    /// Returns the dots of a printer of so many to the inch. What is sold as 203 has eight to the millimetre, which is
    /// 203.2 (common practice, no source).
    pub fn of(dpi: Dpi) -> Self {
        match dpi.dots() {
            203 => Self::USUAL,
            dots => Self {
                micrometres: INCH,
                of: i64::from(dots),
            },
        }
    }

    /// Returns the dots that a label's codes are drawn in: a thermal printer's own, so that edges fall on dots.
    pub fn for_codes(printer: Option<&Printer>) -> Self {
        match printer {
            Some(printer) if printer.method.is_thermal() => Self::of(printer.dpi),
            Some(_) | None => Self::USUAL,
        }
    }

    /// Returns the length of so many dots, to the nearest micrometre.
    pub fn length(self, count: i64) -> Length {
        Length::of_micrometres((count * self.micrometres + self.of / 2) / self.of)
    }

    /// Returns how many whole dots go into a length.
    pub fn whole_in(self, length: Length) -> i64 {
        length.micrometres() * self.of / self.micrometres
    }

    /// Returns how many dots a length is, in hundredths, rounded.
    pub fn hundredths_in(self, length: Length) -> i64 {
        (length.micrometres() * self.of * 100 + self.micrometres / 2) / self.micrometres
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worked_module_sizes_of_the_reference_come_out() {
        // qr_print_rules.csv: 4, 5, 10 dots at 203, 300, 600 dpi are 0.5005, 0.4233, 0.4233 mm; 203 is taken as 203.2.
        let of = |dpi| Dots::of(Dpi::new(dpi).unwrap());
        assert_eq!(of(203).length(4), Length::of_micrometres(500));
        assert_eq!(of(300).length(5), Length::of_micrometres(423));
        assert_eq!(of(600).length(10), Length::of_micrometres(423));
        assert_eq!(of(203).length(3), Length::of_micrometres(375));
    }

    #[test]
    fn whole_dots_are_told_from_broken_ones_to_the_hundredth() {
        let dots = Dots::of(Dpi::new(300).unwrap());
        for count in 1..40 {
            assert!((dots.hundredths_in(dots.length(count)) - count * 100).abs() <= 1);
        }
        assert_eq!(dots.hundredths_in(Length::of_micrometres(375)), 443);
    }
}
