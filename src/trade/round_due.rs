//! Judges one bed of the round: whether it is due, why, and what it gets.

use jiff::Span;
use jiff::civil::Date;

use crate::farm::{Entry, Event, FeedLeft, LotId, Moment, Quantity, Unit, Visits};

use super::feeding::{BedLike, Feeding, LONGEST_DAYS};
use super::round::{Due, FeedWhy, Give, LookWhy, Round, WaitWhy, left_of, together};

/// A bed that is judged.
pub(super) struct Bed<'a> {
    pub round: &'a Round<'a>,
    pub visits: &'a Visits,
    pub made: Moment,
    pub feeding: Feeding,
    pub like: BedLike,
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

    /// Returns what is due.
    pub fn due(&self) -> Due {
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

    /// Returns what it would get; `bucket` is the one mixed last.
    pub fn give(&self, bucket: Option<LotId>) -> Give {
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

/// Tells whether a bed was passed over because food was left in it.
fn is_food_left(why: &str) -> bool {
    let why = why.to_lowercase();
    ["food", "feed"].iter().any(|what| why.contains(what)) && why.contains("left")
}

/// Returns the day so many days later.
fn later(day: Date, days: u32) -> Date {
    day.saturating_add(Span::new().days(i64::from(days)))
}
