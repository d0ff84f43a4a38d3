//! Judges what the packs of a run were found to hold against the rule that suits them.
//!
//! A run of a hundred packs or more goes by the sampling plan. A smaller one is looked at pack by pack; while only some of
//! its packs are measured, it can be found short, but not full.

use crate::farm::{Quantity, Tenths};

use super::packers::Rule;
use super::sample::{mean, spread};
use super::sampling::{self, Measuring, Plan};
use super::{student, tne};

/// In a run under a hundred, one pack in so many may be short by more than the TNE.
///
/// "Generally no more than 2.5 %" (guidance notes on average quantity, all nations, tradingstandards.gov.uk): the schedule
/// itself has no number for so few.
const ONE_IN: usize = 40;

/// What is judged.
#[derive(Clone, Copy, Debug)]
pub struct Check<'a> {
    /// The rule.
    pub rule: Rule,
    /// What a pack declares.
    pub net: Quantity,
    /// How many packs the run has.
    pub packs: u32,
    /// How they were measured.
    pub measuring: Measuring,
    /// What those measured hold, in the unit of `net`, in the order in which they were measured.
    pub values: &'a [Tenths],
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The mean, in units.
    pub mean: f64,
    /// The spread (the standard deviation of a sample), in units; of two packs or more.
    pub spread: Option<f64>,
    /// The least there was.
    pub lowest: Tenths,
    /// The most.
    pub highest: Tenths,
    /// The tolerable negative error, where the rule has one.
    pub tne: Option<Tenths>,
    /// How many hold less than the declared quantity.
    pub below_net: usize,
    /// How many are short by more than the TNE ("inadequate").
    pub below_tne: usize,
    /// How many are short by more than twice the TNE ("defective").
    pub below_twice: usize,
    /// The plan it was held against, for a run of a hundred packs or more under the average system.
    pub plan: Option<&'static Plan>,
    /// Each point of the rule.
    pub rulings: Vec<Ruling>,
    /// All of them together.
    pub verdict: Verdict,
}

/// One point of a rule, and how the run stands to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ruling {
    /// The point.
    pub point: Point,
    /// How many packs it was judged by.
    pub sample: usize,
    /// How the run stands to it.
    pub outcome: Outcome,
}

/// A point of a rule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Point {
    /// The mean reaches the limit: the declared quantity, less k times the spread.
    Mean { mean: f64, limit: f64, k: f64 },
    /// No more than `accept` of so many packs lie below the limit.
    Few {
        short: usize,
        accept: usize,
        of: usize,
        limit: Tenths,
    },
    /// No pack lies below the limit, twice the TNE under what is declared.
    NoneFar { short: usize, limit: Tenths },
    /// No pack lies below what is declared.
    Each { short: usize, limit: Tenths },
}

/// How a run stands to a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It is so.
    Holds,
    /// It is not.
    Fails,
    /// That takes so many more packs.
    Open { more: usize },
}

/// How a run stands to its rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It meets all of it.
    Meets,
    /// It does not.
    DoesNotMeet,
    /// Nothing is against it yet; that takes so many more packs.
    TooFew { more: usize },
}

/// Judges a run; `None` where nothing has been measured.
pub fn judge(check: &Check<'_>) -> Option<Judged> {
    let lowest = *check.values.iter().min()?;
    let highest = *check.values.iter().max()?;
    let nominal = Tenths::of(check.net);
    let tne = match check.rule {
        Rule::Average(_) => tne(check.net),
        Rule::EachPack(_) => None,
    };
    let below = |limit: Tenths| check.values.iter().filter(|value| **value < limit).count();
    let (below_tne, below_twice) = match tne {
        Some(tne) => (below(nominal.less(tne)), below(nominal.less(tne).less(tne))),
        None => (0, 0),
    };
    let plan = tne.and_then(|_| sampling::plan(check.packs, check.measuring));
    let rulings = match tne {
        Some(tne) => check.average(tne, plan),
        None => vec![check.each()],
    };
    Some(Judged {
        mean: mean(check.values),
        spread: spread(check.values),
        lowest,
        highest,
        tne,
        below_net: below(nominal),
        below_tne,
        below_twice,
        plan,
        verdict: verdict(&rulings),
        rulings,
    })
}

