//! Student's t: how far a mean or a pack may lie from what a few of them show.

use statrs::distribution::{ContinuousCDF, StudentsT};

/// The chance, on one side, that the mean test of SI 2006/659 goes by: 99.5 %, which gives its printed k.
pub const MEAN: f64 = 0.995;

/// Returns the quantile of Student's t with so many degrees of freedom; `None` with none, or for no chance at all.
pub fn quantile(chance: f64, freedom: usize) -> Option<f64> {
    if freedom == 0 || !(0.0..1.0).contains(&chance) || chance <= 0.0 {
        return None;
    }
    let freedom = freedom as f64;
    let t = StudentsT::new(0.0, 1.0, freedom).ok()?.inverse_cdf(chance);
    t.is_finite().then_some(t)
}

/// Returns k, by which the spread of a sample is multiplied: t(chance, n - 1) / sqrt(n); `None` for fewer than two.
pub fn k(sample: usize, chance: f64) -> Option<f64> {
    let freedom = sample.checked_sub(1)?;
    Some(quantile(chance, freedom)? / (sample as f64).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy.stats.t.ppf, to nine places.
    #[test]
    fn quantiles_are_those_of_scipy() {
        let reference = include_str!("../../tests/reference/student_t.csv");
        let mut seen = 0;
        for line in reference.lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |text: &str| text.parse::<f64>().expect("a number");
            let (chance, wanted) = (number(cells[0]), number(cells[2]));
            let freedom: usize = cells[1].parse().expect("a number");
            let got = quantile(chance, freedom).expect("a quantile");
            assert!((got / wanted - 1.0).abs() < 1e-7, "{line}: {got}");
            seen += 1;
        }
        assert_eq!(seen, 38);
    }

    #[test]
    fn with_nothing_to_go_by_there_is_no_quantile() {
        assert_eq!(quantile(0.995, 0), None);
        assert_eq!((k(0, MEAN), k(1, MEAN)), (None, None));
        assert_eq!((quantile(0.0, 3), quantile(1.0, 3)), (None, None));
    }
}
