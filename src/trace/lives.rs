//! What beds have lived through: since when they run, the worms that went in and came out, the castings they gave, and
//! the cycles that are over.
//!
//! Amounts are the book's: an amount that was weighed for several beds is divided by the bulk that each held. Worms that
//! bred or died since are in no book; only a sieving, or a check that weighed them, shows them.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{
    BatchKind, Class, Event, Farm, Flow, LotId, LotSort, Moment, Much, Portion, Quantity, Unit,
};

use super::bed_books::weighed;

/// Worms that went into a bed, or came out of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moved {
    /// When.
    pub when: Moment,
    /// How many grams went in, below nothing where they came out; `None` where nobody knows.
    pub grams: Option<i64>,
}

/// What a bed has lived through so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Life {
    /// Since when what is in it has been running: a half that was split off counts from its first half's bedding up.
    pub since: Moment,
    /// Worms in and out, in the order of events.
    pub worms: Vec<Moved>,
    /// Castings sieved out, in grams; `None` where an amount is not known.
    pub castings: Option<i64>,
    /// Whether cocoons were put into it.
    pub cocoons: bool,
}

/// A bed that was made up with worms and cleared by a sieving.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cycle {
    /// The bed.
    pub bed: LotId,
    /// The day it was made up.
    pub bedded: Date,
    /// The day it was cleared.
    pub cleared: Date,
    /// Castings, in grams, where anybody knows.
    pub castings: Option<i64>,
    /// Worms put in, in grams, where anybody knows.
    pub worms_in: Option<i64>,
    /// Worms taken out, in grams, where anybody knows.
    pub worms_out: Option<i64>,
}

impl Cycle {
    /// Returns how many days it took.
    pub fn days(&self) -> u32 {
        u32::try_from((self.cleared - self.bedded).get_days()).unwrap_or_default()
    }
}

impl Life {
    fn new(since: Moment) -> Self {
        Self {
            since,
            worms: Vec::new(),
            castings: Some(0),
            cocoons: false,
        }
    }

    /// Returns the grams of worms in it by the book: those put in less those taken out, never below nothing.
    pub fn worms_now(&self) -> Option<i64> {
        held(0, &self.worms)
    }

    /// Returns the same from a check on that weighed them all.
    pub fn worms_since(&self, check: Moment, weighed: i64) -> Option<i64> {
        let later = self.worms.iter().copied();
        let later: Vec<Moved> = later
            .filter(|moved| moved.when.earliest() > check.latest())
            .collect();
        held(weighed, &later)
    }

    /// Tells whether worms were ever put in, as far as anybody knows.
    pub fn has_worms(&self) -> bool {
        self.worms
            .iter()
            .any(|moved| moved.grams.is_none_or(|grams| grams > 0))
    }

    fn put(&mut self, when: Moment, grams: Option<i64>) {
        self.worms.push(Moved { when, grams });
    }

    /// Adds up what went in, or what came out, as `way` is 1 or -1.
    fn total(&self, way: i64) -> Option<i64> {
        let grams = self.worms.iter().map(|moved| Some(moved.grams? * way));
        grams.map(|grams| Some(grams?.max(0))).sum()
    }
}

fn held(start: i64, moves: &[Moved]) -> Option<i64> {
    moves.iter().try_fold(start, |held, moved| {
        Some(held.saturating_add(moved.grams?).max(0))
    })
}

/// Returns the life of every bed, those that ended too.
pub fn lives(farm: &Farm) -> BTreeMap<LotId, Life> {
    let mut lives: BTreeMap<LotId, Life> = BTreeMap::new();
    for (id, lot) in farm.lots() {
        if lot.sort == LotSort::Bed {
            lives.insert(id, Life::new(lot.when));
        }
    }
    weighed(farm, |flow, grams| note(farm, &mut lives, flow, grams));
    lives
}

