//! Suspects: every lot upstream of what people complained of, and how much better it explains the complaints than
//! chance does.
//!
//! The unit is the pack that was sold. A lot is set against the packs that it reached and those it did not; what can
//! only have passed a cause on stands behind what it can have started with.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::farm::{Farm, LotId, LotSort, Moment, Serial, Way};

use super::exposed::{Exposed, RunSet};
use super::odds::Odds;

/// A call, as far as its pack is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Complained {
    /// When it came.
    pub when: Moment,
    /// The pack.
    pub pack: Pack,
}

/// The pack of a call.
#[derive(Clone, Debug, PartialEq)]
pub enum Pack {
    /// Known: its run, and the serial where that is known.
    Known(LotId, Option<Serial>),
    /// It is of one of these runs.
    OneOf(Vec<LotId>),
}

/// What is asked.
pub struct Charge<'a> {
    /// The calls that one cause is sought for.
    pub calls: &'a [Complained],
    /// By which flows the cause travels.
    pub way: Way,
    /// Days from the cause to a call, least and most; `None` where any time will do.
    pub lag: Option<(i64, i64)>,
    /// Whether the cause can have started with a lot of that sort.
    pub can_start: &'a dyn Fn(LotSort) -> bool,
}

/// A lot that may be behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// The lot.
    pub lot: LotId,
    /// Whether the cause can have started with it, or only passed through.
    pub can_start: bool,
    /// Sold packs with and without it, complained of and not.
    pub odds: Odds,
    /// The chance of so many complaints among packs with it, if it had nothing to do with them.
    pub p: f64,
    /// Days from the last and from the first of it that went in to the calls it explains, over all of them.
    pub days: Option<(i64, i64)>,
    /// Of the calls it explains, how many came after a usual time.
    pub in_time: u64,
    /// Of the calls whose pack is not known: how many it explains whichever run was meant, and how many by some run.
    pub perhaps: (usize, usize),
    /// The sold runs that it reached.
    pub reached: RunSet,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Lineup {
    /// By which flows the cause travels.
    pub way: Way,
    /// Packs that are or were with people.
    pub sold: u64,
    /// Packs complained of, each once.
    pub complained: u64,
    /// Calls whose pack is not known.
    pub perhaps: usize,
    /// The suspects, the likeliest first.
    pub suspects: Vec<Suspect>,
}

impl Suspect {
    /// Tells whether every pack that was complained of has it.
    pub fn explains_all(&self) -> bool {
        self.odds.unexposed_complained == 0 && self.odds.exposed_complained > 0
    }

    /// Tells whether every call that it explains came after a usual time.
    pub fn is_in_time(&self) -> bool {
        self.in_time >= self.odds.exposed_complained
    }

    /// Tells whether nothing that was counted sets it apart from another.
    pub fn is_like(&self, other: &Self) -> bool {
        (self.can_start, self.is_in_time()) == (other.can_start, other.is_in_time())
            && self.odds == other.odds
            && self.perhaps == other.perhaps
    }
}

/// The packs, by run: sold, and complained of.
struct Packs {
    sold: Vec<u64>,
    complained: Vec<u64>,
    /// The calls about known packs, by run.
    calls: BTreeMap<usize, Vec<Moment>>,
    /// The runs of each call whose pack is not known.
    perhaps: Vec<Vec<usize>>,
}

/// Lines up the suspects.
pub fn suspects(farm: &Farm, charge: &Charge) -> Lineup {
    let runs = runs(farm, charge.calls);
    let packs = Packs::of(farm, &runs, charge.calls);
    let exposed = Exposed::of(farm, charge.way, runs);
    let mut suspects = Vec::new();
    let mut known = HashMap::new();
    for (lot, facts) in farm.lots() {
        if matches!(facts.sort, LotSort::Run(_)) {
            continue;
        }
        let reached = exposed.reached_by(lot);
        if !packs.are_met(&reached) {
            continue;
        }
        let odds = packs.odds(&reached);
        let p = *known
            .entry((odds.exposed_complained, odds.exposed_other))
            .or_insert_with(|| odds.p_greater());
        let (days, in_time) = packs.times(&exposed, lot, charge.lag);
        suspects.push(Suspect {
            lot,
            can_start: (charge.can_start)(facts.sort),
            odds,
            p,
            days,
            in_time,
            perhaps: packs.perhaps(&reached),
            reached,
        });
    }
    suspects.sort_by(|a, b| rank(farm, a).cmp(&rank(farm, b)).then(a.lot.cmp(&b.lot)));
    Lineup {
        way: charge.way,
        sold: packs.sold.iter().sum(),
        complained: packs.complained.iter().sum(),
        perhaps: packs.perhaps.len(),
        suspects,
    }
}