impl Check<'_> {
    /// How many packs of the run have not been measured.
    fn unmeasured(&self) -> usize {
        let packs = usize::try_from(self.packs).unwrap_or(usize::MAX);
        packs.saturating_sub(self.values.len())
    }

    fn short(&self, first: usize, limit: Tenths) -> usize {
        let first = self.values.iter().take(first);
        first.filter(|value| **value < limit).count()
    }

    /// No pack may be short: every one has to be looked at.
    fn each(&self) -> Ruling {
        let limit = Tenths::of(self.net);
        let short = self.short(usize::MAX, limit);
        Ruling {
            point: Point::Each { short, limit },
            sample: self.values.len(),
            outcome: match (short, self.unmeasured()) {
                (1.., _) => Outcome::Fails,
                (0, 0) => Outcome::Holds,
                (0, more) => Outcome::Open { more },
            },
        }
    }

    fn average(&self, tne: Tenths, plan: Option<&Plan>) -> Vec<Ruling> {
        let limit = Tenths::of(self.net).less(tne);
        let few = match plan {
            Some(plan) => self.few_by_plan(plan, limit),
            None => self.few_of_all(limit),
        };
        let far = limit.less(tne);
        let short = self.short(usize::MAX, far);
        let none_far = Ruling {
            point: Point::NoneFar { short, limit: far },
            sample: self.values.len(),
            // A sample large enough for the plan is large enough for this.
            outcome: match (short, few.outcome) {
                (1.., _) => Outcome::Fails,
                (0, Outcome::Open { more }) => Outcome::Open { more },
                (0, Outcome::Holds | Outcome::Fails) => match (plan, self.unmeasured()) {
                    (None, more @ 1..) => Outcome::Open { more },
                    (Some(_), _) | (None, 0) => Outcome::Holds,
                },
            },
        };
        vec![self.mean(plan), few, none_far]
    }

    /// The contents test of the plan, first look and second.
    fn few_by_plan(&self, plan: &Plan, limit: Tenths) -> Ruling {
        let measured = self.values.len();
        let mut stage = plan.first;
        let mut short = self.short(stage.measured, limit);
        let undecided = short > stage.accept && short < stage.reject;
        if let Some(second) = plan.second.filter(|_| undecided) {
            stage = second;
            short = self.short(stage.measured, limit);
        }
        let outcome = if short >= stage.reject {
            Outcome::Fails
        } else if measured < stage.measured {
            let more = stage.measured - measured;
            Outcome::Open { more }
        } else {
            Outcome::Holds
        };
        Ruling {
            point: Point::Few {
                short,
                accept: stage.accept,
                of: stage.measured,
                limit,
            },
            sample: measured.min(stage.measured),
            outcome,
        }
    }

    /// The same for a run under a hundred, every pack of which is looked at.
    fn few_of_all(&self, limit: Tenths) -> Ruling {
        let short = self.short(usize::MAX, limit);
        let packs = usize::try_from(self.packs).unwrap_or(usize::MAX);
        let accept = packs.max(self.values.len()) / ONE_IN;
        Ruling {
            point: Point::Few {
                short,
                accept,
                of: packs,
                limit,
            },
            sample: self.values.len(),
            outcome: match self.unmeasured() {
                _ if short > accept => Outcome::Fails,
                0 => Outcome::Holds,
                more => Outcome::Open { more },
            },
        }
    }

    /// The mean test: by the plan's k; with nothing allowed where every pack was measured; and while too few are,
    /// by the k of as many as there are, which can tell that the mean is short but never that it is not.
    fn mean(&self, plan: Option<&Plan>) -> Ruling {
        let measured = self.values.len();
        let wanted = plan.map_or(measured + self.unmeasured(), |plan| plan.mean_of);
        let sample = &self.values[..measured.min(wanted)];
        let all_there = measured >= wanted;
        let (mean, spread) = (mean(sample), spread(sample).unwrap_or_default());
        let k = match plan {
            Some(plan) if all_there => f64::from(plan.k_thousandths) / 1000.0,
            None if all_there => 0.0,
            Some(_) | None => student::k(measured, student::MEAN).unwrap_or_default(),
        };
        let limit = Tenths::of(self.net).to_units() - k * spread;
        let outcome = if all_there {
            // What is declared and measured is in tenths: a mean that reaches its limit exactly has reached it.
            if mean + 1e-9 >= limit {
                Outcome::Holds
            } else {
                Outcome::Fails
            }
        } else if spread > 0.0 && mean < limit {
            Outcome::Fails
        } else {
            let more = wanted - measured;
            Outcome::Open { more }
        };
        Ruling {
            point: Point::Mean { mean, limit, k },
            sample: sample.len(),
            outcome,
        }
    }
}

fn verdict(rulings: &[Ruling]) -> Verdict {
    if rulings.iter().any(|r| r.outcome == Outcome::Fails) {
        return Verdict::DoesNotMeet;
    }
    let more = rulings.iter().map(|ruling| match ruling.outcome {
        Outcome::Open { more } => more,
        Outcome::Holds | Outcome::Fails => 0,
    });
    match more.max() {
        Some(more @ 1..) => Verdict::TooFew { more },
        Some(0) | None => Verdict::Meets,
    }
}

#[cfg(test)]
#[path = "fills_test.rs"]
mod tests;
