//! Deliveries that the farm holds from the day they come until a test is recorded, and when that test is due.
//!
//! Such a hold is told from others by its moment: it stands since the delivery came.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::farm::{Event, Farm, Hold, HoldSetting, Lot, LotId, LotSort, Moment};

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

/// Returns since when a hold stands for something that was found; `None` while it only waits for a test that every
/// delivery of its kind waits for.
///
/// Such a hold is known by the reason that castlot writes when it is put on, so that what a person held for a reason of
/// their own is never taken for one, even if it was held in the minute it came. A test that was failed is a finding.
pub fn found_since(farm: &Farm, lot: LotId, hold: &Hold) -> Option<Moment> {
    let Some(test) = routine_test(farm, lot, hold) else {
        return Some(hold.since);
    };
    let failed = tested(farm, lot, test).filter(|found| !found.passed)?;
    Some(failed.when)
}

/// Returns the test that a delivery was held for when it came, if that is why the hold was put on.
fn routine_test<'a>(farm: &'a Farm, lot: LotId, hold: &Hold) -> Option<&'a str> {
    let held = farm.lot(lot);
    let Some(Event::Hold { reason, .. }) = &farm.entries()[hold.entry].event else {
        return None;
    };
    let (test, _) = reason
        .said()?
        .strip_prefix("until a ")?
        .split_once(" test is recorded")?;
    (matches!(held.sort, LotSort::Delivery(_)) && hold.since == held.when).then_some(test)
}
