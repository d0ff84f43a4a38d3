//! Which lots a hold reaches: the lot itself, and everything downstream of it.

use std::collections::BTreeMap;

use crate::farm::{Farm, Hold, LotId, Reach};

use super::reach::{Relation, Start, forward};

/// A hold that reaches a lot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeldBy {
    /// The lot that is held itself.
    pub origin: LotId,
    /// The hold on it.
    pub hold: Hold,
    /// How the lot is reached from there; `None` for the origin itself.
    pub relation: Option<Relation>,
}

/// Returns every lot that a hold reaches, with the holds.
///
/// A hold stops parts and live stock; what may only have been carried is stopped where the hold says `all`.
pub fn held(farm: &Farm) -> BTreeMap<LotId, Vec<HeldBy>> {
    let mut all: BTreeMap<LotId, Vec<HeldBy>> = BTreeMap::new();
    for (origin, lot) in farm.lots() {
        let standing: Vec<Hold> = lot
            .holds
            .iter()
            .copied()
            .filter(|hold| hold.released.is_none())
            .collect();
        if standing.is_empty() {
            continue;
        }
        let downstream = forward(
            farm,
            Start {
                lot: origin,
                serial: None,
                when: None,
            },
        );
        for hold in standing {
            all.entry(origin).or_default().push(HeldBy {
                origin,
                hold,
                relation: None,
            });
            for reached in &downstream {
                if reached.relation == Relation::Carried && hold.reach == Reach::Parts {
                    continue;
                }
                let held_by = HeldBy {
                    origin,
                    hold,
                    relation: Some(reached.relation),
                };
                all.entry(reached.lot).or_default().push(held_by);
            }
        }
    }
    all
}
