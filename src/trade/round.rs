//! The feeding round: every bed in walking order, whether it is due on a day, and what to give it.
//!
//! A bed is fed when its last feed is cleared or should be, and not while food is left; then it is looked at again
//! after some days, so that none is forgotten. Nothing here decides for the grower: what a visit found goes first.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{
    Amount, BatchKind, BinCode, Entry, Event, Farm, FeedLeft, LotId, LotSort, Moment, Place,
    Quantity, Settings, Visits,
};

use super::feeding::{BedLike, Feeding};
use super::round_due::Bed;
use super::round_warmth::Warmth;

/// What is due at a bed.
#[derive(Clone, Debug, PartialEq)]
pub enum Due {
    /// It is fed.
    Feed { because: FeedWhy },
    /// It is looked at before anything is given.
    Look { because: LookWhy },
    /// Nothing yet.
    NotYet { because: WaitWhy, next: Date },
}

/// Why a bed is fed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FeedWhy {
    /// A check found nothing left of the last feed.
    Cleared { on: Date },
    /// The last feed should be eaten by now.
    Interval { fed: Date, days: u32 },
    /// It is new and has settled.
    New { since: Date },
}

/// Why a bed is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LookWhy {
    /// Food was left, some days ago.
    Left { left: FeedLeft, on: Date },
    /// It was passed over because of food that was left.
    Skipped { on: Date },
    /// It was so cold or hot that they do not eat.
    Warmth { degrees: f64, on: Date },
}

/// Why a bed is not fed yet.
#[derive(Clone, Debug, PartialEq)]
pub enum WaitWhy {
    /// Food was left.
    Left { left: FeedLeft, on: Date },
    /// It was fed.
    Fed { on: Date },
    /// It was passed over.
    Skipped { on: Date, why: String },
    /// It is new.
    New { since: Date },
    /// It was found too cold or too hot for them to eat.
    Warmth { degrees: f64, on: Date },
}

/// What to give.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Give {
    /// Of which lot: what it had last, or the bucket mixed last, as far as there is any left.
    pub lot: Option<LotId>,
    /// How much: what it had last, and no more than `most`.
    pub amount: Option<Quantity>,
    /// The most that is given at once, in grams.
    pub most: Option<u64>,
}

/// A bed on the round.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// The bin it is in.
    pub bin: BinCode,
    /// Where that stands.
    pub place: Option<Place>,
    /// The bed.
    pub bed: LotId,
    /// Its species.
    pub species: Option<String>,
    /// Since when it has been in that bin.
    pub since: Moment,
    /// Days since it was made up.
    pub days: i32,
    /// What was done at it.
    pub visits: Visits,
    /// What was found of the last feed, and when.
    pub left: Option<(FeedLeft, Date)>,
    /// How warm it is, or the rack, in degrees Celsius.
    pub warmth: Option<f64>,
    /// In how many days a feed should be eaten.
    pub every_days: u32,
    /// What is due.
    pub due: Due,
    /// What it would get.
    pub give: Give,
}

/// A round on a day.
#[derive(Clone, Copy)]
pub struct Round<'a> {
    /// The farm, with nothing in it that is later than that day.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The day.
    pub day: Date,
    /// Grams of worms in each bed, where they are known.
    pub worms: &'a BTreeMap<LotId, u64>,
}

impl Round<'_> {
    /// Returns every bed, or those on one rack, in walking order.
    pub fn stops(&self, rack: Option<&str>) -> Vec<Stop> {
        let visits = self.farm.visits();
        let warmth = Warmth::of(self.farm, &visits, self.day);
        let bucket = self.bucket();
        let bins = self.farm.walking_order().into_iter();
        bins.filter_map(|bin| {
            let here = &self.farm.bins()[&bin];
            let bed = here.bed?;
            let standing = here.standing.as_ref();
            let place = standing.map(|standing| standing.place.clone());
            if rack.is_some_and(|rack| place.as_ref().is_none_or(|place| place.rack() != rack)) {
                return None;
            }
            let like = BedLike {
                worms: self.worms.get(&bed).copied(),
                surface_mm2: standing.and_then(|standing| {
                    let length = u64::from(standing.facts.length_mm?);
                    length.checked_mul(u64::from(standing.facts.width_mm?))
                }),
                warmth: warmth.of_bed(bed, place.as_ref()),
            };
            let visits = visits.get(&bed).cloned().unwrap_or_default();
            Some(self.stop((bin, place), (bed, like), visits, bucket))
        })
        .collect()
    }

    fn stop(
        &self,
        (bin, place): (BinCode, Option<Place>),
        (bed, like): (LotId, BedLike),
        visits: Visits,
        bucket: Option<LotId>,
    ) -> Stop {
        let lot = self.farm.lot(bed);
        let species = self.farm.species(bed).map(str::to_owned);
        let feeding = Feeding::of(species.as_deref(), &self.settings.feeding);
        let judged = Bed {
            round: self,
            visits: &visits,
            made: lot.when,
            feeding,
            like,
        };
        Stop {
            due: judged.due(),
            give: judged.give(bucket),
            left: visits.left.and_then(|place| {
                let entry = &self.farm.entries()[place];
                Some((left_of(entry)?, entry.when.day()))
            }),
            every_days: feeding.days(like),
            since: lot.stays.last().map_or(lot.when, |stay| stay.from),
            days: days_between(lot.when.day(), self.day),
            warmth: like.warmth,
            bin,
            place,
            bed,
            species,
            visits,
        }
    }

    /// Returns the bucket of feed that was mixed last and of which some is left.
    fn bucket(&self) -> Option<LotId> {
        let lots = self.farm.lots();
        let open = lots
            .filter(|(id, lot)| lot.sort == LotSort::Batch(BatchKind::Feed) && self.is_open(*id));
        open.max_by_key(|(id, lot)| (lot.when.earliest(), *id))
            .map(|(id, _)| id)
    }

    /// Tells whether some of a lot is left to be fed.
    pub(super) fn is_open(&self, lot: LotId) -> bool {
        let left = self.farm.lot(lot).stock.left();
        let stopped = self.farm.holdings().iter().any(|held| held.is_stopped(lot));
        left.is_some_and(|left| left.value() > 0) && !stopped
    }
}

/// Adds up amounts of one unit; none where one is not known.
pub fn together(amounts: &[Amount]) -> Option<Quantity> {
    let mut sum: Option<Quantity> = None;
    for amount in amounts {
        let more = amount.quantity()?;
        sum = Some(match sum {
            None => more,
            Some(sum) if sum.unit() == more.unit() => {
                Quantity::new(sum.value().saturating_add(more.value()), more.unit())
            }
            Some(_) => return None,
        });
    }
    sum
}

/// Returns what a check found of the last feed.
pub(super) fn left_of(entry: &Entry) -> Option<FeedLeft> {
    match &entry.event {
        Some(Event::Check { facts, .. }) => facts.feed_left,
        _ => None,
    }
}

fn days_between(from: Date, to: Date) -> i32 {
    // Lots are of the years 2000 to 2099.
    (to - from).get_days()
}

#[cfg(test)]
#[path = "round_test.rs"]
mod tests;
