//! What a lot was made from, in words: the kinds of deliveries in it, by weight as recorded, in falling share.
//!
//! Names no supplier. What is not known is said; nothing is made up.

use std::collections::BTreeMap;

use crate::farm::{Basis, DeliveryFacts, DeliveryKind, Farm, LotId, LotSort};
use crate::trace::{Question, Side, Source, trace};

/// Constituents under this share are not named (common in ingredient lists: Regulation (EU) 2019/1009, Annex III).
const NAMED_FROM: f64 = 0.05;

/// Writes what a lot was made from; `None` where nothing that counts went into it.
pub fn made_from(farm: &Farm, id: LotId) -> Option<String> {
    let question = Question {
        lot: id,
        serial: None,
        when: None,
        side: Side::Back,
    };
    let sources = trace(farm, question).back.unwrap_or_default();
    let in_it: Vec<&Source> = sources
        .iter()
        .filter(|source| is_named(farm, source))
        .collect();
    if in_it.is_empty() {
        return None;
    }
    let known = in_it.iter().all(|source| source.share.is_some());
    Some(match known {
        true => by_share(farm, &in_it),
        false => without_shares(farm, &in_it),
    })
}

/// Tells whether a source is a delivery that is part of the lot.
fn is_named(farm: &Farm, source: &Source) -> bool {
    let is_delivery = matches!(farm.lot(source.reached.lot).sort, LotSort::Delivery(_));
    is_delivery && source.basis.is_some() && source.share != Some(0.0)
}

fn by_share(farm: &Farm, sources: &[&Source]) -> String {
    let mut shares: BTreeMap<String, f64> = BTreeMap::new();
    for source in sources {
        let share = source.share.unwrap_or_default();
        *shares.entry(kind_of(farm, source.reached.lot)).or_default() += share;
    }
    let mut kinds: Vec<(String, f64)> = shares.into_iter().collect();
    kinds.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let (named, small): (Vec<_>, Vec<_>) = kinds
        .into_iter()
        .partition(|(_, share)| *share > NAMED_FROM);
    let per_cent = |share: f64| format!("{:.0}\u{A0}%", share * 100.0);
    let mut words: Vec<String> = named
        .iter()
        .map(|(kind, share)| format!("{kind}, {}", per_cent(*share)))
        .collect();
    if !small.is_empty() {
        words.push(format!("others under {} each", per_cent(NAMED_FROM)));
    }
    let guessed = sources.iter().any(|s| s.basis != Some(Basis::Weighed));
    let basis = match guessed {
        true => "By weight as recorded, in part estimated.",
        false => "By weight as recorded.",
    };
    format!("{}. {basis}", capital(&words.join("; ")))
}

fn without_shares(farm: &Farm, sources: &[&Source]) -> String {
    let mut kinds: Vec<String> = Vec::new();
    for source in sources {
        let kind = kind_of(farm, source.reached.lot);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds.sort();
    format!(
        "{}. How much of each is not known.",
        capital(&kinds.join(", "))
    )
}

/// Returns what kind of stuff a delivery is: its name up to a comma; a manure goes by its animal.
fn kind_of(farm: &Farm, id: LotId) -> String {
    let kind = farm
        .delivery(id)
        .map(|facts| match (facts.kind, &facts.animal) {
            (DeliveryKind::Manure, Some(animal)) => format!("{animal} manure"),
            (DeliveryKind::Manure, None)
            | (
                DeliveryKind::Feedstock
                | DeliveryKind::Bedding
                | DeliveryKind::Worms
                | DeliveryKind::Grit
                | DeliveryKind::Packing,
                _,
            ) => head(facts),
        });
    kind.unwrap_or_default().to_lowercase()
}

/// What follows a comma in a name is a remark about that load.
fn head(facts: &DeliveryFacts) -> String {
    facts
        .name
        .split(',')
        .next()
        .unwrap_or_default()
        .trim()
        .to_owned()
}

/// Writes a text with a capital at its beginning.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
