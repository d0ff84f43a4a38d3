//! What a hold or a recall reaches, in numbers: beds, batches, runs, and where their packs are.

use std::collections::BTreeSet;

use crate::farm::{Farm, LotId, LotSort};
use crate::trace::PackCount;

use super::phrase::{count, listed};

/// Writes what lots there are: `2 deliveries, 12 beds (5 in use), 6 batches, and 9 runs`.
pub fn lots(farm: &Farm, lots: &BTreeSet<LotId>) -> String {
    let of = |wanted: fn(LotSort) -> bool| {
        let found = lots.iter().filter(|lot| wanted(farm.lot(**lot).sort));
        found.count() as u64
    };
    let deliveries = of(|sort| matches!(sort, LotSort::Delivery(_)));
    let beds = of(|sort| sort == LotSort::Bed);
    let batches = of(|sort| matches!(sort, LotSort::Batch(_)));
    let runs = of(|sort| matches!(sort, LotSort::Run(_)));
    let in_use = lots.iter().filter(|lot| farm.lot(**lot).bin().is_some());
    let in_use = in_use.count();
    let mut parts = Vec::new();
    if deliveries > 0 {
        parts.push(count(deliveries, "delivery", "deliveries"));
    }
    if beds > 0 {
        parts.push(format!("{} ({in_use} in use)", count(beds, "bed", "beds")));
    }
    if batches > 0 {
        parts.push(count(batches, "batch", "batches"));
    }
    if runs > 0 {
        parts.push(count(runs, "run", "runs"));
    }
    listed(&parts)
}

/// Writes where the packs of runs are: `60 packs made: 18 in store, 39 sold, 3 thrown out`; empty where there are none.
pub fn packs(farm: &Farm, lots: &BTreeSet<LotId>) -> String {
    let shelves = lots.iter().filter_map(|lot| farm.lot(*lot).shelf.as_ref());
    let sum = shelves.fold(PackCount::default(), |sum, shelf| {
        sum.plus(PackCount::of_shelf(shelf))
    });
    where_they_are(&sum)
}

/// Writes where packs are.
pub fn where_they_are(sum: &PackCount) -> String {
    if sum.made == 0 {
        return String::new();
    }
    let fates = [
        (sum.in_store, "in store"),
        (sum.sold, "sold"),
        (sum.back, "back with a complaint"),
        (sum.thrown, "thrown out"),
        (sum.opened, "opened and used again"),
        (sum.not_found, "not found"),
        (sum.unplaced, "in store or gone, serials not noted"),
    ];
    let told: Vec<String> = fates
        .iter()
        .filter(|(number, _)| *number > 0)
        .map(|(number, what)| format!("{number} {what}"))
        .collect();
    format!(
        "{} made: {}",
        count(sum.made, "pack", "packs"),
        told.join(", ")
    )
}
