//! Feed: what beds were given week by week, and how long what is in store lasts.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{BatchKind, DeliveryKind, Farm, LotId, LotSort, Moment, Unit};
use crate::trace::{HeldBy, fed};
use crate::trade::Spread;

use super::stock::left;

/// Feed needed in a week, and in store.
pub struct Feed {
    /// What beds were given in each of the last weeks, in grams, the latest first.
    pub weeks: Vec<f64>,
    /// The spread of that; none where nothing was fed yet.
    pub weekly: Option<Spread>,
    /// Manure, feedstock and feed mixed, in store and not held, in grams.
    pub in_store: f64,
    /// The same, held.
    pub held: f64,
    /// Lots in store of which nobody knows how much is left.
    pub unknown: usize,
}

/// So many of the last weeks are gone by.
const WEEKS: usize = 12;
const WEEK: usize = 7;

/// Works it out; the weeks end today.
pub fn feed(farm: &Farm, holds: &BTreeMap<LotId, Vec<HeldBy>>, today: Date) -> Feed {
    let weeks = weeks(farm, today);
    let mut feed = Feed {
        weekly: Spread::of(&weeks),
        weeks,
        in_store: 0.0,
        held: 0.0,
        unknown: 0,
    };
    let kinds = [
        LotSort::Delivery(DeliveryKind::Manure),
        LotSort::Delivery(DeliveryKind::Feedstock),
        LotSort::Batch(BatchKind::Feed),
    ];
    for (id, lot) in farm.lots().filter(|(_, lot)| kinds.contains(&lot.sort)) {
        match grams_left(farm, id, Moment::day_only(today)) {
            Some(grams) if holds.contains_key(&id) => feed.held += grams,
            Some(grams) => feed.in_store += grams,
            None if lot.stock.left().is_none() || left(farm, id).is_none() => feed.unknown += 1,
            None => {}
        }
    }
    feed
}

/// Returns the grams fed in each of the last whole weeks in which the farm was feeding, the latest first. What nobody
/// knows counts nothing.
fn weeks(farm: &Farm, today: Date) -> Vec<f64> {
    let mut sums = vec![0.0; WEEKS];
    let mut longest = 0;
    for (day, grams) in fed(farm) {
        let Ok(ago) = usize::try_from((today - day).get_days()) else {
            continue;
        };
        longest = longest.max(ago / WEEK);
        if let Some(sum) = sums.get_mut(ago / WEEK) {
            *sum += grams.unwrap_or_default() as f64;
        }
    }
    // The week in which the farm began is not a whole one.
    sums.truncate(longest);
    sums
}

/// Returns what is left of a lot in grams: a litre without a density counts as a kilogram; pieces count nothing.
fn grams_left(farm: &Farm, id: LotId, when: Moment) -> Option<f64> {
    let value = left(farm, id)? as f64;
    let lot = farm.lot(id);
    match lot.stock.unit? {
        Unit::Grams => Some(value),
        Unit::Millilitres => {
            let density = lot.density(when);
            let litre = density.map_or(1_000.0, |rate| rate.thousandths() as f64 / 1_000.0);
            Some(value * litre / 1_000.0)
        }
        Unit::Pieces => Some(0.0),
    }
}

impl Feed {
    /// Returns how many weeks what is in store lasts, at the most and at the least that is to be expected.
    pub fn lasts(&self) -> Option<(f64, f64)> {
        let weekly = self.weekly.filter(|weekly| weekly.low > 0.0)?;
        Some((self.in_store / weekly.high, self.in_store / weekly.low))
    }
}
