//! How much more than it declares a pack is to be filled with, by what the farm's own fills have shown.
//!
//! The ground: with s the spread of packs within a run (all past runs put together, ν degrees of freedom), the mean of
//! n packs reaches the declared quantity 99.5 times in 100 if they are aimed t(0.995, ν) · s / √n above it (the
//! confidence of the schedule's own k); one pack in 40 falls short by more than the TNE if they are aimed
//! t(0.975, ν) · s − TNE above it; one in 2,000 by more than twice that with t(0.9995, ν) · s − 2 TNE. Where no pack may be
//! short, one in 200 still is with t(0.995, ν) · s. The largest counts. The first three bounds are the packers' rules,
//! the odds of the last two castlot's own choice: common practice, no source.

use crate::farm::{Quantity, Tenths};

use super::packers::Rule;
use super::{sample, student, tne};

/// A run that was packed and measured before.
#[derive(Clone, Debug, PartialEq)]
pub struct PastRun {
    /// What its packs were found to hold.
    pub values: Vec<Tenths>,
    /// What a pack was filled with by the scales, turned into the unit declared, where both are known, in units.
    pub filled: Option<f64>,
}

/// How much more to fill in, in units of what is declared.
#[derive(Clone, Debug, PartialEq)]
pub struct Margin {
    /// How many packs of how many runs it rests on.
    pub packs: usize,
    /// Of how many runs.
    pub runs: usize,
    /// The spread within a run; `None` where too few packs have been measured.
    pub spread: Option<f64>,
    /// How much less packs were found to hold than the scales said, on average; never below nothing.
    pub settling: f64,
    /// What the mean asks for.
    pub for_mean: f64,
    /// What the single pack asks for.
    pub for_each: f64,
    /// All of it.
    pub total: f64,
}

/// Before there are fills to go by, a pack is filled with a hundredth more: common practice, no source.
const STARTING_SHARE: f64 = 0.01;
/// The chance that a pack is not short by more than the TNE: 39 in 40.
const FEW: f64 = 0.975;
/// The chance that a pack is not short by more than twice the TNE.
const NONE_FAR: f64 = 0.9995;
/// The chance that a pack is not short at all, where none may be.
const EACH: f64 = 0.995;

/// Works out the margin for a run of so many packs that declare `net`.
pub fn margin(rule: Rule, net: Quantity, packs: u32, past: &[PastRun]) -> Margin {
    let counted: Vec<&PastRun> = past.iter().filter(|run| !run.values.is_empty()).collect();
    let (freedom, spread) = pooled(&counted);
    let t = |chance| student::quantile(chance, freedom).unwrap_or_default();
    let settling = settling(&counted);
    let (for_mean, for_each) = match (rule, spread) {
        (_, None) => (Tenths::of(net).to_units() * STARTING_SHARE, 0.0),
        (Rule::Average(_), Some(s)) => {
            let error = tne(net).map_or(0.0, Tenths::to_units);
            let mean = t(student::MEAN) * s / f64::from(packs.max(1)).sqrt();
            let each = (t(FEW) * s - error).max(t(NONE_FAR) * s - 2.0 * error);
            (mean, each.max(0.0))
        }
        (Rule::EachPack(_), Some(s)) => (0.0, t(EACH) * s),
    };
    Margin {
        packs: counted.iter().map(|run| run.values.len()).sum(),
        runs: counted.len(),
        spread,
        settling,
        for_mean,
        for_each,
        total: for_mean.max(for_each) + settling,
    }
}

/// Returns the degrees of freedom and the spread within runs, put together; no spread where it rests on fewer than two.
fn pooled(runs: &[&PastRun]) -> (usize, Option<f64>) {
    let spreads = runs
        .iter()
        .filter_map(|run| Some((run.values.len() - 1, sample::spread(&run.values)?)));
    let (freedom, squares) = spreads.fold((0, 0.0), |(freedom, squares), (more, spread)| {
        (freedom + more, squares + more as f64 * spread.powi(2))
    });
    let spread = (freedom >= 2).then(|| (squares / freedom as f64).sqrt());
    (freedom, spread)
}

/// Returns how much less was found than filled in, on average over the runs that tell.
fn settling(runs: &[&PastRun]) -> f64 {
    let gaps: Vec<f64> = runs
        .iter()
        .filter_map(|run| Some(run.filled? - sample::mean(&run.values)))
        .collect();
    if gaps.is_empty() {
        return 0.0;
    }
    (gaps.iter().sum::<f64>() / gaps.len() as f64).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::Unit;
    use crate::trade::packers::{Because, Ground};

    fn run(values: &[u64], filled: Option<f64>) -> PastRun {
        PastRun {
            values: values.iter().map(|v| Tenths::new(v * 10)).collect(),
            filled,
        }
    }

    const BAG: fn() -> Quantity = || Quantity::new(20_000, Unit::Millilitres);

    /// By hand. Run one: 20 000, 20 200, 20 100 mL, mean 20 100, squares 10 000 + 10 000 + 0 = 20 000, two degrees.
    /// Run two: 19 900, 20 100, mean 20 000, squares 20 000, one degree. Together 40 000 / 3, s = 115.470.
    /// t(0.995, 3) = 5.840909; for four packs 5.840909 · 115.470 / 2 = 337.225. t(0.975, 3) = 3.182446: 367.477 - 200 =
    /// 167.477; t(0.9995, 3) = 12.924: 1 492.3 - 400 = 1 092.3, which counts. Settling: 20 150 - 20 100 = 50 and
    /// 20 010 - 20 000 = 10, on average 30.
    #[test]
    fn the_margin_is_as_worked_by_hand() {
        let past = [
            run(&[20_000, 20_200, 20_100], Some(20_150.0)),
            run(&[19_900, 20_100], Some(20_010.0)),
        ];
        let margin = margin(Rule::Average(Ground::Britain), BAG(), 4, &past);
        let near = |got: f64, wanted: f64| (got - wanted).abs() < 0.05;
        assert_eq!((margin.packs, margin.runs), (5, 2));
        assert!(near(margin.spread.expect("three degrees"), 115.470));
        assert!(near(margin.for_mean, 337.225), "{margin:?}");
        assert!(near(margin.for_each, 1_092.3), "{margin:?}");
        assert!(near(margin.settling, 30.0));
        assert!(near(margin.total, 1_122.3));
    }

    #[test]
    fn without_fills_to_go_by_a_hundredth_is_added() {
        let rule = Rule::Average(Ground::Britain);
        let margin_of = |past: &[PastRun]| margin(rule, BAG(), 4, past);
        assert!((margin_of(&[]).total - 200.0).abs() < 1e-9);
        let one = margin_of(&[run(&[20_000, 20_100], None)]);
        assert_eq!((one.spread, one.packs), (None, 2));
        // Fuller than the scales said takes nothing off.
        let full = margin_of(&[run(&[20_300], Some(20_000.0))]);
        assert_eq!(full.settling, 0.0);
    }

    #[test]
    fn where_no_pack_may_be_short_the_single_pack_counts() {
        let past = [run(&[50, 52, 54], None)];
        let net = Quantity::new(50, Unit::Pieces);
        let margin = margin(Rule::EachPack(Because::Number), net, 7, &past);
        // By hand: s = 2, t(0.995, 2) = 9.92484.
        assert!((margin.total - 19.84968).abs() < 0.0001, "{margin:?}");
    }
}
