//! Mean and spread of a sample.

use crate::farm::Tenths;

/// Returns the mean, in units.
pub(super) fn mean(values: &[Tenths]) -> f64 {
    // Summed as whole numbers, so that only the division rounds.
    let sum: u64 = values.iter().map(|value| value.count()).sum();
    sum as f64 / 10.0 / values.len() as f64
}

/// Returns the standard deviation of a sample, in units; `None` for fewer than two.
pub(super) fn spread(values: &[Tenths]) -> Option<f64> {
    let freedom = values.len().checked_sub(1).filter(|freedom| *freedom > 0)?;
    let mean = mean(values);
    let squares: f64 = values.iter().map(|v| (v.to_units() - mean).powi(2)).sum();
    Some((squares / freedom as f64).sqrt())
}
