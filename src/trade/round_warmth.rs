//! How warm beds are: by their own last check, or else as the rack was.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rustc_hash::FxHashMap;

use crate::farm::{Event, Farm, LotId, Place, Visits};

use super::feeding::LONGEST_DAYS;

/// What was measured lately.
pub struct Warmth {
    beds: BTreeMap<LotId, f64>,
    racks: BTreeMap<String, f64>,
}

impl Warmth {
    /// Reads the last checks; what is older than a bed may go unvisited says nothing of today.
    pub fn of(farm: &Farm, visits: &FxHashMap<LotId, Visits>, day: Date) -> Self {
        let beds = visits.iter().filter_map(|(bed, visits)| {
            let entry = &farm.entries()[visits.warmth?];
            let Some(Event::Check { facts, .. }) = &entry.event else {
                return None;
            };
            let degrees: f64 = facts.temperature_c.as_deref()?.trim().parse().ok()?;
            let age = (day - entry.when.day()).get_days();
            let fresh = (0..=i64::from(LONGEST_DAYS)).contains(&i64::from(age));
            (fresh && degrees.is_finite()).then_some((*bed, degrees))
        });
        let beds: BTreeMap<LotId, f64> = beds.collect();
        let mut by_rack: BTreeMap<String, Vec<f64>> = BTreeMap::new();
        for (bed, degrees) in &beds {
            let standing = farm
                .lot(*bed)
                .bin()
                .and_then(|bin| farm.bins()[&bin].standing.as_ref());
            if let Some(standing) = standing {
                by_rack
                    .entry(standing.place.rack().to_owned())
                    .or_default()
                    .push(*degrees);
            }
        }
        let racks = by_rack.into_iter().map(|(rack, mut degrees)| {
            degrees.sort_by(f64::total_cmp);
            (rack, degrees[degrees.len() / 2])
        });
        Self {
            racks: racks.collect(),
            beds,
        }
    }

    /// Returns how warm a bed is, or else its rack: the middle one of the beds that were measured there.
    pub fn of_bed(&self, bed: LotId, place: Option<&Place>) -> Option<f64> {
        let rack = || self.racks.get(place?.rack());
        self.beds.get(&bed).or_else(rack).copied()
    }
}
