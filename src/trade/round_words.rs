//! The words of a round: what is due at a bed, and why, as its list, its sheet and a scanner's answer say it.

use crate::farm::{Farm, LotId};

use super::round::{Due, FeedWhy, Give, LookWhy, Stop, WaitWhy};

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
fn name(farm: &Farm, lot: LotId) -> String {
    let lot = farm.lot(lot);
    lot.mark.as_ref().map_or_else(|| lot.code.to_string(), ToString::to_string)
}
