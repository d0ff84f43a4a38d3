//! What is to be expected of beds in the weeks to come, from the cycles that are over.
//!
//! The method: every bed in use is sieved when one of the past cycles of its kind would have been, chosen by chance among
//! those that took at least as long as the bed has been running; it gives what that cycle gave. A bed that has run longer
//! than all of them is sieved on one of the next seven days. After the usual gap the bin is bedded up again, with the worms
//! of another past cycle, chosen from all; and so on to the end. Done four thousand times with dice that always fall the
//! same way; what stands in the middle, and what one in ten is below and above, are quantiles of that.
//! It takes the seasons for alike, beds for independent, and every bin for bedded up again.

use super::dice::Dice;
use super::quantile::Spread;

/// How many seasons are thrown.
pub const DRAWS: usize = 4_000;
/// The dice's seed: any number does, as long as it stays.
const SEED: u64 = 60;
/// With fewer past cycles than so many, the rule of thumb is gone by.
pub const FEW: usize = 5;
const WEEK: u32 = 7;
/// A shallow box is ready to sieve after three to four weeks, and gives about two kilograms: common practice, no source.
const PRACTICE_DAYS: std::ops::RangeInclusive<u32> = 21..=28;
const PRACTICE_CASTINGS: f64 = 2_000.0;

/// A cycle that is over, in days and grams.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Past {
    /// How many days it took.
    pub days: u32,
    /// Castings it gave.
    pub castings: f64,
    /// Worms put in.
    pub worms_in: f64,
    /// Worms taken out.
    pub worms_out: f64,
}

/// A bed in use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Growing {
    /// Which of the kinds of past cycles it goes by.
    pub kind: usize,
    /// For how many days it has been running.
    pub age: u32,
}

/// What is expected of a week, or of all of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Week {
    /// Castings, in grams.
    pub castings: Spread,
    /// Beds sieved.
    pub sieved: Spread,
    /// Worms taken out less worms put into beds again, in grams, by kind.
    pub spare: Vec<Spread>,
}

/// What is expected, week by week, and of all weeks together.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// The weeks, each of seven days from today on.
    pub weeks: Vec<Week>,
    /// All of them together.
    pub whole: Week,
}

/// Returns the rule of thumb as cycles: common practice, no source. It tells nothing of worms.
pub fn practice() -> Vec<Past> {
    let past = |days| Past {
        days,
        castings: PRACTICE_CASTINGS,
        worms_in: 0.0,
        worms_out: 0.0,
    };
    PRACTICE_DAYS.map(past).collect()
}

/// Returns in how many days from today past cycles would have been sieved, of those that took at least as long as a bed
/// has been running; none where it has run longer than all.
pub fn waits(days: impl Iterator<Item = u32>, age: u32) -> Vec<f64> {
    let waits = days.filter_map(|days| days.checked_sub(age));
    waits.map(f64::from).collect()
}

/// Works out what is expected; `kinds` are past cycles, none of them empty.
pub fn forecast(kinds: &[Vec<Past>], beds: &[Growing], gap: u32, weeks: usize) -> Forecast {
    let firsts: Vec<Vec<Past>> = beds
        .iter()
        .map(|bed| {
            let past = kinds[bed.kind].iter().copied();
            past.filter(|past| past.days >= bed.age).collect()
        })
        .collect();
    let mut dice = Dice::new(SEED);
    let seasons: Vec<Vec<Sums>> = (0..DRAWS)
        .map(|_| {
            let mut season = vec![Sums::of(kinds.len()); weeks];
            for (bed, first) in beds.iter().zip(&firsts) {
                let thrower = Thrower {
                    kind: bed.kind,
                    past: &kinds[bed.kind],
                    gap,
                };
                let (past, wait) = thrower.first(&mut dice, first, bed.age);
                thrower.grow(&mut dice, &mut season, past, wait);
            }
            season
        })
        .collect();
    let week = |at: usize| week(seasons.iter().map(|season| season[at].clone()).collect());
    let whole = seasons
        .iter()
        .map(|season| Sums::total(season, kinds.len()));
    Forecast {
        weeks: (0..weeks).map(week).collect(),
        whole: self::week(whole.collect()),
    }
}

/// What came in one week of one season.
#[derive(Clone)]
struct Sums {
    castings: f64,
    sieved: f64,
    spare: Vec<f64>,
}

impl Sums {
    fn of(kinds: usize) -> Self {
        Self {
            castings: 0.0,
            sieved: 0.0,
            spare: vec![0.0; kinds],
        }
    }

    fn total(season: &[Self], kinds: usize) -> Self {
        let mut total = Self::of(kinds);
        for week in season {
            total.castings += week.castings;
            total.sieved += week.sieved;
            for (sum, spare) in total.spare.iter_mut().zip(&week.spare) {
                *sum += spare;
            }
        }
        total
    }
}

/// Throws for one bin.
struct Thrower<'a> {
    kind: usize,
    past: &'a [Past],
    gap: u32,
}

