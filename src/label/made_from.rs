//! What a lot was made from, in words: the kinds of deliveries in it, by weight as recorded, in falling share.
//!
//! Names no supplier. What is not known is said; nothing is made up.

use std::collections::BTreeMap;

use crate::farm::{Basis, DeliveryFacts, DeliveryKind, Farm, LotId, LotSort};
use crate::trace::{Question, Side, Source, trace};

/// Constituents up to this share are not named (Regulation (EU) 2019/1009, Annex III, lists those above 5 %).
const NAMED_ABOVE: f64 = 0.05;

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
        .partition(|(_, share)| *share > NAMED_ABOVE);
    let per_cent = |share: f64| format!("{:.0}\u{A0}%", share * 100.0);
    let mut words: Vec<String> = named
        .iter()
        .map(|(kind, share)| format!("{kind}, {}", per_cent(*share)))
        .collect();
    if !small.is_empty() {
        words.push(format!("others of {} or less", per_cent(NAMED_ABOVE)));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::{Amount, BatchKind, Draw, Event, Typed};
    use crate::label::example::{delivery, draw, farm_of, id, new};

    fn said(from: Vec<Draw<Typed>>) -> String {
        let kind = BatchKind::Bedding;
        let lot = new("heap");
        let farm = farm_of([
            delivery("straw-1", "Barley straw, damp"),
            delivery("straw-2", "barley straw"),
            delivery("card-1", "shredded board"),
            delivery("leaf-1", "leaf mould"),
            Event::Blend { lot, kind, from },
        ]);
        let text = made_from(&farm, id(&farm, "heap")).unwrap();
        assert!(!text.contains("secret"), "no supplier: {text}");
        text
    }

    #[test]
    fn loads_of_one_kind_are_one_and_stand_in_falling_share() {
        let from = vec![
            draw("card-1", 3000),
            draw("straw-1", 3000),
            draw("straw-2", 4000),
        ];
        let wanted = "Barley straw, 70\u{A0}%; shredded board, 30\u{A0}%. By weight as recorded.";
        assert_eq!(said(from), wanted);
    }

    #[test]
    fn what_is_five_per_cent_or_less_is_not_named_and_a_guess_is_said() {
        let mut from = vec![
            draw("straw-1", 9000),
            draw("card-1", 500),
            draw("leaf-1", 500),
        ];
        from[0].amount = Amount::Guess(from[0].amount.quantity().unwrap());
        let wanted = "Barley straw, 90\u{A0}%; others of 5\u{A0}% or less. By weight as recorded, in part \
                      estimated.";
        assert_eq!(said(from), wanted);
    }

    #[test]
    fn an_amount_that_nobody_knows_is_said() {
        let mut from = vec![draw("straw-1", 9000), draw("card-1", 500)];
        from[1].amount = Amount::Unknown;
        let wanted = "Barley straw, shredded board. How much of each is not known.";
        assert_eq!(said(from), wanted);
    }
}
