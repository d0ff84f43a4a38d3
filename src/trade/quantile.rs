//! Quantiles of a sample, between its values in a straight line: Hyndman and Fan's type 7, which is numpy's usual one.

/// Returns the quantile of a sample at a chance from 0 to 1; `None` of nothing.
pub fn quantile(sample: &[f64], chance: f64) -> Option<f64> {
    let mut sorted = sample.to_vec();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().checked_sub(1)?;
    let place = chance.clamp(0.0, 1.0) * last as f64;
    let (low, part) = (place.floor() as usize, place.fract());
    let (from, to) = (sorted[low], sorted[(low + 1).min(last)]);
    Some(from + (to - from) * part)
}

/// The low, the middle and the high of a sample: one in ten is lower, half are, one in ten is higher.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// One in ten is lower.
    pub low: f64,
    /// Half are lower.
    pub middle: f64,
    /// One in ten is higher.
    pub high: f64,
    /// The mean.
    pub mean: f64,
}

/// The chances of a spread's low and high.
const LOW: f64 = 0.1;
const HIGH: f64 = 0.9;

impl Spread {
    /// Returns the spread of a sample; `None` of nothing.
    pub fn of(sample: &[f64]) -> Option<Self> {
        Some(Self {
            low: quantile(sample, LOW)?,
            middle: quantile(sample, 0.5)?,
            high: quantile(sample, HIGH)?,
            mean: sample.iter().sum::<f64>() / sample.len() as f64,
        })
    }

    /// Turns every figure, as from grams into litres.
    pub fn map(self, turn: impl Fn(f64) -> f64) -> Self {
        Self {
            low: turn(self.low),
            middle: turn(self.middle),
            high: turn(self.high),
            mean: turn(self.mean),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, type 7: of 10, 20, 40, 80 the place of 0.1 is 0.3, so 10 + 0.3 × 10; of 0.5 it is 1.5, so 30.
    #[test]
    fn quantiles_lie_on_the_line_between_values() {
        let sample = [80.0, 10.0, 40.0, 20.0];
        assert_eq!(quantile(&sample, 0.1), Some(13.0));
        assert_eq!(quantile(&sample, 0.5), Some(30.0));
        assert_eq!(quantile(&sample, 1.0), Some(80.0));
        assert_eq!(quantile(&[7.0], 0.9), Some(7.0));
        assert_eq!(quantile(&[], 0.5), None);
    }

    #[test]
    fn a_spread_has_its_mean() {
        let spread = Spread::of(&[10.0, 20.0, 40.0, 80.0]).expect("not empty");
        assert_eq!((spread.middle, spread.mean), (30.0, 37.5));
        assert_eq!(spread.map(|x| x * 2.0).mean, 75.0);
    }
}
