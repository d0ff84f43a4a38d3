//! The links of a trace with the entries that prove them: one for each lot that leads to another.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{Amount, Basis, EntryNumber, Farm, Flow, LotId, Moment, Much, Quantity, Unit};
use crate::trace::{Relation, Way};

/// Everything that went from one lot into another, as the entries say.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// Where from.
    pub from: LotId,
    /// Where to.
    pub to: LotId,
    /// How it counts, by its nearest way.
    pub relation: Relation,
    /// The kinds of entries, as in `feed`.
    pub nouns: BTreeSet<&'static str>,
    /// The first and the last time.
    pub days: (Moment, Moment),
    /// The entries.
    pub entries: Vec<EntryNumber>,
    /// How much, in words; `~` marks a guess, `?` what nobody knows.
    pub amount: String,
    /// The weakest of its amounts.
    pub basis: Basis,
}

/// Puts the flows of a trace together, link by link, in the order of time.
pub fn links(farm: &Farm, ways: &[Way]) -> Vec<Link> {
    let mut by_ends: BTreeMap<(LotId, LotId), Vec<&Way>> = BTreeMap::new();
    for way in ways {
        by_ends.entry((way.from, way.to)).or_default().push(way);
    }
    let mut links: Vec<Link> = by_ends
        .into_values()
        .filter_map(|same| link(farm, &same))
        .collect();
    links.sort_by_key(|link| (link.days.0.earliest(), link.entries.first().copied()));
    links
}

fn link(farm: &Farm, ways: &[&Way]) -> Option<Link> {
    let first = ways.first()?;
    let flows: Vec<&Flow> = ways.iter().map(|way| farm.flow(way.flow)).collect();
    let nouns = flows.iter().filter_map(|flow| {
        let event = farm.entries()[flow.entry].event.as_ref()?;
        Some(event.noun().word())
    });
    let mut entries: Vec<EntryNumber> = flows
        .iter()
        .map(|flow| farm.entries()[flow.entry].number)
        .collect();
    entries.sort_unstable();
    entries.dedup();
    Some(Link {
        from: first.from,
        to: first.to,
        relation: ways.iter().map(|way| way.relation).min()?,
        nouns: nouns.collect(),
        days: (
            flows
                .iter()
                .map(|flow| flow.when)
                .min_by_key(|when| when.earliest())?,
            flows
                .iter()
                .map(|flow| flow.when)
                .max_by_key(|when| when.latest())?,
        ),
        entries,
        amount: amount(&flows),
        basis: flows.iter().map(|flow| flow.much.basis()).max()?,
    })
}

/// Adds amounts up, unit by unit; a share of everything and what nobody knows stand beside the sum.
fn amount(flows: &[&Flow]) -> String {
    let mut sums: BTreeMap<Unit, (u64, bool)> = BTreeMap::new();
    let mut others: BTreeSet<String> = BTreeSet::new();
    for flow in flows {
        let (amount, divided) = match flow.much {
            Much::Amount(amount) => (amount, false),
            Much::Divided(amount) => (amount, true),
            Much::Portion(portion) => {
                others.insert(portion.to_string());
                continue;
            }
            Much::All => {
                others.insert("all".to_owned());
                continue;
            }
        };
        match amount {
            Amount::Weighed(quantity) | Amount::Guess(quantity) => {
                let (sum, guessed) = sums.entry(quantity.unit()).or_default();
                *sum = sum.saturating_add(quantity.value());
                *guessed |= divided || !amount.is_weighed();
            }
            Amount::Unknown => {
                others.insert("?".to_owned());
            }
        }
    }
    let sums = sums.into_iter().map(|(unit, (sum, guessed))| {
        let mark = if guessed { "~" } else { "" };
        format!("{mark}{}", Quantity::new(sum, unit))
    });
    sums.chain(others).collect::<Vec<_>>().join(" + ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::scenario::Scenario;
    use crate::trace::{Side, Start, back, ways};

    #[test]
    fn feeds_of_one_load_into_one_bed_are_one_link_with_all_its_entries() {
        let scenario = Scenario::of(&[
            "2026-03-01 delivery dung manure 50kg",
            "2026-03-02 bed b1 A01 dung=4kg",
            "2026-03-05 feed A01 dung=1kg",
            "2026-03-09 feed A01 dung=~500g",
            "2026-03-20 sieve c1 castings 2kg - A01",
        ]);
        let farm = &scenario.farm;
        let lot = scenario.id("c1");
        let start = Start {
            lot,
            serial: None,
            when: None,
        };
        let links = links(farm, &ways(farm, lot, &back(farm, start), Side::Back));
        let told: Vec<_> = links
            .iter()
            .map(|link| (link.entries.clone(), link.amount.as_str(), link.basis))
            .collect();
        assert_eq!(
            told,
            [
                (vec![2, 3, 4], "~5.5kg", Basis::Guess),
                (vec![5], "2kg", Basis::Weighed),
            ]
        );
    }
}