/// What suspects are sorted by: what can have started it; what explains all; by chance; in time; upstream first.
fn rank(farm: &Farm, suspect: &Suspect) -> impl Ord {
    let lot = farm.lot(suspect.lot);
    let sort = match lot.sort {
        LotSort::Delivery(_) => 0,
        LotSort::Bed => 1,
        LotSort::Batch(_) => 2,
        LotSort::Run(_) => 3,
    };
    (
        !suspect.can_start,
        !suspect.explains_all(),
        // A chance is never negative, so its bits stand in its own order.
        suspect.p.to_bits(),
        std::cmp::Reverse(suspect.perhaps),
        !suspect.is_in_time(),
        (sort, lot.when.earliest(), lot.when.latest()),
    )
}

/// Returns every run of which packs are or were with people, and every run that a call may be about.
fn runs(farm: &Farm, calls: &[Complained]) -> Vec<LotId> {
    let sold = farm.lots().filter(|(id, _)| packs_out(farm, *id) > 0);
    let mut runs: BTreeSet<LotId> = sold.map(|(id, _)| id).collect();
    for call in calls {
        match &call.pack {
            Pack::Known(run, _) => runs.extend([*run]),
            Pack::OneOf(any) => runs.extend(any),
        }
    }
    runs.into_iter().collect()
}

/// Returns how many packs of a run are with people, or came back because somebody complained.
fn packs_out(farm: &Farm, run: LotId) -> u64 {
    let shelf = farm.lot(run).shelf.as_ref();
    shelf.map_or(0, |shelf| {
        u64::from(shelf.out()) + u64::from(shelf.complained())
    })
}

impl Packs {
    fn of(farm: &Farm, runs: &[LotId], calls: &[Complained]) -> Self {
        let places: BTreeMap<LotId, usize> = runs.iter().copied().zip(0..).collect();
        let mut packs = Self {
            sold: runs.iter().map(|run| packs_out(farm, *run)).collect(),
            complained: vec![0; runs.len()],
            calls: BTreeMap::new(),
            perhaps: Vec::new(),
        };
        let mut seen = BTreeSet::new();
        for call in calls {
            match &call.pack {
                Pack::Known(run, serial) => {
                    let place = places[run];
                    // Two calls about one pack are one pack; of packs without a serial each call is one.
                    if serial.is_none_or(|serial| seen.insert((place, serial))) {
                        packs.complained[place] += 1;
                        packs.calls.entry(place).or_default().push(call.when);
                    }
                }
                Pack::OneOf(runs) => {
                    let any = runs.iter().map(|run| places[run]);
                    packs.perhaps.push(any.collect());
                }
            }
        }
        // Somebody has what is complained of, whatever the sales say.
        for (sold, complained) in packs.sold.iter_mut().zip(&packs.complained) {
            *sold = (*sold).max(*complained);
        }
        packs
    }

    /// Tells whether a lot reached anything that was, or may have been, complained of.
    fn are_met(&self, reached: &RunSet) -> bool {
        let known = self.calls.keys().any(|place| reached.holds(*place));
        // Runs that only may be meant make suspects of lots only where no pack is known.
        let mut maybe = self.perhaps.iter().flatten();
        known || (self.calls.is_empty() && maybe.any(|place| reached.holds(*place)))
    }

    fn odds(&self, reached: &RunSet) -> Odds {
        let mut odds = Odds::default();
        for (place, (sold, complained)) in self.sold.iter().zip(&self.complained).enumerate() {
            let other = sold - complained;
            if reached.holds(place) {
                odds.exposed_complained += complained;
                odds.exposed_other += other;
            } else {
                odds.unexposed_complained += complained;
                odds.unexposed_other += other;
            }
        }
        odds
    }

    /// Returns the days from what went in to the calls that a lot explains, and how many of these are usual.
    fn times(
        &self,
        exposed: &Exposed,
        lot: LotId,
        lag: Option<(i64, i64)>,
    ) -> (Option<(i64, i64)>, u64) {
        let (mut days, mut in_time) = (None::<(i64, i64)>, 0);
        for (place, calls) in &self.calls {
            let Some((first, last)) = exposed.span(lot, *place) else {
                continue;
            };
            for call in calls {
                let (least, most) = (days_between(last, *call), days_between(first, *call));
                in_time += u64::from(lag.is_none_or(|lag| least <= lag.1 && lag.0 <= most));
                days = Some(match days {
                    None => (least, most),
                    Some(known) => (known.0.min(least), known.1.max(most)),
                });
            }
        }
        (days, in_time)
    }

    fn perhaps(&self, reached: &RunSet) -> (usize, usize) {
        let all = |runs: &&Vec<usize>| runs.iter().all(|place| reached.holds(*place));
        let some = |runs: &&Vec<usize>| runs.iter().any(|place| reached.holds(*place));
        (
            self.perhaps.iter().filter(all).count(),
            self.perhaps.iter().filter(some).count(),
        )
    }
}

/// Minutes of a day, on the scale of `Moment::earliest`.
const DAY: i64 = 24 * 60;

fn days_between(from: Moment, to: Moment) -> i64 {
    to.earliest().div_euclid(DAY) - from.earliest().div_euclid(DAY)
}

#[cfg(test)]
#[path = "suspects_test.rs"]
mod tests;
