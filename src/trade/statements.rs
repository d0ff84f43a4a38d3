//! What a label says: the statements that castlot asks for, by kind of product and by country.
//!
//! One table, each row with its source. A farm's own words may stand in place of castlot's; that a statement is there
//! is all that is asked. No row says that a label which has them all meets any rule.

use crate::farm::PackKind::{Bag, Bottle, Tub};
use crate::farm::{PackKind, Product, Unit};

use super::cautions::{COMMON, Caution, cautions};
use super::place::{EVERYWHERE, Place};

/// Something that a label says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Statement {
    /// What it is called.
    Name,
    /// How much is in it.
    Quantity,
    /// What it was made from.
    MadeFrom,
    /// How to use it.
    Use,
    /// How to keep it.
    Keeping,
    /// Which lot it is of.
    Lot,
    /// The day it was packed.
    Packed,
    /// The day it is best by.
    BestBy,
    /// The animals, in plain words or in Latin.
    Species,
    /// Whose it is.
    Producer,
    /// Where that is.
    Address,
    /// What to take care of.
    Caution(&'static str),
}

/// A statement that is asked for, and who asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The statement.
    pub statement: Statement,
    /// Who says so.
    pub source: &'static str,
}

impl Statement {
    /// Returns what messages call it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Name => "the name",
            Self::Quantity => "the quantity",
            Self::MadeFrom => "what it was made from",
            Self::Use => "how to use it",
            Self::Keeping => "how to keep it",
            Self::Lot => "the lot",
            Self::Packed => "the day it was packed",
            Self::BestBy => "the day it is best by",
            Self::Species => "the species",
            Self::Producer => "who packed it",
            Self::Address => "where it was packed",
            Self::Caution(key) => key,
        }
    }
}

/// Which products of a kind a row is for.
#[derive(Clone, Copy)]
enum Which {
    All,
    /// Those with room for words on both sides: of ten litres or ten kilograms and more (a choice of ours).
    Large,
}

/// A bag of so many grams or millilitres has a label on each side.
const LARGE: u64 = 10_000;

struct Row {
    kinds: &'static [PackKind],
    places: &'static [Place],
    which: Which,
    statement: Statement,
    source: &'static str,
}

const fn row(kinds: &'static [PackKind], statement: Statement, source: &'static str) -> Row {
    Row {
        kinds,
        places: EVERYWHERE,
        which: Which::All,
        statement,
        source,
    }
}

const ALL: &[PackKind] = &[Bag, Tub, Bottle];
/// Where the made-from statement has a published rule to follow.
const UNION: &[Place] = &[Place::Europe];
const NOT_UNION: &[Place] = &[
    Place::Britain,
    Place::States,
    Place::NewZealand,
    Place::Australia,
    Place::Elsewhere,
];
const INGREDIENTS: &str = "Regulation (EU) 2019/1009 Annex III";

#[rustfmt::skip]
static ROWS: &[Row] = &[
    row(&[Bag, Bottle], Statement::Name, COMMON),
    row(&[Tub], Statement::Species, COMMON),
    row(ALL, Statement::Quantity, COMMON),
    Row { places: UNION, ..row(&[Bag], Statement::MadeFrom, INGREDIENTS) },
    Row { places: NOT_UNION, ..row(&[Bag], Statement::MadeFrom, COMMON) },
    Row { which: Which::Large, ..row(&[Bag], Statement::Use, COMMON) },
    Row { which: Which::Large, ..row(&[Bag], Statement::Keeping, COMMON) },
    row(&[Tub], Statement::Keeping, COMMON),
    row(ALL, Statement::Lot, COMMON),
    row(ALL, Statement::Packed, COMMON),
    row(&[Tub, Bottle], Statement::BestBy, COMMON),
    row(&[Bag], Statement::Producer, COMMON),
    row(&[Bag], Statement::Address, COMMON),
];

/// Tells whether a product holds so much that it has room for words on both sides.
pub fn is_large(product: &Product) -> bool {
    product.net.unit() != Unit::Pieces && product.net.value() >= LARGE
}

/// Returns what castlot asks for on the labels of a pack of a product, sold in a country (ISO 3166, two letters).
pub fn statements(product: &Product, country: &str) -> Vec<Asked> {
    let place = Place::of(country);
    let large = is_large(product);
    let fits = |row: &&Row| {
        let which = match row.which {
            Which::All => true,
            Which::Large => large,
        };
        which && row.kinds.contains(&product.kind) && row.places.contains(&place)
    };
    let rows = ROWS.iter().filter(fits).map(|row| Asked {
        statement: row.statement,
        source: row.source,
    });
    let warned = cautions(product.kind, country);
    let warned = warned.into_iter().map(|Caution { key, source, .. }| Asked {
        statement: Statement::Caution(key),
        source,
    });
    rows.chain(warned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::Quantity;

    fn asked(kind: PackKind, net: Quantity, country: &str) -> Vec<Asked> {
        let product = Product {
            key: "x".into(),
            name: "x".into(),
            kind,
            net,
            gtin: None,
            best_by_days: None,
            best_by_month_end: false,
        };
        statements(&product, country)
    }

    #[test]
    fn a_large_bag_says_how_to_use_it_and_a_small_one_has_no_room() {
        let uses = |millilitres| {
            let net = Quantity::new(millilitres, Unit::Millilitres);
            let asked = asked(Bag, net, "GB");
            asked.iter().any(|asked| asked.statement == Statement::Use)
        };
        assert!(uses(10_000));
        assert!(!uses(9_999));
    }

    #[test]
    fn every_kind_says_quantity_lot_and_day_in_every_country_and_nothing_twice() {
        for country in ["GB", "IE", "US", "NZ", "AU", "CA"] {
            for kind in PackKind::ALL {
                let asked = asked(*kind, Quantity::new(50, Unit::Grams), country);
                let said: Vec<Statement> = asked.iter().map(|asked| asked.statement).collect();
                for wanted in [Statement::Quantity, Statement::Lot, Statement::Packed] {
                    assert!(said.contains(&wanted), "{kind} {country}");
                }
                let twice = said
                    .iter()
                    .enumerate()
                    .any(|(at, one)| said[..at].contains(one));
                assert!(!twice, "{kind} {country}: {said:?}");
                assert!(asked.iter().all(|asked| !asked.source.is_empty()));
            }
        }
    }

    #[test]
    fn the_made_from_statement_has_its_published_source_in_the_union_alone() {
        let source = |country| {
            let asked = asked(Bag, Quantity::new(5000, Unit::Grams), country);
            let made_from = |asked: &&Asked| asked.statement == Statement::MadeFrom;
            asked.iter().find(made_from).map(|asked| asked.source)
        };
        assert_eq!(source("DE"), Some(INGREDIENTS));
        assert_eq!(source("GB"), Some(COMMON));
    }
}
