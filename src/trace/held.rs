//! Which lots a hold reaches: the lot itself, and everything downstream of it, as the farm keeps them.

use std::collections::BTreeMap;

use crate::farm::{Farm, Hold, LotId, Relation};

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

/// Returns every lot that a hold stops, with the holds.
///
/// A hold stops parts and live stock; what may only have been carried is stopped where the hold says `all`. A lot
/// that was released by itself is free of it, and only that lot.
pub fn held(farm: &Farm) -> BTreeMap<LotId, Vec<HeldBy>> {
    reached(farm, true)
}

/// Returns every lot that a hold flags but does not stop: what may only have been carried to it.
pub fn flagged(farm: &Farm) -> BTreeMap<LotId, Vec<HeldBy>> {
    reached(farm, false)
}

fn reached(farm: &Farm, stopped: bool) -> BTreeMap<LotId, Vec<HeldBy>> {
    let mut all: BTreeMap<LotId, Vec<HeldBy>> = BTreeMap::new();
    for holding in farm.holdings() {
        for (lot, relation) in holding.reached() {
            if holding.stops(relation) == stopped {
                all.entry(lot).or_default().push(HeldBy {
                    origin: holding.origin,
                    hold: holding.hold,
                    relation,
                });
            }
        }
    }
    all
}
