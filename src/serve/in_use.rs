//! The feed in use: chosen once by whoever walks, and then given to every bed until another is chosen.

use crate::farm::{BatchKind, DeliveryKind, Farm, LotCode, LotId, LotSort};
use crate::trade::lot_name;

use super::today::Rack;

/// So many feeds are offered, the newest first; another is typed.
const OFFERED: usize = 8;

/// A lot that feed is taken from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Feed {
    /// Its code.
    pub code: String,
    /// The grower's mark, or else the code.
    pub name: String,
    /// What it is, and how much is left.
    pub what: String,
}

/// What is in use, and what could be.
#[derive(Clone, Debug)]
pub struct InUse {
    /// The lot, where one was chosen and can be fed.
    pub lot: Option<LotId>,
    /// Its name.
    pub now: Option<String>,
    /// Why the one that was chosen cannot be fed.
    pub trouble: Option<String>,
    /// What could be.
    pub feeds: Vec<Feed>,
    /// The page to come back to.
    pub back: String,
}

impl InUse {
    /// Says what is in use, given what was chosen, on a page of that address.
    pub fn of(rack: Rack<'_>, chosen: Option<LotCode>, back: impl Into<String>) -> Self {
        let farm = rack.farm;
        let known = chosen.and_then(|code| farm.lot_of(code));
        let trouble = chosen.and_then(|code| match known {
            None => Some(format!("{code} was struck out; choose another feed.")),
            Some(lot) if is_stopped(farm, lot) => Some(format!(
                "{} is on hold; choose another feed.",
                lot_name(farm, lot)
            )),
            Some(lot) if !has_some(farm, lot) => Some(format!(
                "Nothing is left of {}; choose another feed.",
                lot_name(farm, lot)
            )),
            Some(_) => None,
        });
        let lot = known.filter(|_| trouble.is_none());
        Self {
            lot,
            now: lot.map(|lot| lot_name(farm, lot)),
            trouble,
            feeds: rack.today.feeds.clone(),
            back: back.into(),
        }
    }
}

/// Returns what can be fed from, the newest first.
pub fn feeds(farm: &Farm) -> Vec<Feed> {
    let mut open: Vec<LotId> = farm
        .lots()
        .filter(|(id, lot)| is_feed(lot.sort) && has_some(farm, *id) && !is_stopped(farm, *id))
        .map(|(id, _)| id)
        .collect();
    open.sort_by_key(|id| std::cmp::Reverse((farm.lot(*id).when.earliest(), *id)));
    open.truncate(OFFERED);
    open.into_iter().map(|lot| Feed::of(farm, lot)).collect()
}

impl Feed {
    /// Says what a lot is, for whoever feeds from it.
    pub fn of(farm: &Farm, lot: LotId) -> Self {
        let there = farm.lot(lot);
        let left = there.stock.left();
        let left = left.map_or_else(String::new, |left| format!(", {left} left"));
        Self {
            code: there.code.to_string(),
            name: lot_name(farm, lot),
            what: format!("{}{left}", crate::desk::title(farm, lot)),
        }
    }
}

fn is_feed(sort: LotSort) -> bool {
    match sort {
        LotSort::Batch(kind) => kind == BatchKind::Feed,
        LotSort::Delivery(kind) => matches!(kind, DeliveryKind::Feedstock | DeliveryKind::Manure),
        LotSort::Bed | LotSort::Run(_) => false,
    }
}

/// An amount that nobody knows may have some left.
fn has_some(farm: &Farm, lot: LotId) -> bool {
    let left = farm.lot(lot).stock.left();
    left.is_none_or(|left| left.value() > 0)
}

fn is_stopped(farm: &Farm, lot: LotId) -> bool {
    farm.holdings().iter().any(|held| held.is_stopped(lot))
}
