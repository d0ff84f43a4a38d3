//! What is not sold before somebody is asked: kitchen waste and manure that was not heated, how a delivery is known
//! for one of them, and whom growers ask in which country.
//!
//! Nothing here says that anything is allowed, or forbidden; who answers is the regulator.

use crate::farm::{DeliveryFacts, DeliveryKind, HeatTreated, KitchenNames, Material};

/// Words in the name of a feedstock that make it kitchen waste, each with the ground for it.
///
/// "All waste food, including used cooking oil, originating in restaurants, catering facilities and kitchens,
/// including central kitchens and household kitchens": Regulation (EU) 142/2011 Annex I, point 22, from memory. The
/// words themselves are common practice, no source.
const KITCHEN_WORDS: [&str; 18] = [
    "kitchen",
    "catering",
    "canteen",
    "restaurant",
    "cafe",
    "café",
    "pub",
    "hotel",
    "school meals",
    "food waste",
    "plate",
    "leftovers",
    "scraps",
    "peelings",
    "swill",
    "household food",
    "coffee grounds",
    "tea leaves",
];

/// Returns what a delivery is that is not sold on before somebody is asked; `None` for everything else.
pub fn material(facts: &DeliveryFacts, own: &KitchenNames) -> Option<Material> {
    match facts.kind {
        DeliveryKind::Manure => match facts.heat_treated {
            Some(HeatTreated::Yes) => None,
            Some(HeatTreated::No | HeatTreated::NotKnown) | None => Some(Material::Manure),
        },
        DeliveryKind::Feedstock => is_kitchen(&facts.name, own).then_some(Material::KitchenWaste),
        DeliveryKind::Bedding
        | DeliveryKind::Worms
        | DeliveryKind::Grit
        | DeliveryKind::Packing => None,
    }
}

/// Tells whether a name has one of the words in it, as a word of its own; the farm's own say goes first.
fn is_kitchen(name: &str, own: &KitchenNames) -> bool {
    let name = words_of(name);
    let has = |word: &str| name.contains(&words_of(word));
    !own.are_not.iter().any(|word| has(word))
        && (own.are.iter().any(|word| has(word)) || KITCHEN_WORDS.into_iter().any(has))
}

/// Writes the words of a text in lower case with a space about each.
fn words_of(text: &str) -> String {
    let text = text.to_lowercase();
    let words = text.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    format!(" {} ", words.join(" "))
}

/// Writes what a material is, for a sentence.
pub fn in_words(material: Material) -> &'static str {
    match material {
        Material::Manure => "manure that was not heat treated, as far as is known",
        Material::KitchenWaste => "kitchen waste",
    }
}

/// Returns whom growers of a country ask.
///
/// Great Britain: GOV.UK "Using animal by-products at compost and biogas sites" (APHA) and "Waste exemption: T26".
/// Elsewhere: common practice, no source.
pub fn whom_to_ask(country: &str) -> &'static str {
    match country {
        "GB" => {
            "the environment regulator (Environment Agency, Natural Resources Wales, SEPA or NIEA) and the animal \
             health agency (APHA; in Northern Ireland DAERA)"
        }
        _ => "the environment regulator and the animal health agency of your country",
    }
}

/// Something that a source says, and how it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Said {
    /// What it is about.
    pub about: Material,
    /// Countries, by ISO 3166; everywhere where there are none.
    pub countries: &'static [&'static str],
    /// What the source says, in our words.
    pub says: &'static str,
    /// The source.
    pub source: &'static str,
    /// The row of `tests/reference/manure_rules.csv` that it is taken from, by its second column.
    row: &'static str,
}

const fn said(
    about: Material,
    countries: &'static [&'static str],
    [says, source, row]: [&'static str; 3],
) -> Said {
    Said {
        about,
        countries,
        says,
        source,
        row,
    }
}

#[rustfmt::skip]
const SAID: [Said; 8] = [
    said(Material::KitchenWaste, &["GB"], [
        "England's exemption T26 speaks of 6 tonnes of kitchen waste and card in 12 months",
        "GOV.UK T26", "T26 wormery exemption"]),
    said(Material::KitchenWaste, &["GB"], [
        "T25 and T26 keep farmed animals away from the composting area and from where the compost is used",
        "GOV.UK T26", "T25/T26 farmed animals"]),
    said(Material::KitchenWaste, &["GB"], [
        "a compost site under the animal by-product rules gives 4 clear tests before it sells or uses",
        "GOV.UK, APHA", "validation of a compost site"]),
    said(Material::KitchenWaste, &["GB"], [
        "the national standard heats catering waste in a closed reactor to 60 C for 2 days, pieces up to 40 cm",
        "national standard (Wales SI 2006/1293 Sch 1 Pt II)", "catering waste, closed reactor"]),
    said(Material::KitchenWaste, &["GB"], [
        "or to 70 C for 1 hour, pieces up to 6 cm",
        "national standard (Wales SI 2006/1293 Sch 1 Pt II)", "catering waste, closed reactor fine"]),
    said(Material::Manure, &["GB"], [
        "processed manure has been at 70 C for 60 minutes",
        "Regulation 142/2011 Annex XI Ch I s 2(b)", "processed manure heat"]),
    said(Material::Manure, &["GB"], [
        "for sale into the EU it is heated to 70 C for 60 minutes at a plant that has approval for it",
        "GOV.UK guidance", "manure heat for sale into the EU"]),
    said(Material::Manure, &["US"], [
        "organic rules wait 120 days from raw manure to a harvest that touches the soil",
        "7 CFR 205.203(c)(1)(ii)", "raw manure, crop touching soil"]),
];

