//! The farm as it was at a moment: what happened later is left out.

use super::entry::Entry;
use super::farm::Farm;
use super::moment::Moment;

impl Farm {
    /// Returns the farm as it stood at the end of a moment; entries keep their numbers.
    ///
    /// It goes by when things happened, not by when they were written: a late entry of that time is in it, and so is a
    /// correction of one.
    pub fn as_of(&self, when: Moment) -> Self {
        let then = |entry: &Entry| {
            if entry.when.earliest() <= when.latest() {
                return entry.clone();
            }
            Entry {
                strikes: None,
                event: None,
                ..entry.clone()
            }
        };
        Self::of(self.entries().iter().map(then).collect())
    }
}

#[cfg(test)]
mod tests {
    use crate::farm::scenario::Scenario;
    use crate::farm::{DateOrder, Moment};

    #[test]
    fn what_happened_later_is_left_out_and_numbers_stay() {
        let mut scenario = Scenario::of(&[
            "2026-03-01 delivery straw bedding 50kg",
            "2026-03-02 bed b1 A01 straw=4kg",
            "2026-03-09 feed A01 straw=1kg",
        ]);
        assert_eq!(scenario.try_strike(3), Ok(()));
        let zone = jiff::tz::TimeZone::UTC;
        let day = |text| Moment::read(text, DateOrder::YearMonthDay, &zone).expect("a day");
        let then = scenario.farm.as_of(day("2026-03-01"));
        assert_eq!((then.lot_count(), then.entries().len()), (1, 4));
        assert!(then.faults().is_empty());
        // The strike is of later: then, the feed stood.
        let before = scenario.farm.as_of(day("2026-03-10"));
        assert_eq!(before.struck_by(3), None);
        assert_eq!(scenario.farm.struck_by(3), Some(4));
    }
}
