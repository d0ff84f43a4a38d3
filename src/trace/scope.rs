//! What a list is drawn up from, and which lots that puts on it.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{Farm, LotCode, LotId, Meant, PackPick, Relation, SerialRange, Which};

use super::reach::forward_of_all;

/// Whether what may only have been carried is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carried {
    /// It is.
    In,
    /// It is not, unless the lot is named.
    Out,
}

/// What a list is drawn up from.
#[derive(Clone, Copy, Debug)]
pub struct Scope<'a> {
    /// The lots that it begins with, those that were named for being carried among them.
    pub from: &'a [LotId],
    /// Packs that are meant; a run that is named here is on the list for these only.
    pub packs: &'a [PackPick<Meant>],
    /// Whether what may only have been carried is in.
    pub carried: Carried,
}

/// Returns the lots that a list begins with, those left out that are only there for having been carried to.
pub fn beginnings(farm: &Farm, from: &[LotId]) -> Vec<LotId> {
    let mut begun: Vec<LotId> = Vec::new();
    let mut carried: BTreeSet<LotId> = BTreeSet::new();
    for lot in from {
        if carried.contains(lot) || begun.contains(lot) {
            continue;
        }
        begun.push(*lot);
        let reached = forward_of_all(farm, &begun).into_iter();
        let reached = reached.filter(|reached| reached.relation == Relation::Carried);
        carried = reached.map(|reached| reached.lot).collect();
    }
    begun
}

/// Returns every lot on the list and how it is reached.
pub(super) fn reach(farm: &Farm, scope: Scope<'_>) -> BTreeMap<LotId, Option<Relation>> {
    let begun = beginnings(farm, scope.from);
    let from_begun = forward_of_all(farm, &begun);
    let all = |reached: &Relation| scope.carried == Carried::In || *reached != Relation::Carried;
    let relations: BTreeMap<LotId, Relation> = from_begun
        .iter()
        .map(|reached| (reached.lot, reached.relation))
        .collect();
    let picked = scope.packs.iter().filter_map(|pick| farm.lot_of(pick.run));
    // A lot that was named has its own parts on the list, however it is reached itself.
    let of_named = forward_of_all(farm, scope.from).into_iter();
    let of_named = of_named.filter(|reached| all(&reached.relation));
    let mut members: BTreeSet<LotId> = of_named.map(|reached| reached.lot).collect();
    members.extend(scope.from.iter().copied());
    members.extend(picked);
    members
        .into_iter()
        .map(|lot| {
            let begins = begun.contains(&lot);
            let relation = relations.get(&lot).copied().filter(|_| !begins);
            (lot, relation)
        })
        .collect()
}

/// Returns the serials of a run that are meant; none where it is the whole run.
pub(super) fn only(packs: &[PackPick<Meant>], code: LotCode) -> Vec<SerialRange> {
    let mut only = Vec::new();
    for pick in packs.iter().filter(|pick| pick.run == code) {
        match pick.which {
            Which::Serials(range) => only.push(range),
            // Nobody knows which they are, so it may be any.
            Which::Unnumbered(_) | Which::All => return Vec::new(),
        }
    }
    only.sort_unstable();
    only
}
