//! The bar code of a trade item: EAN-13, or EAN-8 for the short numbers.
//!
//! The bars come from the barcoders crate. What is ours is the room they take: quiet zones, guard
//! bars that reach down between the digits, and the range that one module's width may have.

use barcoders::sym::ean8::EAN8;
use barcoders::sym::ean13::EAN13;

use crate::farm::Gtin;

use super::item::TextRun;
use super::length::{Area, Length, Point, Size};

/// The narrowest module at a till: 80 % (GS1 General Specifications, X-dimension of EAN/UPC at
/// retail point of sale).
pub const LEAST_MODULE: Length = Length::of_micrometres(264);

/// The widest: 200 % (the same).
pub const MOST_MODULE: Length = Length::of_micrometres(660);

/// The nominal module, 100 % (the same).
const NOMINAL_MODULE: Length = Length::of_micrometres(330);

/// The bars' height at the nominal module (GS1 General Specifications; EAN-8's from memory).
const NOMINAL_13: Length = Length::of_micrometres(22_850);
const NOMINAL_8: Length = Length::of_micrometres(18_230);

/// How far the guard bars reach below the others, in modules (GS1 General Specifications, from
/// memory).
pub const GUARD_MODULES: i64 = 5;

/// Why a number has no bar code here.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BarError {
    /// A number for cases: it is not scanned at tills.
    #[error(
        "`{digits}` is a number for a case of packs (it begins with {}), and the bar code of one \
         pack (EAN-13) holds only numbers that begin with 0",
        &digits[..1]
    )]
    Case {
        /// The fourteen digits.
        digits: String,
    },
}

/// Why a bar code cannot stand on a label.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BarsMisfit {
    /// The product has no number.
    #[error("the product has no GTIN in castlot.toml")]
    NoGtin,
    /// The number has no bar code here.
    #[error(transparent)]
    Number(#[from] BarError),
    /// There is less room than it needs.
    #[error("it needs {needs} and has {room}")]
    NoRoom {
        /// The least room, quiet zones and digits included.
        needs: Size,
        /// The room it has.
        room: Size,
    },
    /// Something stands where it must be white.
    #[error("something stands in its quiet zone")]
    Crowded,
}

/// A bar code's modules, from left to right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bars {
    digits: Box<str>,
    modules: Box<[u8]>,
}

impl Bars {
    /// Encodes a trade item number.
    pub fn of(gtin: &Gtin) -> Result<Self, BarError> {
        let all = gtin.digits();
        if !all.starts_with('0') {
            return Err(BarError::Case {
                digits: all.to_owned(),
            });
        }
        // Six noughts before eight digits are how a GTIN-8 fills a field of fourteen.
        let (digits, modules) = match all.strip_prefix("000000") {
            Some(short) => (short, EAN8::new(short).map(|code| code.encode())),
            None => (&all[1..], EAN13::new(&all[1..]).map(|code| code.encode())),
        };
        let modules = modules.expect("a GTIN has digits alone and a right check digit");
        Ok(Self {
            digits: digits.into(),
            modules: modules.into(),
        })
    }

    /// The digits that stand beneath: thirteen or eight.
    pub fn digits(&self) -> &str {
        &self.digits
    }

    /// How many modules wide the bars are, without quiet zones.
    pub fn width(&self) -> u16 {
        u16::try_from(self.modules.len()).expect("a bar code has 95 or 67 modules")
    }

    /// Whether a module is a bar.
    pub fn is_bar(&self, x: u16) -> bool {
        self.modules[usize::from(x)] == 1
    }

    /// Whether a module is a bar of a guard pattern: at both ends and in the middle.
    pub fn is_guard(&self, x: u16) -> bool {
        let width = self.width();
        let middle = width / 2 - 2..width / 2 + 3;
        self.is_bar(x) && (x < 3 || x >= width - 3 || middle.contains(&x))
    }

    /// White modules that the code needs left and right (GS1 General Specifications).
    pub fn quiet(&self) -> (u16, u16) {
        if self.is_short() { (7, 7) } else { (11, 7) }
    }

    /// The height of the bars that the specification calls for at a width of module. Lower bars
    /// read as well straight on; a till's scanner, which reads at any angle, misses more of them.
    pub fn nominal_height(&self, module: Length) -> Length {
        let at_nominal = if self.is_short() {
            NOMINAL_8
        } else {
            NOMINAL_13
        };
        at_nominal * module.micrometres() / NOMINAL_MODULE.micrometres()
    }

