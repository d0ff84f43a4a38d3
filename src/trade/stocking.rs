//! How densely a bed is stocked, and the word for it.
//!
//! Growers tell of beds that start near 2.4 kg/m² and level off at 7 to 10 (practice told by growers, weak for a number).
//! A grower's guide starts at 2.5 and never above 5, and finds 5 to 10 usual (a Munroe-type guide). The best of one trial was
//! 1.6 (Ndegwa, Thompson and Das 2000, Bioresource Technology 71:5-12, abstract). Half a kilogram to a shallow rack box,
//! and twice that looks crowded: common practice, no source.

/// Below so many grams a square metre no source starts a bed.
pub const THIN_BELOW: u64 = 1_600;
/// From so many on beds are told to level off: worms breed no more than die.
pub const CROWDED_FROM: u64 = 7_000;
/// A box that is less deep is shallow: beds are usually 200 to 300 mm deep (practice told by growers).
const SHALLOW_BELOW_MM: u32 = 200;
/// So many grams in a shallow rack box look crowded: common practice, no source.
const SHALLOW_CROWDED_FROM: u64 = 1_000;

/// How a bed is stocked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stocking {
    /// Fewer worms than any source starts with.
    Thin,
    /// In between.
    Usual,
    /// As many as beds are told to level off at, or more.
    Crowded,
}

impl Stocking {
    /// Returns the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Thin => "thin",
            Self::Usual => "usual",
            Self::Crowded => "crowded",
        }
    }
}

/// A box from within, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Floor {
    /// Its length.
    pub length_mm: u32,
    /// Its width.
    pub width_mm: u32,
    /// Its depth, where it was noted.
    pub depth_mm: Option<u32>,
}

impl Floor {
    /// Returns grams of worms to the square metre, rounded down; `None` of a box without a floor.
    pub fn density(self, worms: u64) -> Option<u64> {
        let square_mm = u128::from(self.length_mm) * u128::from(self.width_mm);
        let density = (u128::from(worms) * 1_000_000).checked_div(square_mm)?;
        u64::try_from(density).ok()
    }

    /// Returns the word for so many grams of worms in it.
    pub fn stocking(self, worms: u64) -> Option<Stocking> {
        let density = self.density(worms)?;
        let shallow = self.depth_mm.is_some_and(|depth| depth < SHALLOW_BELOW_MM);
        Some(
            if density >= CROWDED_FROM || (shallow && worms >= SHALLOW_CROWDED_FROM) {
                Stocking::Crowded
            } else if density < THIN_BELOW {
                Stocking::Thin
            } else {
                Stocking::Usual
            },
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn floor(depth_mm: Option<u32>) -> Floor {
        Floor {
            length_mm: 600,
            width_mm: 400,
            depth_mm,
        }
    }

    /// By hand: 1 kg on 0.6 × 0.4 = 0.24 m² is 4.167 kg/m²; 0.384 kg is 1.6 and 1.68 kg is 7.
    #[test]
    fn density_and_its_word_are_as_by_hand() {
        assert_eq!(floor(None).density(1_000), Some(4_166));
        let word = |grams| floor(Some(220)).stocking(grams).map(Stocking::word);
        assert_eq!(word(383), Some("thin"));
        assert_eq!(word(384), Some("usual"));
        assert_eq!(word(1_679), Some("usual"));
        assert_eq!(word(1_680), Some("crowded"));
    }

    #[test]
    fn a_shallow_box_is_crowded_with_a_kilogram_and_a_box_without_a_floor_has_no_word() {
        assert_eq!(floor(Some(150)).stocking(1_000), Some(Stocking::Crowded));
        assert_eq!(floor(Some(150)).stocking(500), Some(Stocking::Usual));
        let none = Floor {
            length_mm: 0,
            ..floor(None)
        };
        assert_eq!(none.stocking(1_000), None);
    }

    /// The thresholds stand in the reference: the trial's best start, and a usual density of 5 to 10.
    #[test]
    fn thresholds_are_those_of_the_reference() {
        let table = include_str!("../../tests/reference/worm_life_cycle.csv");
        assert!(table.contains("best stocking density in trial,1.60,kg per m2"));
        assert!(table.contains("usual density,5-10,kg per m2"));
        assert_eq!(THIN_BELOW, 1_600);
        assert!((5_000..=10_000).contains(&CROWDED_FROM));
    }
}
