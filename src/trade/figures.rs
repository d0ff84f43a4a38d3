//! How high the figures of a quantity stand on a pack, by how much it holds.
//!
//! The rows are those of `tests/reference/figure_height.csv` (SI 2006/659; Directive 76/211/EEC, Annex I 3.1).

use crate::farm::{Quantity, Unit};

use super::place::Place;

/// Where the heights are from.
pub const FIGURES_SOURCE: &str = "SI 2006/659; Directive 76/211/EEC Annex I 3.1";

/// The least height of the estimated sign, in micrometres (SI 2006/659 reg 2).
pub const E_MARK_HEIGHT_UM: i64 = 3_000;

/// Up to how many grams or millilitres, and how high in micrometres.
const HEIGHTS: [(u64, i64); 4] = [(50, 2_000), (200, 3_000), (1_000, 4_000), (u64::MAX, 6_000)];

/// Returns the least height of the figures of a quantity, in micrometres; `None` for pieces, and in countries whose
/// heights are not known here.
pub fn figure_height_um(net: Quantity, country: &str) -> Option<i64> {
    match Place::of(country) {
        Place::Britain | Place::Europe => {}
        Place::States | Place::NewZealand | Place::Australia | Place::Elsewhere => return None,
    }
    match net.unit() {
        Unit::Pieces => None,
        Unit::Grams | Unit::Millilitres => HEIGHTS
            .iter()
            .find(|(most, _)| net.value() <= *most)
            .map(|(_, height)| *height),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PUBLISHED: &str = include_str!("../../tests/reference/figure_height.csv");

    #[test]
    fn heights_are_the_published_ones_on_both_sides_of_each_step() {
        let mut steps = 0;
        for row in PUBLISHED.lines().skip(1) {
            let columns: Vec<&str> = row.split(',').collect();
            let height = columns[3].parse::<i64>().unwrap() * 1_000;
            if columns[0] == "e mark" {
                assert_eq!(height, E_MARK_HEIGHT_UM);
                continue;
            }
            let from: u64 = columns[1].parse().unwrap();
            let to: u64 = columns[2].parse().unwrap_or(25_000);
            for value in [from + 1, to] {
                for (unit, country) in [(Unit::Grams, "GB"), (Unit::Millilitres, "IE")] {
                    let net = Quantity::new(value, unit);
                    assert_eq!(figure_height_um(net, country), Some(height), "{net}");
                }
            }
            steps += 1;
        }
        assert_eq!(steps, 4);
    }

    #[test]
    fn pieces_and_other_countries_have_none() {
        let net = Quantity::new(50, Unit::Pieces);
        assert_eq!(figure_height_um(net, "GB"), None);
        let net = Quantity::new(20_000, Unit::Millilitres);
        assert_eq!(figure_height_um(net, "US"), None);
    }
}
