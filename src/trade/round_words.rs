//! The words of a round: what is due at a bed, and why, as its list, its sheet and a scanner's answer say it.

use jiff::civil::Date;

use crate::farm::{Event, Farm, LotId};

use super::round::{Due, FeedWhy, Give, LookWhy, Stop, WaitWhy, together};

/// A feed that a bed had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PastFeed {
    /// The day.
    pub day: Date,
    /// How much in all: `660g`, `~700g`, or `?` where nobody knows.
    pub amount: String,
    /// Of what: marks, or else codes.
    pub of: Vec<String>,
}

impl Stop {
    /// Returns what to do, in a few words: `feed 660g mix-110`, `look`, `not yet`.
    pub fn to_do(&self, farm: &Farm) -> String {
        match &self.due {
            Due::Feed { .. } => match self.give.in_words(farm) {
                words if words.is_empty() => "feed".to_owned(),
                words => format!("feed {words}"),
            },
            Due::Look { .. } => "look".to_owned(),
            Due::NotYet { next, .. } => format!("not until {next}"),
        }
    }

    /// Returns why.
    pub fn why(&self) -> String {
        match &self.due {
            Due::Feed { because } => match because {
                FeedWhy::Cleared { on } => format!("none left on {on}"),
                FeedWhy::Interval { fed, days: 1 } => format!("fed on {fed}, and daily"),
                FeedWhy::Interval { fed, days } => format!("fed on {fed}, every {days} days"),
                FeedWhy::New { since } => format!("new, bedded on {since}"),
            },
            Due::Look { because } => match because {
                LookWhy::Left { left, on } => format!("{left} left on {on}"),
                LookWhy::Skipped { on } => format!("food left on {on}"),
                LookWhy::Warmth { degrees, on } => format!("{degrees} °C on {on}"),
            },
            Due::NotYet { because, .. } => match because {
                WaitWhy::Left { left, on } => format!("{left} left on {on}"),
                WaitWhy::Fed { on } => format!("fed on {on}"),
                WaitWhy::Skipped { why, .. } => format!("skipped: {why}"),
                WaitWhy::New { since } => format!("new, bedded on {since}"),
                WaitWhy::Warmth { degrees, on } => format!("{degrees} °C on {on}"),
            },
        }
    }

    /// Returns why in fewer words, counted in days up to that one.
    pub fn why_in_days(&self, today: Date) -> String {
        let ago = |on: Date| match (today - on).get_days() {
            0 => "today".to_owned(),
            days => format!("{days} d ago"),
        };
        let day_of = |on: Date, of: u32| match (today - on).get_days() {
            0 => "fed today".to_owned(),
            days => format!("day {days} of {of}"),
        };
        match &self.due {
            Due::Feed {
                because: FeedWhy::Cleared { on },
            } => format!("none left {}", ago(*on)),
            Due::Feed {
                because: FeedWhy::Interval { fed, days },
            } => day_of(*fed, *days),
            Due::Feed {
                because: FeedWhy::New { since },
            }
            | Due::NotYet {
                because: WaitWhy::New { since },
                ..
            } => {
                format!("new, day {}", (today - *since).get_days())
            }
            Due::Look {
                because: LookWhy::Left { left, on },
            }
            | Due::NotYet {
                because: WaitWhy::Left { left, on },
                ..
            } => format!("{left} left {}", ago(*on)),
            Due::Look {
                because: LookWhy::Skipped { on },
            } => format!("food left {}", ago(*on)),
            Due::Look {
                because: LookWhy::Warmth { degrees, on },
            }
            | Due::NotYet {
                because: WaitWhy::Warmth { degrees, on },
                ..
            } => format!("{degrees} °C {}", ago(*on)),
            Due::NotYet {
                because: WaitWhy::Fed { on },
                ..
            } => day_of(*on, self.every_days),
            Due::NotYet {
                because: WaitWhy::Skipped { why, .. },
                ..
            } => format!("skipped: {why}"),
        }
    }

    /// Returns its last three feeds, the newest first.
    pub fn feeds(&self, farm: &Farm) -> Vec<PastFeed> {
        let entries = self
            .visits
            .feeds
            .iter()
            .map(|place| &farm.entries()[*place]);
        let feeds = entries.filter_map(|entry| match &entry.event {
            Some(Event::Feed { takes, .. }) => {
                let amounts: Vec<_> = takes.iter().map(|draw| draw.amount).collect();
                let sum = together(&amounts).map(|sum| {
                    match amounts.iter().all(|amount| amount.is_weighed()) {
                        true => sum.to_string(),
                        false => format!("~{sum}"),
                    }
                });
                let lots = takes.iter().filter_map(|draw| farm.lot_of(draw.lot));
                Some(PastFeed {
                    day: entry.when.day(),
                    amount: sum.unwrap_or_else(|| "?".to_owned()),
                    of: lots.map(|lot| name(farm, lot)).collect(),
                })
            }
            _ => None,
        });
        feeds.collect()
    }

    /// Returns the day on which somebody should go to it next: today, where it is due.
    pub fn next(&self, today: Date) -> Date {
        match &self.due {
            Due::Feed { .. } | Due::Look { .. } => today,
            Due::NotYet { next, .. } => *next,
        }
    }

    /// Tells whether somebody should go to it.
    pub fn is_due(&self) -> bool {
        match self.due {
            Due::Feed { .. } | Due::Look { .. } => true,
            Due::NotYet { .. } => false,
        }
    }
}

impl Give {
    /// Returns it as a feed would be typed, the amount first: `660g mix-110`.
    pub fn in_words(&self, farm: &Farm) -> String {
        let amount = self.amount.map(|amount| amount.to_string());
        let lot = self.lot.map(|lot| name(farm, lot));
        let words: Vec<String> = amount.into_iter().chain(lot).collect();
        words.join(" ")
    }

    /// Returns it as a cell of `takes`, where both lot and amount are known.
    pub fn taking(&self, farm: &Farm) -> Option<String> {
        Some(format!("{} {}", name(farm, self.lot?), self.amount?))
    }
}

/// Returns the grower's mark for a lot, or else its code.
pub fn name(farm: &Farm, lot: LotId) -> String {
    let lot = farm.lot(lot);
    lot.mark
        .as_ref()
        .map_or_else(|| lot.code.to_string(), ToString::to_string)
}
