//! Dice that always fall the same way: numbers that look random, from a seed.
//!
//! SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators"); its constants, and the first
//! numbers from 1234567 against which it is tested, are from memory.

/// Dice that fall by their seed.
#[derive(Clone, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    /// Takes up dice.
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// Returns one of `sides` numbers from 0 up.
    ///
    /// The multiplication favours no side by more than `sides` in 2^64.
    pub(super) fn throw(&mut self, sides: usize) -> usize {
        let wide = u128::from(self.next()) * sides as u128;
        usize::try_from(wide >> 64).expect("below the number of sides")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_the_published_ones() {
        let mut dice = Dice::new(1_234_567);
        let numbers = [(); 3].map(|()| dice.next());
        let published = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        assert_eq!(numbers, published);
    }

    #[test]
    fn every_side_comes_up_about_as_often() {
        let mut dice = Dice::new(1);
        let mut counts = [0; 6];
        for _ in 0..60_000 {
            counts[dice.throw(6)] += 1;
        }
        assert!(counts.iter().all(|count| (9_600..10_400).contains(count)));
    }
}