/// Returns what sources say about a material in a country.
pub fn said_of(material: Material, country: &str) -> impl Iterator<Item = &'static Said> {
    let fits = move |said: &&Said| {
        said.about == material && (said.countries.is_empty() || said.countries.contains(&country))
    };
    SAID.iter().filter(fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(kind: DeliveryKind, name: &str) -> Option<Material> {
        material(
            &DeliveryFacts::of(kind, name, "a supplier"),
            &KitchenNames::default(),
        )
    }

    #[test]
    fn kitchen_waste_is_known_by_a_word_of_its_name() {
        let kitchen = Some(Material::KitchenWaste);
        assert_eq!(of(DeliveryKind::Feedstock, "Kitchen peelings"), kitchen);
        assert_eq!(
            of(DeliveryKind::Feedstock, "coffee-grounds, sieved"),
            kitchen
        );
        assert_eq!(of(DeliveryKind::Feedstock, "food   waste"), kitchen);
        for plain in [
            "spent brewers' grain",
            "apple pomace",
            "public park leaves",
            "platelets of bran",
        ] {
            assert_eq!(of(DeliveryKind::Feedstock, plain), None, "{plain}");
        }
        assert_eq!(of(DeliveryKind::Bedding, "kitchen roll"), None);
    }

    #[test]
    fn the_farm_says_what_it_calls_kitchen_waste() {
        let own = KitchenNames {
            are: vec!["barrow".to_owned()],
            are_not: vec!["coffee grounds".to_owned()],
        };
        let of = |name| material(&DeliveryFacts::of(DeliveryKind::Feedstock, name, "x"), &own);
        assert_eq!(of("Tuesday's barrow"), Some(Material::KitchenWaste));
        assert_eq!(of("coffee grounds of a roastery"), None);
    }

    #[test]
    fn manure_counts_until_somebody_says_that_it_was_heated() {
        let mut facts = DeliveryFacts::of(DeliveryKind::Manure, "horse manure", "a yard");
        for heat in [None, Some(HeatTreated::No), Some(HeatTreated::NotKnown)] {
            facts.heat_treated = heat;
            assert_eq!(
                material(&facts, &KitchenNames::default()),
                Some(Material::Manure)
            );
        }
        facts.heat_treated = Some(HeatTreated::Yes);
        assert_eq!(material(&facts, &KitchenNames::default()), None);
    }

    /// Against `manure_rules.csv`: each fact stands there with its source, and its numbers with it.
    #[test]
    fn what_sources_say_is_what_the_list_of_sources_has() {
        let list = include_str!("../../tests/reference/manure_rules.csv");
        let mut reader = csv::Reader::from_reader(list.as_bytes());
        let rows: Vec<csv::StringRecord> =
            reader.records().map(|row| row.expect("a row")).collect();
        assert!(rows.len() > 30, "the list was read");
        for said in SAID {
            let row = rows.iter().find(|row| &row[1] == said.row);
            let row = row.unwrap_or_else(|| panic!("no row `{}`", said.row));
            assert_eq!(&row[4], said.source, "{}", said.row);
            for number in row[2]
                .split(|c: char| !c.is_ascii_digit())
                .filter(|n| !n.is_empty())
            {
                assert!(
                    said.says.split_whitespace().any(|word| word == number),
                    "{number}: {}",
                    said.says
                );
            }
            assert!(!row[5].starts_with("memory"), "{}", said.row);
        }
    }

    #[test]
    fn nothing_reads_as_a_clearance() {
        for text in SAID
            .iter()
            .map(|said| said.says)
            .chain(["GB", "DE"].map(whom_to_ask))
        {
            let words = words_of(text);
            for banned in ["required", "legal", "approved", "safe", "must", "allowed"] {
                assert!(!words.contains(&words_of(banned)), "{text}");
            }
        }
    }
}
