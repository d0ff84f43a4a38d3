//! How lots stand: held, held because of something in them, recalled, or free.

use std::collections::BTreeMap;

use crate::farm::{Event, Farm, LotId, Moment, Word};
use crate::trace::{HeldBy, RecalledBy, held, recalled};

use super::error::NotForSale;

/// Which lots are held or recalled.
pub struct Standing<'a> {
    farm: &'a Farm,
    held: BTreeMap<LotId, Vec<HeldBy>>,
    recalled: BTreeMap<LotId, RecalledBy<'a>>,
}

/// Why a lot is stopped.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stop {
    /// One line: `ON HOLD since 2026-09-18`.
    pub line: String,
    /// Why, as somebody gave it.
    pub reason: String,
    /// Since when.
    pub since: Moment,
}

impl<'a> Standing<'a> {
    /// Looks at all holds and recalls of a farm.
    pub fn of(farm: &'a Farm) -> Self {
        Self {
            farm,
            held: held(farm),
            recalled: recalled(farm),
        }
    }

    /// Returns why a lot is stopped, if it is; its own hold before one that it is reached by, then a recall.
    pub fn stop(&self, id: LotId) -> Option<Stop> {
        self.hold(id).or_else(|| self.recall(id))
    }

    /// Tells whether a lot may have a label to be sold with.
    pub fn for_sale(&self, id: LotId) -> Result<(), NotForSale> {
        let despite = matches!(
            self.farm.making(id),
            Event::Pack {
                despite: Some(_),
                ..
            }
        );
        match self.stop(id) {
            Some(stop) if !despite => Err(NotForSale {
                code: self.farm.lot(id).code,
                stop: stop.line,
                reason: stop.reason,
            }),
            Some(_) | None => Ok(()),
        }
    }

    fn hold(&self, id: LotId) -> Option<Stop> {
        let holds = self.held.get(&id)?;
        let own = holds.iter().find(|hold| hold.relation.is_none());
        let by = own.or_else(|| holds.first())?;
        let reason = match self.farm.entries()[by.hold.entry].event.as_ref() {
            Some(Event::Hold { reason, .. }) => reason.to_string(),
            _ => String::new(),
        };
        let since = by.hold.since;
        let day = since.day();
        let origin = self.farm.lot(by.origin);
        let line = match by.relation {
            None => format!("ON HOLD since {day}"),
            Some(_) => format!("ON HOLD since {day}, for {}", origin.code),
        };
        Some(Stop {
            line,
            reason,
            since,
        })
    }

    fn recall(&self, id: LotId) -> Option<Stop> {
        let by = self.recalled.get(&id)?;
        let why = match self.farm.entries()[by.entry].event.as_ref() {
            Some(Event::Recall { why, .. }) => why.as_ref().map(Word::to_string),
            _ => None,
        };
        let day = by.since.day();
        let line = match by.origin == id {
            true => format!("RECALLED since {day}"),
            false => format!(
                "RECALLED since {day}, for {}",
                self.farm.lot(by.origin).code
            ),
        };
        Some(Stop {
            line,
            reason: why.unwrap_or_else(|| by.recall.to_owned()),
            since: by.since,
        })
    }
}
