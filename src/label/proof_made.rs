//! Holds the farm's own words for what a product was made from against the trace.
//!
//! What they name has to be in it, and what is more than a small share has to be named: both are refused. An order that
//! does not follow the shares is warned of, because shares rest on what was recorded; so are shares that nobody knows.

use super::finding::{Refused, Warned};
use super::made_from::small_share;
use super::makings::{Makings, Part};
use super::proof_run::RunFacts;

/// Words that name no stuff of their own.
const FILLERS: &[&str] = &[
    "and", "or", "with", "of", "the", "a", "some", "mainly", "mostly", "small", "amounts",
    "amount", "from", "made", "well", "rotted", "others", "other",
];

/// Looks at the farm's own words, if it has any.
pub fn look(facts: &RunFacts) -> (Vec<Refused>, Vec<Warned>) {
    let wording = facts.wording();
    match wording.made_from.as_deref().map(str::trim) {
        Some(own) if !own.is_empty() => {
            let makings = Makings::of(facts.farm, facts.run);
            compare(own, &makings, small_share(facts.settings))
        }
        Some(_) | None => (Vec::new(), Vec::new()),
    }
}

fn compare(own: &str, makings: &Makings, small: f64) -> (Vec<Refused>, Vec<Warned>) {
    let named = named(own);
    let places: Vec<Option<usize>> = named.iter().map(|name| place_of(name, makings)).collect();
    let strangers = named
        .iter()
        .zip(&places)
        .filter(|(_, place)| place.is_none());
    let mut refused: Vec<Refused> = strangers
        .map(|(name, _)| Refused::NotInIt {
            named: name.clone(),
            parts: makings.parts.iter().map(|part| part.kind.clone()).collect(),
        })
        .collect();
    if !makings.is_known() {
        return (refused, vec![Warned::NotHeld]);
    }
    let all_named: Vec<&Part> = makings
        .parts
        .iter()
        .filter(|part| named.iter().any(|name| is_called(name, &part.kind)))
        .collect();
    let large = |part: &&Part| part.share.is_some_and(|share| share > small);
    let left_out = makings
        .parts
        .iter()
        .filter(large)
        .filter(|part| !all_named.contains(part));
    refused.extend(left_out.map(|part| Refused::LeftOut {
        part: part.kind.clone(),
        per_mille: (part.share.unwrap_or_default() * 1000.0).round() as u32,
    }));
    let known: Vec<usize> = places.into_iter().flatten().collect();
    let turned = known.windows(2).find(|pair| {
        let share = |at: usize| makings.parts[at].share.unwrap_or_default();
        share(pair[0]) < share(pair[1])
    });
    let warned = turned.map(|pair| Warned::Order {
        first: makings.parts[pair[0]].kind.clone(),
        then: makings.parts[pair[1]].kind.clone(),
    });
    (refused, warned.into_iter().collect())
}

/// The stuff that a text names, in its order: what stands between commas, `and`, `or` and the ends of sentences, without
/// shares; a sentence on how it was measured names none.
fn named(own: &str) -> Vec<String> {
    let lower = own
        .to_lowercase()
        .replace(" and ", ",")
        .replace(" or ", ",")
        .replace(" with ", ",");
    let parts = lower.split([',', ';', '.', ':', '(', ')', '\n', '&', '+', '•']);
    let measured = |part: &str| {
        part.contains("by weight") || part.contains("estimated") || part.contains("as recorded")
    };
    let words = parts
        .filter(|part| !measured(part))
        .map(|part| words(part).join(" "));
    words.filter(|words| !words.is_empty()).collect()
}

fn words(text: &str) -> Vec<String> {
    let words = text.split(|c: char| !c.is_alphabetic() && c != '\'' && c != '’' && c != '-');
    let plain = words.map(|word| word.replace(['\'', '’'], "").to_lowercase());
    plain
        .filter(|word| !word.is_empty() && !FILLERS.contains(&word.as_str()))
        .collect()
}

/// The place, among what it was made of, of the largest part that a name is for.
fn place_of(name: &str, makings: &Makings) -> Option<usize> {
    makings
        .parts
        .iter()
        .position(|part| is_called(name, &part.kind))
}

/// Tells whether a name is for a kind of stuff: all words of one stand in the other, `straw` for `chopped barley straw`,
/// `horse manure on straw` for `horse manure`; what comes last may be one or many.
fn is_called(name: &str, kind: &str) -> bool {
    let (name, kind) = (stems(name), stems(kind));
    let within = |one: &[String], other: &[String]| {
        !one.is_empty() && one.iter().all(|word| other.contains(word))
    };
    within(&name, &kind) || within(&kind, &name)
}

fn stems(text: &str) -> Vec<String> {
    let stem = |word: String| match word.len() {
        0..4 => word,
        _ => word.strip_suffix('s').map_or(word.clone(), str::to_owned),
    };
    words(text).into_iter().map(stem).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn makings() -> Makings {
        let part = |(kind, share): (&str, f64)| Part {
            kind: kind.to_owned(),
            share: Some(share),
        };
        let parts = [
            ("horse manure", 0.5),
            ("chopped barley straw", 0.3),
            ("spent brewers' grain", 0.16),
            ("leaf mould", 0.04),
        ];
        Makings {
            parts: parts.map(part).to_vec(),
            guessed: false,
        }
    }

    fn said(own: &str) -> Vec<String> {
        let (refused, warned) = compare(own, &makings(), 0.05);
        let refused = refused.iter().map(ToString::to_string);
        refused
            .chain(warned.iter().map(ToString::to_string))
            .collect()
    }

    #[test]
    fn words_that_follow_the_trace_pass() {
        for own in [
            "Horse manure, barley straw and brewers’ grains. By weight as recorded.",
            "horse manure 50 %; straw 30 %; grain 16 %; leaf mould",
            "Horse manure on straw, straw, spent grain",
            "Manure; chopped straw; brewers grain (and small amounts of leaf mould)",
        ] {
            assert_eq!(said(own), [""; 0], "{own}");
        }
    }

    #[test]
    fn what_is_not_in_it_is_refused() {
        assert_eq!(
            said("Horse manure, straw, grain, coffee grounds"),
            [
                "`made_from` names `coffee grounds`, which is not among what it was made from: horse manure, chopped \
              barley straw, spent brewers' grain, leaf mould"
            ]
        );
    }

    #[test]
    fn what_is_left_out_is_refused_unless_it_is_small() {
        assert_eq!(
            said("Horse manure and straw"),
            ["`made_from` leaves out spent brewers' grain, which is 16.0 % of it"]
        );
    }

    #[test]
    fn another_order_is_warned_of() {
        assert_eq!(
            said("Straw, horse manure, grain"),
            ["`made_from` names chopped barley straw before horse manure, of which there is more"]
        );
    }

    #[test]
    fn shares_that_nobody_knows_are_said() {
        let mut makings = makings();
        makings.parts.iter_mut().for_each(|part| part.share = None);
        let (refused, warned) = compare("Straw", &makings, 0.05);
        assert_eq!((refused, warned), (Vec::new(), vec![Warned::NotHeld]));
        let (refused, _) = compare("Seaweed", &makings, 0.05);
        assert!(matches!(refused[..], [Refused::NotInIt { .. }]));
    }
}
