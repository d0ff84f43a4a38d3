//! Tests of which words are claims, and which only look like one.

use super::*;
use crate::farm::PackKind;
use crate::trade::{cautions, how_to_store, how_to_store_in_short, how_to_use, in_trouble};

fn found(text: &str) -> Vec<String> {
    let claims = Claims::with([]);
    claims
        .found(text)
        .into_iter()
        .map(|claim| claim.name)
        .collect()
}

/// Each with the one claim that it makes.
const CLAIMS: &[(&str, &str)] = &[
    ("Organic", "organic"),
    ("made from organically fed horses", "organic"),
    ("peat free", "peat-free"),
    ("Peat-free", "peat-free"),
    ("PEATFREE", "peat-free"),
    ("contains no peat at all", "peat-free"),
    ("free from peat", "peat-free"),
    ("without any peat", "peat-free"),
    ("0 % peat", "peat-free"),
    ("no manure", "manure-free"),
    ("pathogen-free", "pathogen-free"),
    ("free of germs", "pathogen-free"),
    ("no pests", "pest-free"),
    ("sterile", "sterile"),
    ("heat sterilised", "sterile"),
    ("sterilized by steam", "sterile"),
    ("Safe for pets", "safe"),
    ("child-safe", "safe"),
    ("sanitised", "sanitised"),
    ("sanitized", "sanitised"),
    ("approved by growers", "approved"),
    ("certified", "certified"),
    ("with certificate", "certified"),
    ("lab tested", "tested"),
    ("Tested.", "tested"),
    ("compostable bag", "compostable"),
    ("weed free", "weed-free"),
    ("no weed seeds", "weed-free"),
    ("herbicide-free", "herbicide-free"),
    ("no weedkiller", "herbicide-free"),
    ("from unsprayed hay", "herbicide-free"),
    ("chemical-free", "chemical-free"),
    ("no added chemicals", "chemical-free"),
    ("fertiliser", "fertiliser"),
    ("Fertilizer", "fertiliser"),
    ("fertilises", "fertiliser"),
    ("plant food", "plant food"),
    ("Feeds your tomatoes", "plant food"),
    ("feeds all summer", "plant food"),
    ("a liquid feed", "plant food"),
    ("feed the soil", "plant food"),
    ("NPK 3-1-2", "NPK"),
    ("N-P-K 3-1-2", "NPK"),
    ("N:P:K", "NPK"),
    ("N.P.K.", "NPK"),
    ("2 % nitrogen", "NPK"),
    ("controls pests", "pest control"),
    ("keeps and repels all kinds of slugs", "pest control"),
    ("kills fungus gnats", "pest control"),
    ("disease-suppressing", "pest control"),
    ("slug repellent", "pest control"),
    ("prevents blight", "pest control"),
];

/// What only looks like a claim.
const NONE: &[&str] = &[
    "unsafe",
    "Keep a safety pin",
    "Live bait: not food or feed.",
    "not a fertiliser",
    "not sterile",
    "non-sterile",
    "This is neither tested nor certified",
    "no fertiliser",
    "fertile ground",
    "inorganic grit",
    "compost",
    "leaf mould and coffee grounds",
    "horse manure, 60 %; barley straw, 40 %",
    "Free-range horses",
    "Lot P26115-07-S/0012",
    "bean-tested",
    "Planted out. Food for thought.",
    "Worms that feed on peelings",
    "approximately 50",
    "Keep dust down, no splashes",
    "Wormery",
    "a heap of peat",
    "Controls are on the lid",
];

#[test]
fn every_claim_is_found_however_it_is_written() {
    for (text, name) in CLAIMS {
        for text in [
            (*text).to_owned(),
            text.to_uppercase(),
            text.replace(' ', "\n"),
        ] {
            assert!(
                found(&text).contains(&(*name).to_owned()),
                "{text}: {:?}",
                found(&text)
            );
        }
    }
}

#[test]
fn every_claim_of_the_list_has_an_example_here() {
    for (name, _, _) in TABLE {
        assert!(CLAIMS.iter().any(|(_, known)| known == name), "{name}");
    }
}

#[test]
fn what_only_looks_like_a_claim_is_none() {
    for text in NONE {
        assert_eq!(found(text), [""; 0], "{text}");
    }
}

#[test]
fn castlots_own_words_make_no_claim() {
    for kind in PackKind::ALL {
        let mut texts = vec![
            how_to_use(*kind),
            how_to_store(*kind),
            how_to_store_in_short(*kind),
            in_trouble(*kind),
        ];
        for country in ["GB", "IE", "US", "NZ", "AU", "CA"] {
            texts.extend(
                cautions(*kind, country)
                    .iter()
                    .flat_map(|c| [c.short, c.long]),
            );
        }
        for text in texts {
            assert_eq!(found(text), [""; 0], "{text}");
        }
    }
}

#[test]
fn the_words_that_make_a_claim_are_said_back_on_one_line() {
    let claims = Claims::with([]).found("A rich mix, free\nfrom  peat, for pots.");
    let [claim] = claims.as_slice() else {
        panic!("{claims:?}")
    };
    assert_eq!(claim.words, "free from peat");
    assert_eq!(claim.about, About::Constituent(Constituent::Peat));
}

#[test]
fn a_farm_adds_claims_of_its_own_and_words_to_those_there_are() {
    let words = [
        vec!["plant-based".to_owned()],
        Vec::new(),
        vec!["bog friendly".to_owned()],
    ];
    let own = [
        ("vegan", &*words[0]),
        ("plastic-free", &*words[1]),
        ("peat-free", &*words[2]),
    ];
    let claims = Claims::with(own);
    let names = |text: &str| -> Vec<String> {
        claims
            .found(text)
            .into_iter()
            .map(|claim| claim.name)
            .collect()
    };
    assert_eq!(names("Plant based"), ["vegan"]);
    assert_eq!(names("no plastic"), ["plastic-free"]);
    assert_eq!(names("bog-friendly"), ["peat-free"]);
    assert_eq!(names("no peat"), ["peat-free"]);
    assert_eq!(
        names("vegan"),
        [""; 0],
        "the words stand in place of the name"
    );
}

#[test]
fn a_thing_is_named_unless_the_name_says_it_is_free_of_it() {
    let peat = |text: &str| Constituent::Peat.is_named_in(text);
    assert!(peat("moss peat, fine"));
    assert!(peat("PEAT"));
    assert!(!peat("peat-free potting mix"));
    assert!(!peat("repeat load of straw"));
    assert!(Constituent::Manure.is_named_in("well-rotted dung"));
}
