//! Mean and spread of a sample.

use crate::farm::Tenths;

/// Returns the mean, in units.
pub(super) fn mean(values: &[Tenths]) -> f64 {
    // Summed as whole numbers, so that only the division rounds.
    let sum: u128 = values.iter().map(|value| u128::from(value.count())).sum();
    sum as f64 / 10.0 / values.len() as f64
}

/// Returns the standard deviation of a sample, in units; `None` for fewer than two.
pub(super) fn spread(values: &[Tenths]) -> Option<f64> {
    let freedom = values.len().checked_sub(1).filter(|freedom| *freedom > 0)?;
    let mean = mean(values);
    let squares: f64 = values.iter().map(|v| (v.to_units() - mean).powi(2)).sum();
    Some((squares / freedom as f64).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 2, 4 and 9 have mean 5 and squares 9 + 1 + 16 = 26, over two degrees of freedom 13.
    #[test]
    fn mean_and_spread_are_as_by_hand_and_hold_the_largest_there_is() {
        let values = [20, 40, 90].map(Tenths::new);
        assert!((mean(&values) - 5.0).abs() < 1e-12);
        let spread = spread(&values).expect("three values");
        assert!((spread - 13.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(super::spread(&values[..1]), None);
        let largest = [Tenths::new(u64::MAX); 3];
        assert!((mean(&largest) / 1.844_674_407_370_955_2e18 - 1.0).abs() < 1e-9);
    }
}
