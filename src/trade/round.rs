//! The feeding round: every bed in walking order, whether it is due on a day, and what to give it.
//!
//! A bed is fed when its last feed is cleared or should be, and not while food is left; then it is looked at again
//! after some days, so that none is forgotten. Nothing here decides for the grower: what a visit found goes first.

use std::collections::BTreeMap;

use jiff::Span;
use jiff::civil::Date;

use crate::farm::{
    Amount, BatchKind, BinCode, Entry, Event, Farm, FeedLeft, LotId, LotSort, Moment, Place,
    Quantity, Settings, Unit, Visits,
};

use super::feeding::{BedLike, Feeding, LONGEST_DAYS};
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
        let bed_at = Bed {
            round: self,
            visits: &visits,
            made: lot.when,
            feeding,
            like,
        };
        Stop {
            due: bed_at.due(),
            give: bed_at.give(bucket),
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
    fn is_open(&self, lot: LotId) -> bool {
        let left = self.farm.lot(lot).stock.left();
        let stopped = self.farm.holdings().iter().any(|held| held.is_stopped(lot));
        left.is_some_and(|left| left.value() > 0) && !stopped
    }
}

/// A bed that is judged.
struct Bed<'a> {
    round: &'a Round<'a>,
    visits: &'a Visits,
    made: Moment,
    feeding: Feeding,
    like: BedLike,
}

impl<'a> Bed<'a> {
    fn entry(&self, place: Option<usize>) -> Option<&'a Entry> {
        place.map(|place| &self.round.farm.entries()[place])
    }

    /// Returns a visit if it surely came after the last feed: one of the same minute, or of the same day without a
    /// time, tells of what was there before it.
    fn since_fed(&self, place: Option<usize>) -> Option<&'a Entry> {
        let fed = self.entry(self.visits.feeds.first().copied());
        let visit = self.entry(place)?;
        fed.is_none_or(|fed| visit.when.earliest() > fed.when.latest())
            .then_some(visit)
    }

    fn due(&self) -> Due {
        let skipped = self.since_fed(self.visits.skipped);
        let left = self.since_fed(self.visits.left);
        let after = |one: &Entry, other: Option<&Entry>| {
            other.is_none_or(|other| one.when.earliest() > other.when.latest())
        };
        let skip = skipped
            .filter(|skip| after(skip, left))
            .and_then(|skip| self.skip(skip));
        let found = left.and_then(|left| self.found(left));
        let due = skip.or(found).unwrap_or_else(|| self.by_days());
        match due {
            Due::Feed { .. } => self.warm_enough().unwrap_or(due),
            Due::Look { .. } | Due::NotYet { .. } => due,
        }
    }

    /// Judges a bed that was passed over: of food that is left it is looked at again, else it is due the next day.
    fn skip(&self, entry: &Entry) -> Option<Due> {
        let Some(Event::Skip { why, .. }) = &entry.event else {
            return None;
        };
        let (on, why) = (entry.when.day(), why.to_string());
        if is_food_left(&why) {
            let because = LookWhy::Skipped { on };
            return Some(self.look(on, because, WaitWhy::Skipped { on, why }));
        }
        (on >= self.round.day).then(|| Due::NotYet {
            because: WaitWhy::Skipped { on, why },
            next: later(on, 1),
        })
    }

    /// Judges a bed by what a check found of its last feed.
    fn found(&self, entry: &Entry) -> Option<Due> {
        let (left, on) = (left_of(entry)?, entry.when.day());
        Some(match left {
            FeedLeft::Nothing => Due::Feed {
                because: FeedWhy::Cleared { on },
            },
            FeedLeft::Some | FeedLeft::Lots => {
                self.look(on, LookWhy::Left { left, on }, WaitWhy::Left { left, on })
            }
        })
    }

    fn look(&self, on: Date, because: LookWhy, wait: WaitWhy) -> Due {
        let next = later(on, self.round.settings.round.look_days);
        if self.round.day >= next {
            Due::Look { because }
        } else {
            Due::NotYet {
                because: wait,
                next,
            }
        }
    }

    /// Judges a bed at which nobody looked since it was fed.
    fn by_days(&self) -> Due {
        let (on, days, feed, wait) = match self.entry(self.visits.feeds.first().copied()) {
            Some(fed) => {
                let (on, days) = (fed.when.day(), self.feeding.days(self.like));
                (
                    on,
                    days,
                    FeedWhy::Interval { fed: on, days },
                    WaitWhy::Fed { on },
                )
            }
            None => {
                let (since, days) = (self.made.day(), self.round.settings.round.settle_days);
                (since, days, FeedWhy::New { since }, WaitWhy::New { since })
            }
        };
        let next = later(on, days);
        if self.round.day >= next {
            Due::Feed { because: feed }
        } else {
            Due::NotYet {
                because: wait,
                next,
            }
        }
    }

    /// Holds back what would be fed to a bed that was found so cold or hot that they do not eat.
    fn warm_enough(&self) -> Option<Due> {
        let entry = self.entry(self.visits.warmth)?;
        let Some(Event::Check { facts, .. }) = &entry.event else {
            return None;
        };
        let degrees: f64 = facts.temperature_c.as_deref()?.trim().parse().ok()?;
        let on = entry.when.day();
        let fresh = self.round.day <= later(on, LONGEST_DAYS);
        if !fresh || self.feeding.appetite(Some(degrees)) > 0.0 {
            return None;
        }
        Some(self.look(
            on,
            LookWhy::Warmth { degrees, on },
            WaitWhy::Warmth { degrees, on },
        ))
    }

    fn give(&self, bucket: Option<LotId>) -> Give {
        let last = self
            .entry(self.visits.feeds.first().copied())
            .and_then(|entry| match &entry.event {
                Some(Event::Feed { takes, .. }) => Some(takes),
                _ => None,
            });
        let most = self.feeding.most(self.like);
        let lot = last.and_then(|takes| self.round.farm.lot_of(takes.first()?.lot));
        let lot = lot.filter(|lot| self.round.is_open(*lot)).or(bucket);
        let grams = |grams: u64| Quantity::new(grams, Unit::Grams);
        let amounts = last.map(|takes| takes.iter().map(|draw| draw.amount).collect::<Vec<_>>());
        let amount = match amounts.as_deref().and_then(together) {
            _ if self.feeding.own_rate && self.like.worms.is_some() => most.map(grams),
            Some(had) if had.unit() == Unit::Grams => Some(grams(
                most.map_or(had.value(), |most| had.value().min(most)),
            )),
            Some(had) => Some(had),
            // A new bed begins with half of it: common practice, no source.
            None if last.is_none() && self.like.worms.is_some() => most.map(|most| grams(most / 2)),
            None => None,
        };
        Give { lot, amount, most }
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

/// Tells whether a bed was passed over because food was left in it.
fn is_food_left(why: &str) -> bool {
    let why = why.to_lowercase();
    ["food", "feed"].iter().any(|what| why.contains(what)) && why.contains("left")
}

fn left_of(entry: &Entry) -> Option<FeedLeft> {
    match &entry.event {
        Some(Event::Check { facts, .. }) => facts.feed_left,
        _ => None,
    }
}

/// Returns the day so many days later.
fn later(day: Date, days: u32) -> Date {
    day.saturating_add(Span::new().days(i64::from(days)))
}

fn days_between(from: Date, to: Date) -> i32 {
    // Lots are of the years 2000 to 2099.
    (to - from).get_days()
}

#[cfg(test)]
#[path = "round_test.rs"]
mod tests;
