//! Which lot a drill is about: drawn by a seed, so that nobody picks an easy one and anybody can draw it again.
//!
//! The half with the fewest lots before and behind them is left out; of the others, the more stand there, the likelier
//! a lot is drawn.

use crate::farm::{Farm, LotId, LotSort};

use super::channels::Channels;
use super::reach::Start;

/// The lot that was drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DrillLot {
    /// The lot.
    pub lot: LotId,
    /// How many lots a trace of it reaches, back and forward.
    pub reaches: usize,
    /// How many lots could have been drawn: runs of which packs were sold, and deliveries that were used.
    pub candidates: usize,
}

/// A trace of every candidate would take long in a large diary: so many are picked by lot first, and weighed.
const WEIGHED: usize = 24;

/// Draws a lot; `None` where no pack was sold and no delivery used.
pub fn drill_lot(farm: &Farm, seed: u64) -> Option<DrillLot> {
    let mut candidates: Vec<LotId> = farm
        .lots()
        .filter(|(_, lot)| match lot.sort {
            LotSort::Run(_) => lot.shelf.as_ref().is_some_and(|shelf| shelf.sold() > 0),
            LotSort::Delivery(_) => lot.outflows.iter().any(|id| farm.flow(*id).to.is_some()),
            LotSort::Bed | LotSort::Batch(_) => false,
        })
        .map(|(id, _)| id)
        .collect();
    let count = candidates.len();
    let mut dice = Dice(seed);
    for place in 0..count.min(WEIGHED) {
        let other = place + dice.below(count - place);
        candidates.swap(place, other);
    }
    candidates.truncate(WEIGHED);
    let both = [Channels::back(farm), Channels::forward(farm)];
    let mut weighed: Vec<(LotId, usize)> = candidates
        .into_iter()
        .map(|lot| (lot, reaches(farm, &both, lot)))
        .collect();
    weighed.sort_by_key(|(lot, reaches)| (std::cmp::Reverse(*reaches), *lot));
    weighed.truncate(weighed.len().div_ceil(2));
    let all: usize = weighed.iter().map(|(_, weight)| weight).sum();
    if all == 0 {
        return None;
    }
    let mut at = dice.below(all);
    let drawn = weighed.iter().find(|(_, weight)| {
        let hit = at < *weight;
        at = at.saturating_sub(*weight);
        hit
    });
    drawn.map(|(lot, reaches)| DrillLot {
        lot: *lot,
        reaches: *reaches,
        candidates: count,
    })
}

fn reaches(farm: &Farm, both: &[Channels], lot: LotId) -> usize {
    let start = Start {
        lot,
        serial: None,
        when: None,
    };
    both.iter().map(|way| way.trace(farm, start).len()).sum()
}

/// Numbers that look drawn by lot and are always the same for a seed: SplitMix64, by Steele, Lea and Flood (2014),
/// its constants from memory.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Draws a number below another; the bias of a remainder is far below what a drill could notice.
    fn below(&mut self, end: usize) -> usize {
        let end = u64::try_from(end.max(1)).expect("lots are counted in 32 bits");
        usize::try_from(self.next() % end).expect("it is below a number of lots")
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::farm::scenario::Scenario;

    fn scenario() -> Scenario {
        Scenario::of(&[
            "2026-03-01 delivery dung manure 50kg",
            "2026-03-01 delivery spare manure 50kg",
            "2026-03-01 delivery lone manure 50kg",
            "2026-03-01 delivery hay bedding 50kg",
            "2026-03-01 delivery chaff bedding 50kg",
            "2026-03-02 bed b1 A01 dung=4kg hay=1kg",
            "2026-03-02 bed b2 A02 lone=4kg",
            "2026-03-02 bed b3 A03 hay=4kg",
            "2026-03-02 bed b4 A04 chaff=4kg",
            "2026-03-20 sieve c1 castings 2kg - A01",
            "2026-03-21 pack p1 1 c1=1kg",
            "2026-03-21 pack p2 1 c1=1kg",
        ])
    }

    #[test]
    fn a_seed_draws_the_same_lot_again_never_an_easy_one_and_oftener_one_with_more_behind_it() {
        let scenario = scenario();
        let farm = &scenario.farm;
        let mut drawn: BTreeMap<LotId, u32> = BTreeMap::new();
        for seed in 0..600 {
            let lot = drill_lot(farm, seed).unwrap();
            assert_eq!(Some(lot), drill_lot(farm, seed));
            assert_eq!(lot.candidates, 4);
            *drawn.entry(lot.lot).or_default() += 1;
        }
        // Hay reaches two beds, a batch and two runs; dung one bed less; lone and chaff, a bed each, are easy.
        let (hay, dung) = (drawn[&scenario.id("hay")], drawn[&scenario.id("dung")]);
        assert!((290..=380).contains(&hay), "{hay}");
        assert_eq!(hay + dung, 600);
        assert_eq!(drill_lot(&Farm::default(), 1), None);
    }

    #[test]
    fn the_dice_give_the_published_first_numbers() {
        // The first outputs for seed 1234567, as test vectors of SplitMix64 are commonly given; from memory.
        let mut dice = Dice(1_234_567);
        assert_eq!(dice.next(), 6_457_827_717_110_365_317);
        assert_eq!(dice.next(), 3_203_168_211_198_807_973);
    }
}
