//! Beds that a trace reached: each with its code where they are few, bin by bin where they are many.

use crate::farm::{BinCode, Farm, LotId, Moment};
use crate::trace::Reached;
use crate::trade::short_species;

use super::phrase::days;
use super::table::{Set, Table};

/// So many beds are listed one by one; more are summed up by bin.
const FEW: usize = 12;

/// Lists beds; `reached_by` heads the days on which flows into or out of them counted.
pub fn page(farm: &Farm, beds: &[Reached], reached_by: &'static str) -> String {
    if beds.len() <= FEW {
        one_by_one(farm, beds, reached_by)
    } else {
        by_bin(farm, beds)
    }
}

fn one_by_one(farm: &Farm, beds: &[Reached], reached_by: &'static str) -> String {
    let mut table = Table::new(&[
        ("bin", Set::Whole),
        ("species", Set::Whole),
        ("lived", Set::Whole),
        (reached_by, Set::Whole),
        ("bed", Set::Whole),
    ]);
    for reached in beds {
        let lot = farm.lot(reached.lot);
        let species = farm.species(reached.lot).map(short_species);
        table.row(vec![
            bins(farm, reached.lot),
            species.unwrap_or_default(),
            lived(lot.when, lot.ended.map(|ending| ending.when)),
            days(reached.first, reached.last),
            lot.code.to_string(),
        ]);
    }
    table.to_string()
}

fn by_bin(farm: &Farm, beds: &[Reached]) -> String {
    let mut table = Table::new(&[
        ("bin", Set::Whole),
        ("beds", Set::Number),
        ("between them lived", Set::Whole),
        ("there now", Set::Whole),
    ]);
    for bin in farm.walking_order() {
        let here: Vec<LotId> = beds
            .iter()
            .map(|reached| reached.lot)
            .filter(|id| first_bin(farm, *id) == Some(bin))
            .collect();
        let from = here
            .iter()
            .map(|id| farm.lot(*id).when)
            .min_by_key(|when| when.earliest());
        let Some(from) = from else {
            continue;
        };
        let living = here.iter().find(|id| farm.lot(**id).ended.is_none());
        let ends = here.iter().filter_map(|id| farm.lot(*id).ended);
        let to = ends
            .map(|ending| ending.when)
            .max_by_key(|when| when.latest());
        table.row(vec![
            bin.to_string(),
            here.len().to_string(),
            lived(from, to.filter(|_| living.is_none())),
            living
                .map(|id| farm.lot(*id).code.to_string())
                .unwrap_or_default(),
        ]);
    }
    table.to_string()
}

fn first_bin(farm: &Farm, bed: LotId) -> Option<BinCode> {
    farm.lot(bed).stays.first().map(|stay| stay.bin)
}

/// Writes the bins a bed has been in.
fn bins(farm: &Farm, bed: LotId) -> String {
    let stays = &farm.lot(bed).stays;
    let bins: Vec<String> = stays.iter().map(|stay| stay.bin.to_string()).collect();
    bins.join(", ")
}

/// Writes the days a bed lived.
pub fn lived(from: Moment, to: Option<Moment>) -> String {
    match to {
        Some(to) => days(from, to),
        None => format!("{} on", from.day()),
    }
}
