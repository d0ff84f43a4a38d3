//! How much of a flat code is lost to the eye when it is wrapped round a tub.

/// Returns the part of its width that a module at the edge of a code loses when the code is wrapped round a cylinder
/// and seen from in front of its middle.
///
/// An edge of a code of width `w` on a cylinder of diameter `d` lies `w / 2` along the curve from the middle, so it is
/// turned away by the angle `(w / 2) / (d / 2) = w / d`; a module there is seen `cos(w / d)` as wide as it is. From a
/// quarter turn on it cannot be seen at all.
pub fn curve_loss(code: f64, across: f64) -> f64 {
    let turned = (code / across).clamp(0.0, std::f64::consts::FRAC_PI_2);
    1.0 - turned.cos()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The two figures that the trade goes by for a 20 mm code: 4 % on a tub of 75 mm, 6 % on one of 60 mm (common
    /// practice, no source). Both are to the whole per cent.
    #[test]
    fn a_code_of_20_mm_loses_what_the_trade_says() {
        let per_cent = |across| (curve_loss(20.0, across) * 100.0).round();
        assert_eq!(per_cent(75.0), 4.0);
        assert_eq!(per_cent(60.0), 6.0);
    }

    #[test]
    fn nothing_is_lost_on_the_flat_and_all_of_it_round_the_corner() {
        assert!(curve_loss(20.0, 1e9) < 1e-9);
        assert!(curve_loss(200.0, 60.0) > 0.999_999);
    }
}