    /// The bars, or the guard bars alone, as one row of bits, the leftmost in the highest bit.
    pub fn row(&self, which: impl Fn(&Self, u16) -> bool) -> Vec<u8> {
        let mut row = vec![0; usize::from(self.width()).div_ceil(8)];
        for x in (0..self.width()).filter(|&x| which(self, x)) {
            row[usize::from(x) / 8] |= 0x80 >> (x % 8);
        }
        row
    }

    /// Groups of digits: the first module each stands under, how many modules it has, the digits.
    pub(super) fn groups(&self) -> Vec<(i64, i64, &str)> {
        if self.is_short() {
            let (left, right) = self.digits.split_at(4);
            return vec![(3, 28, left), (36, 28, right)];
        }
        let (first, rest) = self.digits.split_at(1);
        let (left, right) = rest.split_at(6);
        vec![(-11, 9, first), (3, 42, left), (50, 42, right)]
    }

    fn is_short(&self) -> bool {
        self.digits.len() == 8
    }
}

/// A bar code on a label, with its quiet zones and digits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlacedBars {
    /// The bars.
    pub bars: Bars,
    /// The width of one module.
    pub module: Length,
    /// The height of the bars between the guards.
    pub height: Length,
    /// The digits beneath.
    pub digits: Vec<TextRun>,
    /// All of it, quiet zones and digits too: nothing else may stand in here.
    pub area: Area,
}

impl PlacedBars {
    /// The rectangle of all bars down to where the digits begin.
    pub fn bars_area(&self) -> Area {
        let left = i64::from(self.bars.quiet().0);
        Area {
            at: Point {
                x: self.area.at.x + self.module * left,
                y: self.area.at.y,
            },
            size: Size {
                width: self.module * i64::from(self.bars.width()),
                height: self.height,
            },
        }
    }

    /// The rectangle of the guard bars, which reach down between the digits.
    pub fn guards_area(&self) -> Area {
        let bars = self.bars_area();
        let height = bars.size.height + self.module * GUARD_MODULES;
        Area {
            size: Size {
                height,
                ..bars.size
            },
            ..bars
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bars(gtin: &str) -> Bars {
        Bars::of(&gtin.parse().unwrap()).unwrap()
    }

    fn shown(bars: &Bars) -> String {
        (0..bars.width())
            .map(|x| if bars.is_bar(x) { '1' } else { '0' })
            .collect()
    }

    /// The worked figure of the encyclopedias: 4 003994 155486 (its number sets are those of
    /// ISO/IEC 15420; from memory).
    #[test]
    fn an_ean_13_has_the_bars_of_the_worked_example() {
        let bars = bars("4003994155486");
        let left = "0001101 0100111 0111101 0001011 0010111 0011101".replace(' ', "");
        let right = "1100110 1001110 1001110 1011100 1001000 1010000".replace(' ', "");
        assert_eq!(shown(&bars), format!("101{left}01010{right}101"));
        assert_eq!((bars.width(), bars.quiet()), (95, (11, 7)));
        assert_eq!(bars.digits(), "4003994155486");
    }

    #[test]
    fn guards_are_two_bars_at_each_end_and_in_the_middle() {
        for gtin in ["09520123456788", "02345673"] {
            let bars = bars(gtin);
            let guards = (0..bars.width()).filter(|&x| bars.is_guard(x)).count();
            assert_eq!(guards, 6, "{gtin}");
        }
    }

    #[test]
    fn a_short_number_is_an_ean_8() {
        let bars = bars("02345673");
        assert_eq!((bars.width(), bars.digits()), (67, "02345673"));
        assert!(shown(&bars).starts_with("1010001101"));
    }

    #[test]
    fn the_number_of_a_case_is_refused_with_the_reason() {
        let error = Bars::of(&"19520123456785".parse().unwrap()).unwrap_err();
        assert!(
            error
                .to_string()
                .starts_with("`19520123456785` is a number for a case of packs (it begins with 1)")
        );
    }

    #[test]
    fn the_height_goes_with_the_module() {
        let bars = bars("09520123456788");
        let nominal = bars.nominal_height(NOMINAL_MODULE);
        assert_eq!(nominal, Length::of_micrometres(22_850));
        assert_eq!(bars.nominal_height(MOST_MODULE), nominal * 2);
    }
}
