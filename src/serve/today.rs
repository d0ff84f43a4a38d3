//! The farm's rack side on a day: every bed in walking order with what is due, and what stands against it. Worked out
//! once for a day and a state of the diary, and then only looked at.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::desk::alert::alerts;
use crate::desk::round::worms;
use crate::farm::{BinCode, Farm, LotCode, LotId, Settings};
use crate::trace::{flagged, held, recalled};
use crate::trade::{Round, Stop};

use super::in_use::{Feed, feeds};

/// The beds of a farm on a day.
pub struct Today {
    /// The day.
    pub day: Date,
    /// The farm at the end of that day, where anything is written ahead of it.
    until: Option<Farm>,
    /// Every bed, in walking order.
    pub stops: Vec<Stop>,
    /// What can be fed from, the newest first.
    pub feeds: Vec<Feed>,
    /// Grams of worms in each bed, where they are known.
    worms: BTreeMap<LotId, u64>,
    /// What stands against beds, the gravest first.
    alerts: BTreeMap<LotId, Vec<String>>,
}

/// Those beds, and the farm they are of.
#[derive(Clone, Copy)]
pub struct Rack<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The beds.
    pub today: &'a Today,
}

impl Today {
    /// Works the day out.
    pub fn of(whole: &Farm, settings: &Settings, day: Date) -> Self {
        let is_ahead = |place: &usize| whole.entries()[*place].when.day() > day;
        let until = whole.order().iter().any(is_ahead).then(|| whole.until(day));
        let farm = until.as_ref().unwrap_or(whole);
        let worms = worms(farm);
        let round = Round {
            farm,
            settings,
            day,
            worms: &worms,
        };
        let stops = round.stops(None);
        let (recalled, held, flagged) = (recalled(farm), held(farm), flagged(farm));
        let beds = stops.iter().map(|stop| stop.bed);
        let against = beds.filter(|bed| {
            recalled.contains_key(bed) || held.contains_key(bed) || flagged.contains_key(bed)
        });
        let alerts = against.map(|bed| (bed, alerts(farm, bed))).collect();
        Self {
            day,
            feeds: feeds(farm),
            stops,
            worms,
            alerts,
            until,
        }
    }

    /// Returns it with its farm, which is the diary's as it stands where nothing is written ahead.
    pub fn with<'a>(&'a self, whole: &'a Farm, settings: &'a Settings) -> Rack<'a> {
        Rack {
            farm: self.until.as_ref().unwrap_or(whole),
            settings,
            today: self,
        }
    }

    /// Returns what stands against a bed.
    pub fn alerts(&self, bed: LotId) -> &[String] {
        self.alerts.get(&bed).map(Vec::as_slice).unwrap_or_default()
    }

    /// Returns the grams of worms in a bed, where they are known.
    pub fn worms(&self, bed: LotId) -> Option<u64> {
        self.worms.get(&bed).copied()
    }
}

impl<'a> Rack<'a> {
    /// Returns the bed in a bin.
    pub fn in_bin(self, bin: BinCode) -> Option<&'a Stop> {
        self.today.stops.iter().find(|stop| stop.bin == bin)
    }

    /// Returns a bed by its code, where it is still in a bin.
    pub fn bed(self, code: LotCode) -> Option<&'a Stop> {
        let bed = self.farm.lot_of(code)?;
        self.today.stops.iter().find(|stop| stop.bed == bed)
    }

    /// Tells whether somebody was at a bed on the day.
    pub fn was_visited(self, stop: &Stop) -> bool {
        !self.visits(stop).is_empty()
    }

    /// Returns the entries of the day's visits to a bed, as places in the farm's entries, in their order.
    pub fn visits(self, stop: &Stop) -> Vec<usize> {
        let visits = &stop.visits;
        let single = [visits.checked, visits.skipped].into_iter().flatten();
        let places = visits.feeds.iter().copied().chain(single);
        let mut places: Vec<usize> = places
            .filter(|place| self.farm.entries()[*place].when.day() == self.today.day)
            .collect();
        places.sort_unstable();
        places.dedup();
        places
    }

    /// Returns the first bed in walking order that is due.
    pub fn next(self) -> Option<&'a Stop> {
        self.today.stops.iter().find(|stop| stop.is_due())
    }
}
