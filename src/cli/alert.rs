//! What a person must know of a lot before anything else: holds that reach it, and open recalls.

use std::collections::BTreeMap;

use crate::farm::{Event, Farm, Hold, LotCode, LotId, Reach, RecallStep};
use crate::trace::{Reached, Relation, Start, back};

use super::named::called;
use super::phrase::at;

/// Returns the alerts of a lot, a line each, the gravest first.
pub fn alerts(farm: &Farm, lot: LotId) -> Vec<String> {
    let start = Start {
        lot,
        serial: None,
        when: None,
    };
    let any_hold = farm.lots().any(|(_, lot)| lot.is_held());
    let recalls = open_recalls(farm);
    // The search is spared where nothing could come of it.
    let sources = if any_hold || !recalls.is_empty() {
        back(farm, start)
    } else {
        Vec::new()
    };
    let mut lines = recalled(farm, lot, &sources, &recalls);
    lines.extend(holding(farm, lot, &sources));
    lines
}

/// Returns what each recall that is still open was opened for.
fn open_recalls(farm: &Farm) -> BTreeMap<&str, Vec<LotCode>> {
    let mut open: BTreeMap<&str, Vec<LotCode>> = BTreeMap::new();
    for place in farm.order() {
        if let Some(Event::Recall {
            recall, step, lots, ..
        }) = &farm.entries()[*place].event
        {
            match step {
                RecallStep::Open => open.entry(recall).or_default().extend(lots),
                RecallStep::Close => {
                    open.remove(&**recall);
                }
                RecallStep::Told | RecallStep::Returned => {}
            }
        }
    }
    open
}

fn recalled(
    farm: &Farm,
    lot: LotId,
    sources: &[Reached],
    recalls: &BTreeMap<&str, Vec<LotCode>>,
) -> Vec<String> {
    let mut lines = Vec::new();
    for (recall, codes) in recalls {
        for id in codes.iter().filter_map(|code| farm.lot_of(*code)) {
            let reached = sources.iter().find(|reached| reached.lot == id);
            let within = reached.is_some_and(|r| r.relation != Relation::Carried);
            if id == lot {
                lines.push(format!("RECALLED ({recall})"));
            } else if within {
                lines.push(format!("RECALLED ({recall}), for {}", called(farm, id)));
            }
        }
    }
    lines
}

fn holding(farm: &Farm, lot: LotId, sources: &[Reached]) -> Vec<String> {
    let standing = |id: LotId| {
        farm.lot(id)
            .holds
            .iter()
            .filter(|hold| hold.released.is_none())
    };
    let own = standing(lot).map(|hold| told(farm, hold, "ON HOLD"));
    let upstream = sources.iter().flat_map(|reached| {
        standing(reached.lot)
            .filter(|hold| hold.reach == Reach::All || reached.relation != Relation::Carried)
            .map(|hold| {
                told(
                    farm,
                    hold,
                    &format!("ON HOLD for {}", called(farm, reached.lot)),
                )
            })
    });
    own.chain(upstream).collect()
}

fn told(farm: &Farm, hold: &Hold, head: &str) -> String {
    let reason = match &farm.entries()[hold.entry].event {
        Some(Event::Hold { reason, .. }) => format!(": {reason}"),
        _ => String::new(),
    };
    format!("{head} since {}{reason}", at(hold.since))
}
