//! How lots stand: held, held because of something in them, recalled, or free.

use std::collections::BTreeMap;

use crate::farm::{Event, Farm, LotCode, LotId, Moment, Word};
use crate::trace::{HeldBy, RecalledBy, flagged, held, recalled, recalls};

/// Which lots are held or recalled.
pub struct Standing<'a> {
    farm: &'a Farm,
    held: BTreeMap<LotId, Vec<HeldBy>>,
    flagged: BTreeMap<LotId, Vec<HeldBy>>,
    recalled: BTreeMap<LotId, RecalledBy<'a>>,
}

/// Whether a lot may be sold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sale {
    /// Nothing stops it.
    Free,
    /// It is stopped, and was packed despite that: all of it stood when it was packed.
    Despite(Stop, Box<str>),
    /// It is stopped.
    Stopped(Stop),
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
            flagged: flagged(farm),
            recalled: recalled(farm),
        }
    }

    /// Returns why a lot is stopped, if it is; its own hold before one that it is reached by, then a recall.
    pub fn stop(&self, id: LotId) -> Option<Stop> {
        self.hold(id, |_| true).or_else(|| self.recall(id))
    }

    /// Returns the lots on hold that may have been carried to a lot, which is not stopped for that, and since when.
    pub fn flags(&self, id: LotId) -> Vec<(LotCode, Moment)> {
        let flags = self.flagged.get(&id).into_iter().flatten();
        flags
            .map(|by| (self.farm.lot(by.origin).code, by.hold.since))
            .collect()
    }

    /// Tells whether a lot may have a label to be sold with.
    ///
    /// What a pack row was recorded `despite` is what stood then; a hold or recall that came later is another matter.
    pub fn for_sale(&self, id: LotId) -> Sale {
        let packed = self.farm.lot(id).when;
        let despite = match self.farm.making(id) {
            Event::Pack { despite, .. } => despite.as_ref(),
            _ => None,
        };
        let since = |since: Moment| despite.is_none() || !since.could_precede(packed);
        let stop = |id| self.hold(id, |_| true).or_else(|| self.recall(id));
        let uncovered = self.hold(id, since);
        let uncovered = uncovered.or_else(|| self.recall_began(id, since));
        match (uncovered, stop(id), despite) {
            (Some(stop), _, _) => Sale::Stopped(stop),
            (None, Some(stop), Some(why)) => Sale::Despite(stop, why.clone()),
            (None, Some(stop), None) => Sale::Stopped(stop),
            (None, None, _) => Sale::Free,
        }
    }

    /// The hold to name of those that began at such moments: the lot's own before one that it is reached by.
    fn hold(&self, id: LotId, began: impl Fn(Moment) -> bool) -> Option<Stop> {
        let all = self.held.get(&id)?;
        let holds: Vec<&HeldBy> = all.iter().filter(|by| began(by.hold.since)).collect();
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
        self.recalled.get(&id).map(|by| self.recall_stop(id, by))
    }

    /// The first recall that reaches the lot of those that began at such moments.
    fn recall_began(&self, id: LotId, began: impl Fn(Moment) -> bool) -> Option<Stop> {
        // Few lots are recalled, so that only these are looked for in every recall.
        self.recalled.get(&id)?;
        let open = recalls(self.farm)
            .into_iter()
            .filter(|(_, recall)| recall.closed.is_none());
        let openings = open.flat_map(|(name, recall)| {
            recall
                .openings
                .into_iter()
                .map(move |opening| (name, opening))
        });
        let reaching = openings
            .filter(|(_, opening)| began(opening.since))
            .filter_map(|(recall, opening)| {
                let origin = opening.reach(self.farm).get(&id)?.origin;
                Some(RecalledBy {
                    recall,
                    origin,
                    since: opening.since,
                    entry: opening.entry,
                })
            });
        let first = reaching.min_by_key(|by| (by.since.earliest(), by.entry));
        first.map(|by| self.recall_stop(id, &by))
    }

    fn recall_stop(&self, id: LotId, by: &RecalledBy) -> Stop {
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
        Stop {
            line,
            reason: why.unwrap_or_else(|| by.recall.to_owned()),
            since: by.since,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::{
        BatchKind, HoldStep, LotName, PackKind, Product, Quantity, Reach, RecallStep, Typed, Unit,
    };
    use crate::label::example::{delivery, draw, farm_of, id, new};

    fn rows(despite: Option<&str>) -> Vec<Event<Typed>> {
        vec![
            delivery("straw-1", "barley straw"),
            Event::Blend {
                lot: new("heap"),
                kind: BatchKind::Castings,
                from: vec![draw("straw-1", 9000)],
            },
            Event::Pack {
                lot: new("run-1"),
                product: Box::new(Product {
                    key: "bag".into(),
                    name: "Compost".into(),
                    kind: PackKind::Bag,
                    net: Quantity::new(5000, Unit::Millilitres),
                    gtin: None,
                    best_by_days: None,
                    best_by_month_end: false,
                }),
                count: 2,
                from: vec![draw("heap", 4000)],
                best_by: None,
                despite: despite.map(Into::into),
            },
        ]
    }

    fn straw() -> LotName {
        LotName::Mark("straw-1".parse().unwrap())
    }

    fn hold(step: HoldStep) -> Event<Typed> {
        Event::Hold {
            lot: straw(),
            step,
            reason: Word::of("smells").unwrap(),
        }
    }

    fn recall(step: RecallStep) -> Event<Typed> {
        Event::Recall {
            recall: "recall-1".into(),
            step,
            lots: vec![straw()],
            packs: Vec::new(),
            buyer: None,
            why: Word::of("bean test failed"),
        }
    }

    fn refused(rows: Vec<Event<Typed>>) -> Option<String> {
        let farm = farm_of(rows);
        let standing = Standing::of(&farm);
        match standing.for_sale(id(&farm, "run-1")) {
            Sale::Free => None,
            Sale::Despite(stop, why) => Some(format!("{}, despite: {why}", stop.line)),
            Sale::Stopped(stop) => Some(format!("{} ({})", stop.line, stop.reason)),
        }
    }

    #[test]
    fn packs_of_a_held_delivery_are_not_for_sale_until_it_is_released() {
        let mut held = rows(None);
        held.push(hold(HoldStep::Hold(Reach::Parts)));
        let said = "ON HOLD since 2026-04-23, for G26110-01-Y (smells)";
        assert_eq!(refused(held.clone()).as_deref(), Some(said));
        held.push(hold(HoldStep::Release));
        assert_eq!(refused(held), None);
    }

    #[test]
    fn packs_that_a_held_delivery_is_part_of_are_stopped_and_not_flagged() {
        let mut held = rows(None);
        held.push(hold(HoldStep::Hold(Reach::Parts)));
        let farm = farm_of(held);
        assert_eq!(Standing::of(&farm).flags(id(&farm, "run-1")), []);
    }

    #[test]
    fn packs_of_a_recalled_delivery_are_not_for_sale_until_the_recall_is_closed() {
        let mut recalled = rows(None);
        recalled.push(recall(RecallStep::Open));
        let said = "RECALLED since 2026-04-23, for G26110-01-Y (bean test failed)";
        assert_eq!(refused(recalled.clone()).as_deref(), Some(said));
        recalled.push(recall(RecallStep::Close));
        assert_eq!(refused(recalled), None);
    }

    #[test]
    fn packs_that_were_filled_despite_a_hold_may_be_sold_but_not_despite_one_that_came_later() {
        let all = rows(Some("for the bean test"));
        let mut before = all.clone();
        before.insert(2, hold(HoldStep::Hold(Reach::Parts)));
        let said = "ON HOLD since 2026-04-22, for G26110-01-Y, despite: for the bean test";
        assert_eq!(refused(before).as_deref(), Some(said));
        let mut after = all;
        after.push(hold(HoldStep::Hold(Reach::Parts)));
        let said = "ON HOLD since 2026-04-23, for G26110-01-Y (smells)";
        assert_eq!(refused(after).as_deref(), Some(said));
    }
}
