//! Who has packs: buyers one can ring, market days without names, and the fates of packs in words.

use std::collections::BTreeMap;

use crate::desk::mark_or_code;
use crate::farm::{Farm, Fate, LotId, Word};
use crate::trace::Buyer;

use super::table::{Set, Table};

/// Writes who bought packs of the runs that count: those with a name first, each with all that they bought, then
/// the sales without a name by day.
pub fn page(farm: &Farm, buyers: &[Buyer], counts: impl Fn(LotId) -> bool) -> String {
    let mut named: BTreeMap<&Word, Vec<(&Buyer, String)>> = BTreeMap::new();
    let mut unnamed = Table::new(&[("", Set::Whole), ("", Set::Text), ("", Set::Text)]);
    for sale in buyers {
        let packs = packs(farm, sale, &counts);
        if packs.is_empty() {
            continue;
        }
        match (&sale.to.buyer, &sale.to.market) {
            (Some(buyer), _) => named.entry(buyer).or_default().push((sale, packs)),
            (None, market) => unnamed.row(vec![
                sale.when.day().to_string(),
                market.as_ref().map(ToString::to_string).unwrap_or_default(),
                packs,
            ]),
        }
    }
    let mut text = String::new();
    for (buyer, sales) in &named {
        text += &format!("  {buyer}");
        let contact = sales
            .iter()
            .rev()
            .find_map(|(sale, _)| sale.to.contact.as_ref());
        text += &contact
            .map(|contact| format!(", {contact}"))
            .unwrap_or_default();
        text += "\n";
        let mut table = Table::new(&[("", Set::Whole), ("", Set::Text)]);
        for (sale, packs) in sales {
            table.row(vec![format!("  {}", sale.when.day()), packs.clone()]);
        }
        text += &table.to_string();
    }
    if !unnamed.is_empty() {
        text += &format!("  without a name, on market days\n{}", unnamed.indented());
    }
    text
}

/// Writes which packs of the runs that count a sale took: `run-7 #1-12, run-8 x3`.
fn packs(farm: &Farm, sale: &Buyer, counts: impl Fn(LotId) -> bool) -> String {
    let mut by_run: BTreeMap<LotId, Vec<String>> = BTreeMap::new();
    for (run, range) in sale.packs.iter().filter(|(run, _)| counts(*run)) {
        by_run.entry(*run).or_default().push(format!("#{range}"));
    }
    for (run, number) in sale.loose.iter().filter(|(run, _)| counts(*run)) {
        by_run.entry(*run).or_default().push(format!("x{number}"));
    }
    let told = by_run
        .into_iter()
        .map(|(run, picks)| format!("{} {}", mark_or_code(farm, run), picks.join(" ")));
    told.collect::<Vec<_>>().join(", ")
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
