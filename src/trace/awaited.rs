//! Deliveries that the farm holds from the day they come until a test is recorded, and when that test is due.
//!
//! Such a hold is told from others by its moment: it stands since the delivery came.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::farm::{Farm, HoldSetting, Lot, LotId, LotSort};

use super::verdict::tested;

/// A delivery that waits for its test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Awaited {
    /// The delivery.
    pub lot: LotId,
    /// The day by which the test should have been read.
    pub due: Date,
}

/// Returns the deliveries that wait for their test, the one that is due first before the others.
pub fn awaited(farm: &Farm, setting: &HoldSetting) -> Vec<Awaited> {
    let mut all: Vec<Awaited> = farm
        .lots()
        .filter(|(_, lot)| is_incoming(lot, setting) && is_held_since_it_came(lot))
        // One that failed is no longer waited for: it stays on hold for what was found.
        .filter(|(id, _)| tested(farm, *id, &setting.until).is_none())
        .map(|(id, lot)| Awaited {
            lot: id,
            due: due(lot, setting),
        })
        .collect();
    all.sort_by_key(|waiting| (waiting.due, waiting.lot));
    all
}

/// Tells whether the farm holds such a lot when it comes.
pub fn is_incoming(lot: &Lot, setting: &HoldSetting) -> bool {
    matches!(lot.sort, LotSort::Delivery(kind) if setting.incoming.contains(&kind))
}

/// Returns the day by which a delivery's test should have been read.
pub fn due(lot: &Lot, setting: &HoldSetting) -> Date {
    let days = i64::from(setting.due_days);
    lot.when.day().saturating_add(days.days())
}

/// Tells whether a hold stands that was put on when the lot came.
fn is_held_since_it_came(lot: &Lot) -> bool {
    let mut standing = lot.holds.iter().filter(|hold| hold.released.is_none());
    standing.any(|hold| hold.since == lot.when)
}

/// Tells whether the hold that was put on when the lot came is the only one that stands on it.
pub fn is_held_for_the_test_alone(lot: &Lot) -> bool {
    let mut standing = lot.holds.iter().filter(|hold| hold.released.is_none());
    is_held_since_it_came(lot) && standing.all(|hold| hold.since == lot.when)
}
