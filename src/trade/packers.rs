//! Which packers' check suits a pack, by country and by what it declares.
//!
//! Promises not to read as law: it says which published rule is copied here, and what castlot asks for where none is.

use crate::farm::{Quantity, Unit};

use super::place::Place;
use super::tne;

/// The rule a run is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// The average system: on average full, few packs short by more than the TNE, none by more than twice that.
    Average(Ground),
    /// No pack holds less than it declares.
    EachPack(Because),
}

/// Where the average system is written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// SI 2006/659.
    Britain,
    /// Directive 76/211/EEC.
    Union,
}

/// Why castlot asks that no pack falls short.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// It is sold by number.
    Number,
    /// It is over 25 kg or 25 L.
    OverTheBritishScope,
    /// It is over 10 kg or 10 L.
    OverTheUnionScope,
    /// It is under 5 g or 5 mL.
    UnderTheScope,
    /// No average system of the country is copied here.
    Country,
}

/// The ℮ mark is for packs of 5 g or mL up to so many. Directive 76/211/EEC, Article 1.
pub const MOST_WITH_E_MARK: u64 = 10_000;

/// Returns the rule for packs that declare so much, in a country (ISO 3166, two letters).
pub fn rule(country: &str, net: Quantity) -> Rule {
    if net.unit() == Unit::Pieces {
        return Rule::EachPack(Because::Number);
    }
    let (ground, most, over) = match Place::of(country) {
        Place::Britain => (Ground::Britain, tne::MOST, Because::OverTheBritishScope),
        Place::Europe => (Ground::Union, MOST_WITH_E_MARK, Because::OverTheUnionScope),
        Place::States | Place::NewZealand | Place::Australia | Place::Elsewhere => {
            return Rule::EachPack(Because::Country);
        }
    };
    match net.value() {
        declared if declared < tne::LEAST => Rule::EachPack(Because::UnderTheScope),
        declared if declared > most => Rule::EachPack(over),
        _ => Rule::Average(ground),
    }
}

/// Tells whether the ℮ mark is for packs that declare so much: 5 g or mL to 10 kg or L, and nothing sold by number.
pub fn e_mark_reaches(net: Quantity) -> bool {
    let measured = match net.unit() {
        Unit::Grams | Unit::Millilitres => true,
        Unit::Pieces => false,
    };
    measured && (tne::LEAST..=MOST_WITH_E_MARK).contains(&net.value())
}

impl Rule {
    /// Returns the rule's name and where it comes from.
    pub fn told(self) -> &'static str {
        match self {
            Self::Average(Ground::Britain) => {
                "average system, Great Britain (SI 2006/659, as copied here)"
            }
            Self::Average(Ground::Union) => {
                "average system, European Union (Directive 76/211/EEC, as copied here)"
            }
            Self::EachPack(Because::Number) => {
                "no pack below what it declares: what is sold by number is outside the average system"
            }
            Self::EachPack(Because::OverTheBritishScope) => {
                "no pack below what it declares: the average system ends at 25 kg or 25 L (SI 2006/659)"
            }
            Self::EachPack(Because::OverTheUnionScope) => {
                "no pack below what it declares: Directive 76/211/EEC ends at 10 kg or 10 L"
            }
            Self::EachPack(Because::UnderTheScope) => {
                "no pack below what it declares: the average system begins at 5 g or 5 mL"
            }
            Self::EachPack(Because::Country) => {
                "no pack below what it declares: no average system of this country is copied here"
            }
        }
    }

    /// Returns what a run meets, or does not: a published plan, or no more than castlot's own wish.
    pub fn called(self) -> &'static str {
        match self {
            Self::Average(_) => "the plan as copied here",
            Self::EachPack(_) => "what castlot asks for",
        }
    }

    /// Returns what else is to be said once, where anything is.
    pub fn beside(self) -> Option<&'static str> {
        match self {
            Self::Average(Ground::Britain) => {
                Some("Northern Ireland has regulations of its own, which may differ.")
            }
            Self::Average(Ground::Union) | Self::EachPack(_) => None,
        }
    }
}

/// Said once on every report.
pub const INSPECTORS_TEST: &str = "This is your own check. The inspector's test is the inspector's: other packs, other scales, and rules that may have changed since they were copied here.";

#[cfg(test)]
mod tests {
    use super::*;

    fn grams(value: u64) -> Quantity {
        Quantity::new(value, Unit::Grams)
    }

    /// SI 2006/659, regulation 3 (5 g to 25 kg); Directive 76/211/EEC, Article 1 (to 10 kg); tests/reference/tne.csv.
    #[test]
    fn the_average_system_begins_and_ends_where_the_reference_says() {
        let reference = include_str!("../../tests/reference/tne.csv");
        assert!(
            reference.contains("scope_GB,5,25000,") && reference.contains("scope_e_mark,5,10000,")
        );
        let britain = Rule::Average(Ground::Britain);
        assert_eq!(
            (rule("GB", grams(5)), rule("GB", grams(25_000))),
            (britain, britain)
        );
        assert_eq!(rule("GB", grams(4)), Rule::EachPack(Because::UnderTheScope));
        assert_eq!(
            rule("GB", grams(25_001)),
            Rule::EachPack(Because::OverTheBritishScope)
        );
        assert_eq!(rule("IE", grams(10_000)), Rule::Average(Ground::Union));
        assert_eq!(
            rule("DE", grams(10_001)),
            Rule::EachPack(Because::OverTheUnionScope)
        );
        assert!(e_mark_reaches(grams(5)) && e_mark_reaches(grams(10_000)));
        assert!(!e_mark_reaches(grams(4)) && !e_mark_reaches(grams(10_001)));
    }

    #[test]
    fn worms_by_number_and_other_countries_go_by_the_pack() {
        let worms = Quantity::new(50, Unit::Pieces);
        for country in ["GB", "IE", "US"] {
            assert_eq!(rule(country, worms), Rule::EachPack(Because::Number));
        }
        assert_eq!(rule("US", grams(500)), Rule::EachPack(Because::Country));
        assert!(!e_mark_reaches(worms));
    }

    #[test]
    fn nothing_reads_as_law_or_as_a_clearance() {
        let rules = [
            Rule::Average(Ground::Britain),
            Rule::Average(Ground::Union),
            Rule::EachPack(Because::Number),
            Rule::EachPack(Because::OverTheBritishScope),
            Rule::EachPack(Because::OverTheUnionScope),
            Rule::EachPack(Because::UnderTheScope),
            Rule::EachPack(Because::Country),
        ];
        let banned = ["required", "legal", "approved", "safe", "must"];
        for rule in rules {
            let text = format!("{} {INSPECTORS_TEST}", rule.told()).to_lowercase();
            assert!(banned.iter().all(|word| !text.contains(word)), "{text}");
        }
    }
}
