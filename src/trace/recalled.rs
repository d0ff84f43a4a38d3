//! Which lots an open recall reaches: the lots it was opened from, and what they are a part or the stock of.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{Event, Farm, LotId, Moment, RecallStep};

use super::reach::{Relation, Start, forward};

/// An open recall that reaches a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RecalledBy<'a> {
    /// The recall's name.
    pub recall: &'a str,
    /// The lot it was opened from.
    pub origin: LotId,
    /// Since when.
    pub since: Moment,
    /// The entry that opened it, as its place in `Farm::entries`.
    pub entry: usize,
}

/// Returns every lot that an open recall reaches, with the recall that was opened first.
pub fn recalled(farm: &Farm) -> BTreeMap<LotId, RecalledBy<'_>> {
    let mut all = BTreeMap::new();
    for (origin, by) in opened(farm) {
        let start = Start {
            lot: origin,
            serial: None,
            when: None,
        };
        all.entry(origin).or_insert(by);
        for reached in forward(farm, start) {
            // What worms or a bag may have carried over is for the recall itself to name.
            if reached.relation != Relation::Carried {
                all.entry(reached.lot).or_insert(by);
            }
        }
    }
    all
}

/// Returns the lots that open recalls were opened from, in the order of events.
fn opened(farm: &Farm) -> Vec<(LotId, RecalledBy<'_>)> {
    let mut closed = BTreeSet::new();
    let mut opened = Vec::new();
    for place in farm.order() {
        let entry = &farm.entries()[*place];
        let Some(Event::Recall {
            recall, step, lots, ..
        }) = &entry.event
        else {
            continue;
        };
        match step {
            RecallStep::Open => {
                let by = |origin| RecalledBy {
                    recall,
                    origin,
                    since: entry.when,
                    entry: *place,
                };
                let lots = lots.iter().filter_map(|code| farm.lot_of(*code));
                opened.extend(lots.map(|origin| (origin, by(origin))));
            }
            RecallStep::Close => {
                closed.insert(&**recall);
            }
            RecallStep::Told | RecallStep::Returned => {}
        }
    }
    opened.retain(|(_, by)| !closed.contains(by.recall));
    opened
}
