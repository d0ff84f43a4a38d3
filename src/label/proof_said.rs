//! What a laid-out label says, read back from it: its words in order, and the quantities it gives.

use crate::farm::Unit;

use super::field::Field;
use super::item::{Item, Layout, TextRun};
use super::length::Length;

/// Between what does not belong to one sentence.
const APART: &str = " • ";

/// Reads a label's words, in the order of the template: lines that were broken are whole again, and the words of
/// pictures are among them.
pub fn text_of(label: &Layout) -> String {
    text_without(label, &[])
}

/// Reads a label's words but for those of some fields.
fn text_without(label: &Layout, without: &[Field]) -> String {
    let mut text = String::new();
    let mut before: Option<&TextRun> = None;
    for item in &label.items {
        for run in item.runs() {
            if without.iter().any(|field| run.fields.has(*field)) {
                continue;
            }
            text.push_str(before.map_or("", |before| between(before, run)));
            text.push_str(&run.text);
            before = Some(run);
        }
        if let Item::Picture(placed) = item
            && let Some(words) = &placed.picture.words
        {
            text.push_str(APART);
            text.push_str(words);
            text.push_str(APART);
        }
    }
    text
}

/// What stands between two runs of text: nothing within a word that two faces share, a space between the lines of one
/// text or of the template's own words.
fn between(before: &TextRun, after: &TextRun) -> &'static str {
    let goes_on = before.origin.y == after.origin.y && before.area.right() == after.origin.x;
    match (goes_on, before.fields == after.fields) {
        (true, _) => "",
        (false, true) => " ",
        (false, false) => APART,
    }
}

/// Fields in which a quantity is no statement of what is in the pack.
const NOT_OF_THE_PACK: &[Field] = &[Field::Use, Field::Store, Field::Cautions, Field::MadeFrom];

/// Which units a label gives quantities of the pack in: pieces (worms) and a weight or a volume.
pub fn units_given(label: &Layout) -> (bool, bool) {
    let text = text_without(label, NOT_OF_THE_PACK).to_lowercase();
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || c == '•')
        .collect();
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    let mut given = (false, false);
    for (at, word) in words.iter().enumerate() {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric());
        let digits = word
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(word.len());
        if digits == 0 {
            continue;
        }
        let unit = match &word[digits..] {
            "" => words.get(at + 1).copied().unwrap_or_default(),
            unit => unit,
        };
        match unit_of(unit.trim_matches(|c: char| !c.is_alphabetic())) {
            Some(Unit::Pieces) => given.0 = true,
            Some(Unit::Grams | Unit::Millilitres) => given.1 = true,
            None => {}
        }
    }
    given
}

fn unit_of(word: &str) -> Option<Unit> {
    match word {
        "worm" | "worms" | "piece" | "pieces" | "pcs" => Some(Unit::Pieces),
        "g" | "kg" | "gram" | "grams" | "gramme" | "grammes" | "kilo" | "kilos" | "oz" | "lb" => {
            Some(Unit::Grams)
        }
        "l" | "ml" | "litre" | "litres" | "liter" | "liters" => Some(Unit::Millilitres),
        _ => None,
    }
}

/// Returns how high the figures of a quantity stand where they are highest, in its field or in the template's own words.
pub fn figures_of(label: &Layout, quantity: &str) -> Option<Length> {
    let runs = label.items.iter().flat_map(Item::runs);
    let of_it = runs.filter(|run| {
        let is_field = run.fields.has(Field::Net) || run.fields.has(Field::Count);
        (is_field || stands_in(quantity, &run.text))
            && run.text.contains(|c: char| c.is_ascii_digit())
    });
    of_it.map(|run| run.face.digit_height(run.size)).max()
}

/// Tells whether words stand in a text, whole, whatever their case and the spaces between them.
pub fn stands_in(words: &str, text: &str) -> bool {
    let plain = |text: &str| {
        let lower = text.to_lowercase();
        lower.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let (words, text) = (plain(words), plain(text));
    let part = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    !words.is_empty()
        && text.match_indices(&words).any(|(at, _)| {
            let before = text[..at].chars().next_back();
            let after = text[at + words.len()..].chars().next();
            let begins = words.chars().next();
            let ends = words.chars().next_back();
            let goes_on = part(before) && part(begins) || part(ends) && part(after);
            !goes_on
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::look::sheet_of;
    use crate::label::sample::content;
    use crate::label::{Template, lay_out};

    fn label(lines: &str, product: &str) -> Layout {
        let text = format!(
            "[[size]]\nwidth = 38\nheight = 21\n[[size.text]]\nat = {{ left = 3, width = 30, top = 3, bottom = 3 }}\n\
             lines = [{lines}]\n"
        );
        let template = Template::parse("x", "x.toml", &text, &Default::default()).unwrap();
        let mut words = content("tub");
        words.fields.insert(Field::Product, product.to_owned());
        lay_out(&template, &words, sheet_of("99x67").cell()).unwrap()
    }

    #[test]
    fn lines_that_were_broken_are_whole_again() {
        let label = label(
            r#"{ text = "{product}", size = 14 }, { text = "made by {farm}", size = 9 }"#,
            "A rich and dark compost free from peat, 3 µm sieved",
        );
        assert!(label.items.len() > 4, "it is broken over lines");
        let wanted =
            "A rich and dark compost free from peat, 3 µm sieved • made by Marlhythe Wormery";
        assert_eq!(text_of(&label), wanted);
    }

    #[test]
    fn a_count_and_a_weight_are_told_apart_wherever_they_stand() {
        let given = |product: &str, lines: &str| units_given(&label(lines, product));
        let name = r#"{ text = "{product}", size = 7 }"#;
        assert_eq!(given("50 worms", name), (true, false));
        assert_eq!(given("250 g of worms", name), (false, true));
        assert_eq!(given("50 worms (25g)", name), (true, true));
        assert_eq!(given("Grade 2 bait", name), (false, false));
        let both = r#"{ text = "{count}, 30 g", size = 7 }"#;
        assert_eq!(given("bait", both), (true, true));
    }

    #[test]
    fn words_stand_in_a_text_as_whole_words_only() {
        assert!(stands_in("20 L", "Net 20\u{A0}l when packed"));
        assert!(!stands_in("20 L", "120 L"));
        assert!(!stands_in("20 L", "20 Large"));
        assert!(stands_in("Wear gloves.", "wear\ngloves. Cover cuts"));
        assert!(!stands_in(" ", "anything"));
    }
}