fn note(farm: &Farm, lives: &mut BTreeMap<LotId, Life>, flow: &Flow, grams: Option<i64>) {
    if flow.class == Class::Whole && lives.contains_key(&flow.from) {
        return note_whole(farm, lives, flow);
    }
    if let Some(life) = lives.get_mut(&flow.from) {
        let is_castings = flow
            .to
            .is_some_and(|to| farm.lot(to).sort == LotSort::Batch(BatchKind::Castings));
        if flow.class == Class::Live {
            life.put(flow.when, grams.map(|grams| -grams));
        } else if is_castings {
            life.castings = life.castings.zip(grams).map(|(sum, grams)| sum + grams);
        }
    }
    if let Some(life) = flow.to.and_then(|to| lives.get_mut(&to)) {
        if flow.class == Class::Live {
            life.put(flow.when, grams);
        }
        life.cocoons |= farm.lot(flow.from).sort == LotSort::Batch(BatchKind::Cocoons);
    }
}

/// Notes a split or a tip: that share of the worms goes along. Cocoons that are lifted take none.
fn note_whole(farm: &Farm, lives: &mut BTreeMap<LotId, Life>, flow: &Flow) {
    let Some(to) = flow.to.filter(|to| lives.contains_key(to)) else {
        return;
    };
    let Some(life) = lives.get_mut(&flow.from) else {
        return;
    };
    let moved = life.worms_now().map(|grams| match flow.much {
        Much::Portion(share) => part(grams, share),
        Much::All | Much::Amount(_) | Much::Divided(_) => grams,
    });
    let (since, cocoons) = (life.since, life.cocoons);
    life.put(flow.when, moved.map(|grams| -grams));
    let is_split = farm.entries()[flow.entry].made() == Some(farm.lot(to).code);
    if let Some(life) = lives.get_mut(&to) {
        life.put(flow.when, moved);
        life.cocoons |= cocoons;
        if is_split {
            life.since = since;
        }
    }
}

fn part(grams: i64, share: Portion) -> i64 {
    let part = i128::from(grams) * i128::from(share.parts()) / i128::from(share.of());
    i64::try_from(part).unwrap_or(i64::MAX)
}

/// Returns the cycles that are over, in the order in which they were cleared: beds that were made up with worms, and
/// ended by a sieving. Halves that were split off and hatcheries are none.
pub fn cycles(farm: &Farm, lives: &BTreeMap<LotId, Life>) -> Vec<Cycle> {
    let over = lives.iter().filter_map(|(bed, life)| {
        let lot = farm.lot(*bed);
        let ended = lot.ended?;
        let sieved = matches!(
            farm.entries()[ended.entry].event,
            Some(Event::Sieving { .. })
        );
        let made_up = matches!(farm.making(*bed), Event::Bed { .. });
        (sieved && made_up && life.has_worms()).then(|| Cycle {
            bed: *bed,
            bedded: lot.when.day(),
            cleared: ended.when.day(),
            castings: life.castings,
            worms_in: life.total(1),
            worms_out: life.total(-1),
        })
    });
    let mut over: Vec<Cycle> = over.collect();
    over.sort_by_key(|cycle| (cycle.cleared, farm.lot(cycle.bed).code));
    over
}

/// Returns what beds were fed, in grams: the day of each flow, and how much; `None` where nobody knows.
pub fn fed(farm: &Farm) -> Vec<(Date, Option<i64>)> {
    let mut fed = Vec::new();
    weighed(farm, |flow, grams| {
        let event = &farm.entries()[flow.entry].event;
        if matches!(event, Some(Event::Feed { .. })) {
            fed.push((flow.when.day(), grams));
        }
    });
    fed
}

/// Returns how many days each bin stood empty between a bed that was cleared and the next one.
pub fn gaps(farm: &Farm) -> Vec<u32> {
    let beds = farm.bins().values().flat_map(|bin| bin.beds.windows(2));
    beds.filter_map(|pair| {
        let ended = farm.lot(pair[0]).ended?.when.day();
        let days = (farm.lot(pair[1]).when.day() - ended).get_days();
        u32::try_from(days).ok()
    })
    .collect()
}

/// Returns a weight of worms that somebody wrote down in a check; `None` where it is a look or a count.
pub fn weighed_worms(text: &str) -> Option<i64> {
    let quantity = Quantity::read(text, &crate::farm::Measures::default()).ok()?;
    let grams = i64::try_from(quantity.value()).ok()?;
    (quantity.unit() == Unit::Grams).then_some(grams)
}