impl Thrower<'_> {
    /// Chooses what the bed in use does, and in how many days it is sieved.
    fn first(&self, dice: &mut Dice, first: &[Past], age: u32) -> (Past, u32) {
        if first.is_empty() {
            let past = self.past[dice.throw(self.past.len())];
            let wait = dice.throw(WEEK as usize);
            return (past, u32::try_from(wait).expect("less than a week"));
        }
        let past = first[dice.throw(first.len())];
        (past, past.days - age)
    }

    /// Sieves, beds up again, and goes on to the end of the season.
    fn grow(&self, dice: &mut Dice, season: &mut [Sums], first: Past, wait: u32) {
        let (mut past, mut day) = (first, wait);
        while let Some(week) = season.get_mut((day / WEEK) as usize) {
            week.castings += past.castings;
            week.sieved += 1.0;
            week.spare[self.kind] += past.worms_out;
            past = self.past[dice.throw(self.past.len())];
            day = day.saturating_add(self.gap);
            if let Some(week) = season.get_mut((day / WEEK) as usize) {
                week.spare[self.kind] -= past.worms_in;
            }
            // A cycle of no days would never end.
            day = day.saturating_add(past.days.max(1));
        }
    }
}

fn week(sums: Vec<Sums>) -> Week {
    let spread = |of: &dyn Fn(&Sums) -> f64| {
        let sample: Vec<f64> = sums.iter().map(of).collect();
        Spread::of(&sample).unwrap_or_default()
    };
    let kinds = sums.first().map_or(0, |first| first.spare.len());
    Week {
        castings: spread(&|sums| sums.castings),
        sieved: spread(&|sums| sums.sieved),
        spare: (0..kinds)
            .map(|kind| spread(&|sums| sums.spare[kind]))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn past(days: u32, castings: f64) -> Past {
        Past {
            days,
            castings,
            worms_in: 500.0,
            worms_out: 700.0,
        }
    }

    /// By hand: one way only. 10 days gone of 14, so sieved on day 4; bedded up on day 5, sieved again on day 19, and on day
    /// 34. Weeks 0, 2 and 4 have a sieving; the worms of the next bed go in in the same weeks.
    #[test]
    fn one_past_cycle_leaves_no_doubt() {
        let bed = Growing { kind: 0, age: 10 };
        let forecast = forecast(&[vec![past(14, 3_000.0)]], &[bed], 1, 5);
        let middle: Vec<f64> = forecast.weeks.iter().map(|w| w.castings.middle).collect();
        assert_eq!(middle, [3_000.0, 0.0, 3_000.0, 0.0, 3_000.0]);
        assert_eq!(forecast.weeks[0].castings.low, 3_000.0);
        assert_eq!(forecast.whole.castings.mean, 9_000.0);
        // The bed after the last sieving is bedded up on day 35, in no week of these.
        assert_eq!(forecast.whole.spare[0].mean, 3.0 * 700.0 - 2.0 * 500.0);
    }

    /// By hand: with 20 days gone, a cycle of 15 is out; those of 21 and 28 are alike likely, and so are weeks 0 and 1.
    #[test]
    fn a_bed_goes_by_the_cycles_that_took_as_long() {
        let kinds = [vec![
            past(15, 9_000.0),
            past(21, 1_000.0),
            past(28, 2_000.0),
        ]];
        let forecast = forecast(&kinds, &[Growing { kind: 0, age: 20 }], 0, 2);
        assert!((forecast.weeks[0].castings.mean - 500.0).abs() < 25.0);
        assert!((forecast.weeks[1].castings.mean - 1_000.0).abs() < 50.0);
        assert_eq!(forecast.weeks[0].castings.high, 1_000.0);
        assert_eq!(waits([15, 21, 28].into_iter(), 20), [1.0, 8.0]);
    }

    #[test]
    fn a_bed_that_is_overdue_is_sieved_this_week() {
        let forecast = forecast(
            &[vec![past(20, 800.0)]],
            &[Growing { kind: 0, age: 90 }],
            0,
            2,
        );
        assert_eq!(forecast.weeks[0].castings.low, 800.0);
        assert_eq!(forecast.weeks[0].sieved.mean, 1.0);
    }

    /// "Twenty boxes a little over 40 kg a month": twenty that are bedded up today give 40 kg in the fourth week (common practice).
    #[test]
    fn the_rule_of_thumb_is_the_common_one() {
        let beds = [Growing { kind: 0, age: 0 }; 20];
        let forecast = forecast(&[practice()], &beds, 0, 5);
        assert_eq!(forecast.weeks[2].castings.mean, 0.0);
        let month: f64 = forecast.weeks[..5].iter().map(|w| w.castings.mean).sum();
        assert!((40_000.0..44_000.0).contains(&month), "{month}");
    }

    #[test]
    fn the_same_beds_give_the_same_figures() {
        let kinds = [vec![past(15, 900.0), past(30, 1_100.0)]];
        let beds = [Growing { kind: 0, age: 3 }; 4];
        assert_eq!(forecast(&kinds, &beds, 1, 3), forecast(&kinds, &beds, 1, 3));
    }
}
