//! Whether a batch's weight of a litre can still be gone by: it rises with water and with age.
//!
//! That it does is from the trade; the limits are the farm's to set, and their defaults are common practice, no source.

use jiff::civil::Date;

/// How old and how wet is too much.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DensityLimits {
    /// A test is old after so many days.
    pub days: u32,
    /// A batch is wet with more than so many per cent of water.
    pub wet_over: u32,
}

/// A test of a batch's water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterTest {
    /// The day of it.
    pub day: Date,
    /// What it gave, in per cent.
    pub per_cent: f64,
}

/// Why a density is to be gone by with care.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DensityDoubt {
    /// It was measured so many days before.
    Old { days: i32 },
    /// It was measured only so many days after.
    Late { days: i32 },
    /// The batch was found wet.
    Wet { water: WaterTest },
    /// The batch's water was tested again on a later day than its density.
    TestedSince { water: WaterTest },
}

/// Returns what speaks against a density measured on one day for packs that are filled on another.
pub fn density_doubts(
    measured: Date,
    filled: Date,
    water: &[WaterTest],
    limits: DensityLimits,
) -> Vec<DensityDoubt> {
    let days = (filled - measured).get_days();
    let mut doubts = Vec::new();
    if days < 0 {
        doubts.push(DensityDoubt::Late { days: -days });
    } else if i64::from(days) > i64::from(limits.days) {
        doubts.push(DensityDoubt::Old { days });
    }
    let known = water.iter().filter(|water| water.day <= filled);
    let Some(last) = known.max_by_key(|water| water.day) else {
        return doubts;
    };
    if last.per_cent > f64::from(limits.wet_over) {
        doubts.push(DensityDoubt::Wet { water: *last });
    } else if last.day > measured {
        doubts.push(DensityDoubt::TestedSince { water: *last });
    }
    doubts
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const LIMITS: DensityLimits = DensityLimits {
        days: 30,
        wet_over: 60,
    };

    fn doubts(filled: Date, water: &[(Date, f64)]) -> Vec<DensityDoubt> {
        let water: Vec<WaterTest> = water
            .iter()
            .map(|(day, per_cent)| WaterTest {
                day: *day,
                per_cent: *per_cent,
            })
            .collect();
        density_doubts(date(2026, 4, 1), filled, &water, LIMITS)
    }

    #[test]
    fn a_fresh_density_of_a_dry_batch_is_gone_by() {
        assert_eq!(doubts(date(2026, 5, 1), &[]), []);
        assert_eq!(doubts(date(2026, 4, 2), &[(date(2026, 4, 1), 60.0)]), []);
    }

    #[test]
    fn an_old_a_late_a_wet_and_an_overtaken_density_are_told() {
        assert_eq!(
            doubts(date(2026, 5, 2), &[]),
            [DensityDoubt::Old { days: 31 }]
        );
        assert_eq!(
            doubts(date(2026, 3, 30), &[]),
            [DensityDoubt::Late { days: 2 }]
        );
        let wet = WaterTest {
            day: date(2026, 4, 1),
            per_cent: 60.5,
        };
        assert_eq!(
            doubts(date(2026, 4, 2), &[(wet.day, wet.per_cent)]),
            [DensityDoubt::Wet { water: wet }]
        );
        let since = WaterTest {
            day: date(2026, 4, 2),
            per_cent: 50.0,
        };
        assert_eq!(
            doubts(date(2026, 4, 3), &[(since.day, since.per_cent)]),
            [DensityDoubt::TestedSince { water: since }]
        );
        // What was found after the packs were filled says nothing of them.
        assert_eq!(doubts(date(2026, 4, 2), &[(date(2026, 4, 3), 90.0)]), []);
    }
}
