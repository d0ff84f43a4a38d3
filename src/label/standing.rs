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
        let refused = standing.for_sale(id(&farm, "run-1")).err()?;
        Some(format!("{} ({})", refused.stop, refused.reason))
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
    fn packs_of_a_recalled_delivery_are_not_for_sale_until_the_recall_is_closed() {
        let mut recalled = rows(None);
        recalled.push(recall(RecallStep::Open));
        let said = "RECALLED since 2026-04-23, for G26110-01-Y (bean test failed)";
        assert_eq!(refused(recalled.clone()).as_deref(), Some(said));
        recalled.push(recall(RecallStep::Close));
        assert_eq!(refused(recalled), None);
    }

    #[test]
    fn packs_that_were_filled_despite_it_have_their_labels() {
        let mut held = rows(Some("for the bean test"));
        held.push(hold(HoldStep::Hold(Reach::Parts)));
        assert_eq!(refused(held), None);
    }
}
