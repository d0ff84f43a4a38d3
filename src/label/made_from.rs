//! What a lot was made from, in words: the kinds of deliveries in it, by weight as recorded, in falling share.
//!
//! Names no supplier. What is not known is said; nothing is made up.

use crate::farm::{Farm, LotId, Portion, Settings};

use super::makings::{Makings, Part};

/// Constituents up to this share are folded into the small amounts where the farm does not set another (Regulation
/// (EU) 2019/1009, Annex III, lists those above 5 %).
const SMALL: f64 = 0.05;

/// So many of the small ones are named; more are said to be others.
const SMALL_NAMED: usize = 3;

/// Returns the share up to which a constituent is folded into the small amounts.
pub fn small_share(settings: &Settings) -> f64 {
    let own = |share: Portion| f64::from(share.parts()) / f64::from(share.of());
    settings.small_share.map_or(SMALL, own)
}

/// Writes what a lot was made from; `None` where nothing that counts went into it.
pub fn made_from(farm: &Farm, id: LotId, settings: &Settings) -> Option<String> {
    let makings = Makings::of(farm, id);
    if makings.parts.is_empty() {
        return None;
    }
    Some(match makings.is_known() {
        true => by_share(&makings, small_share(settings)),
        false => without_shares(&makings),
    })
}

fn by_share(makings: &Makings, small: f64) -> String {
    let is_large = |part: &&Part| part.share.is_some_and(|share| share > small);
    let (named, small): (Vec<_>, Vec<_>) = makings.parts.iter().partition(is_large);
    let mut words: Vec<String> = named
        .iter()
        .map(|part| {
            format!(
                "{}, {}",
                part.kind,
                per_cent(part.share.unwrap_or_default())
            )
        })
        .collect();
    if !small.is_empty() {
        words.push(match words.is_empty() {
            true => format!("small amounts of {}", small_ones(&small)),
            false => format!("and small amounts of {}", small_ones(&small)),
        });
    }
    let basis = match makings.guessed {
        true => "By weight as recorded, in part estimated.",
        false => "By weight as recorded.",
    };
    format!("{}. {basis}", capital(&words.join("; ")))
}

fn per_cent(share: f64) -> String {
    format!("{:.0}\u{A0}%", share * 100.0)
}

/// Names the small ones, as many as there is room for.
fn small_ones(small: &[&Part]) -> String {
    let kinds: Vec<&str> = small.iter().map(|part| &*part.kind).collect();
    match kinds.as_slice() {
        many if many.len() > SMALL_NAMED => format!("{} others", many.len()),
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        few => few.concat(),
    }
}

fn without_shares(makings: &Makings) -> String {
    let kinds: Vec<&str> = makings.parts.iter().map(|part| &*part.kind).collect();
    format!(
        "{}. How much of each is not known.",
        capital(&kinds.join(", "))
    )
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
    use crate::farm::{Amount, BatchKind, Draw, Event, QrForm, Typed};
    use crate::label::example::{delivery, draw, farm_of, id, new, settings};

    fn said(from: Vec<Draw<Typed>>) -> String {
        said_with(from, &plain())
    }

    fn plain() -> Settings {
        settings(QrForm::Text, None, None)
    }

    fn said_with(from: Vec<Draw<Typed>>, settings: &Settings) -> String {
        let kind = BatchKind::Bedding;
        let lot = new("heap");
        let farm = farm_of([
            delivery("straw-1", "Barley straw, damp"),
            delivery("straw-2", "barley straw"),
            delivery("card-1", "shredded board"),
            delivery("leaf-1", "leaf mould"),
            Event::Blend { lot, kind, from },
        ]);
        let text = made_from(&farm, id(&farm, "heap"), settings).unwrap();
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
    fn what_is_five_per_cent_or_less_is_folded_and_a_guess_is_said() {
        let mut from = vec![
            draw("straw-1", 9000),
            draw("card-1", 500),
            draw("leaf-1", 500),
        ];
        from[0].amount = Amount::Guess(from[0].amount.quantity().unwrap());
        let wanted = "Barley straw, 90\u{A0}%; and small amounts of leaf mould and shredded board. By weight as \
                      recorded, in part estimated.";
        assert_eq!(said(from), wanted);
    }

    #[test]
    fn an_amount_that_nobody_knows_is_said() {
        let mut from = vec![draw("straw-1", 9000), draw("card-1", 500)];
        from[1].amount = Amount::Unknown;
        let wanted = "Barley straw, shredded board. How much of each is not known.";
        assert_eq!(said(from), wanted);
    }

    #[test]
    fn the_farm_sets_what_is_small_and_many_small_ones_are_counted() {
        let from = vec![
            draw("straw-1", 9000),
            draw("card-1", 500),
            draw("leaf-1", 500),
        ];
        let settings = Settings {
            small_share: Portion::new(4, 100),
            ..plain()
        };
        let text = said_with(from, &settings);
        assert!(
            text.contains("; leaf mould, 5\u{A0}%; shredded board, 5\u{A0}%."),
            "{text}"
        );
        let part = |kind: &str| Part {
            kind: kind.to_owned(),
            share: Some(0.01),
        };
        let small = ["a", "b", "c", "d"].map(part);
        let small: Vec<&Part> = small.iter().collect();
        assert_eq!(small_ones(&small), "4 others");
        assert_eq!(small_ones(&small[..3]), "a, b and c");
        assert_eq!(small_ones(&small[..1]), "a");
    }
}
