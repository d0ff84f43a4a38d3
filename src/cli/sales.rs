//! Who has packs: sales as a table, and the fates of packs in words.

use crate::farm::{Farm, Fate, LotId, SerialRange};
use crate::trace::Buyer;

use super::table::{Set, Table};

/// Writes sales as a table: when, who or where, how to reach them, which packs.
pub fn table(farm: &Farm, buyers: &[Buyer]) -> String {
    let mut table = Table::new(&[
        ("", Set::Whole),
        ("", Set::Text),
        ("", Set::Whole),
        ("", Set::Text),
    ]);
    for sale in buyers {
        let to = sale.to;
        let who = match (&to.buyer, &to.market) {
            (Some(buyer), _) => buyer.to_string(),
            (None, Some(market)) => format!("{market} (no names)"),
            (None, None) => String::new(),
        };
        table.row(vec![
            sale.when.day().to_string(),
            who,
            to.contact
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default(),
            packs(farm, &sale.packs, sale.unnumbered),
        ]);
    }
    table.to_string()
}

/// Writes which packs a sale took: `run-7 #1-12; run-8 #5; 3 without serials`.
fn packs(farm: &Farm, packs: &[(LotId, SerialRange)], unnumbered: u32) -> String {
    let mut parts: Vec<String> = Vec::new();
    let mut runs: Vec<LotId> = packs.iter().map(|(run, _)| *run).collect();
    runs.dedup();
    for run in runs {
        let lot = farm.lot(run);
        let name = lot
            .mark
            .as_ref()
            .map_or_else(|| lot.code.to_string(), ToString::to_string);
        let ranges = packs.iter().filter(|(other, _)| *other == run);
        let ranges: Vec<String> = ranges.map(|(_, range)| format!("#{range}")).collect();
        parts.push(format!("{name} {}", ranges.join(" ")));
    }
    if unnumbered > 0 {
        parts.push(format!("{unnumbered} without serials"));
    }
    parts.join("; ")
}

/// Writes what became of a pack.
pub fn fate_word(fate: Option<Fate>) -> &'static str {
    match fate {
        Some(Fate::InStore) => "in store",
        Some(Fate::Sold) => "sold",
        Some(Fate::Complained) => "back with a complaint",
        Some(Fate::Thrown) => "thrown out",
        Some(Fate::Opened) => "opened and used again",
        None => "not one of the run",
    }
}
