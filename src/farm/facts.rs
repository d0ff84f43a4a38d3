//! What an entry says beside the stuff it moves: the columns of the longer rows.

use jiff::civil::Date;

use super::amount::{Quantity, Unit};
use super::bin_code::{Mark, Place};
use super::kinds::{DeliveryKind, FeedLeft, HaySprayed, HeatTreated, Squeeze};
use super::word::Word;

/// A decimal as somebody wrote it: a temperature, a pH, a test's value.
///
/// Kept as text, because it is only ever shown, and 7.0 is not the same record as 7.
pub type Reading = Box<str>;

/// What is known of a bin as a box.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BinFacts {
    /// The species it is meant for.
    pub species: Option<Box<str>>,
    /// Its inner length in millimetres.
    pub length_mm: Option<u32>,
    /// Its inner width in millimetres.
    pub width_mm: Option<u32>,
    /// Its inner depth in millimetres.
    pub depth_mm: Option<u32>,
    /// What it is made of.
    pub material: Option<Box<str>>,
}

/// What is known of a delivery.
#[derive(Clone, Debug, PartialEq)]
pub struct DeliveryFacts {
    /// What it is.
    pub kind: DeliveryKind,
    /// What it is called.
    pub name: Box<str>,
    /// Who it came from.
    pub supplier: Word,
    /// The supplier's own lot number.
    pub supplier_lot: Option<Box<str>>,
    /// The worms' species.
    pub species: Option<Box<str>>,
    /// The animals behind a manure.
    pub animal: Option<Box<str>>,
    /// Where it grew or was made.
    pub origin: Option<Box<str>>,
    /// Its age in days when it came.
    pub age_days: Option<u32>,
    /// Whether it was heat treated.
    pub heat_treated: Option<HeatTreated>,
    /// Where the hay behind a manure came from.
    pub hay_from: Option<Box<str>>,
    /// What was said of weedkiller on that hay.
    pub hay_sprayed: Option<HaySprayed>,
    /// The wormer the animals had.
    pub wormer: Option<Box<str>>,
    /// When they had it.
    pub wormed_on: Option<Date>,
    /// Who said all that.
    pub said_by: Option<Word>,
    /// When.
    pub said_on: Option<Date>,
    /// Where a sample of it is kept.
    pub kept_sample: Option<Box<str>>,
    /// The number of a certificate.
    pub certificate: Option<Box<str>>,
}

impl DeliveryFacts {
    /// Makes the facts that every delivery has; the rest is not known.
    pub fn of(kind: DeliveryKind, name: &str, supplier: &str) -> Self {
        Self {
            kind,
            name: name.into(),
            supplier: Word::Said(supplier.into()),
            supplier_lot: None,
            species: None,
            animal: None,
            origin: None,
            age_days: None,
            heat_treated: None,
            hay_from: None,
            hay_sprayed: None,
            wormer: None,
            wormed_on: None,
            said_by: None,
            said_on: None,
            kept_sample: None,
            certificate: None,
        }
    }
}

/// What somebody saw in a bed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CheckFacts {
    /// How much of the last feed is left.
    pub feed_left: Option<FeedLeft>,
    /// What a handful gives.
    pub squeeze: Option<Squeeze>,
    /// Moisture in per cent.
    pub moisture: Option<Reading>,
    /// Degrees Celsius in the bed.
    pub temperature_c: Option<Reading>,
    /// pH of the bed.
    pub ph: Option<Reading>,
    /// The look of the worms.
    pub worms: Option<Box<str>>,
    /// The look of the cocoons.
    pub cocoons: Option<Box<str>>,
    /// The smell.
    pub smell: Option<Box<str>>,
    /// Mites, flies and the like.
    pub pests: Option<Box<str>>,
}

/// What was found out about a lot.
#[derive(Clone, Debug, PartialEq)]
pub struct TestFacts {
    /// Which test: `density`, `per_kg`, `bean`, `moisture`, or any other.
    pub test: Box<str>,
    /// What it gave.
    pub value: Reading,
    /// In what unit.
    pub unit: Option<Box<str>>,
    /// By what method.
    pub method: Option<Box<str>>,
    /// Who did it.
    pub lab: Option<Box<str>>,
    /// Pass or fail, or another finding.
    pub result: Option<Box<str>>,
}

/// What somebody who complains says.
#[derive(Clone, Debug, PartialEq)]
pub struct ComplaintFacts {
    /// Its name; `None` in lines written before complaints had one.
    pub name: Option<Mark>,
    /// What they saw.
    pub sign: Word,
    /// The code as it was heard.
    pub heard: Option<Word>,
    /// The product as they called it.
    pub product: Option<Box<str>>,
    /// Where they bought it.
    pub bought_at: Option<Box<str>>,
    /// About when.
    pub bought_about: Option<Box<str>>,
    /// How to reach them.
    pub contact: Option<Word>,
}

/// What came out of a printer.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintFacts {
    /// The label's template.
    pub template: Box<str>,
    /// The printer.
    pub printer: Box<str>,
    /// How many labels were printed.
    pub printed: u32,
    /// How many of them were spoiled.
    pub spoiled: u32,
    /// SHA-256 of the file that was printed.
    pub digest: Box<str>,
    /// Why it was printed again or despite something.
    pub why: Option<Box<str>>,
}

/// A bin as it stands: where, and what is known of the box.
#[derive(Clone, Debug, PartialEq)]
pub struct BinStanding {
    /// Where it stands.
    pub place: Place,
    /// What is known of it.
    pub facts: BinFacts,
}

/// A bulk density or a count to the kilogram, from a test's value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Thousandths of g/L, or of pieces a kilogram.
    thousandths: u64,
}

impl Rate {
    /// Reads a positive decimal of at most three places.
    pub fn read(text: &str) -> Option<Self> {
        let (whole, part) = text.trim().split_once('.').unwrap_or((text.trim(), ""));
        let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || whole.len() > 9 || part.len() > 3 || !digits(whole) || !digits(part)
        {
            return None;
        }
        let thousandths = format!("{whole}{part:0<3}").parse().ok()?;
        (thousandths > 0).then_some(Self { thousandths })
    }

    /// Makes a rate of so many thousandths of its unit; none of nothing.
    pub(super) fn of_thousandths(thousandths: u128) -> Option<Self> {
        let thousandths = u64::try_from(thousandths).ok()?;
        (thousandths > 0).then_some(Self { thousandths })
    }

    /// Returns the rate in thousandths of its unit.
    pub fn thousandths(self) -> u64 {
        self.thousandths
    }
}

impl std::fmt::Display for Rate {
    /// Writes it as a decimal: `576`, `576.5`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = format!(
            "{}.{:03}",
            self.thousandths / 1_000,
            self.thousandths % 1_000
        );
        f.pad(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

/// Turns a quantity by a rate: litres into grams or kilograms into pieces where `direct`, else the other way.
pub(super) fn converted(from: Quantity, rate: Rate, to: Unit, direct: bool) -> Option<Quantity> {
    let value = u128::from(from.value());
    let rate = u128::from(rate.thousandths());
    // One litre is 1000 mL (a kilogram 1000 g) and a rate is in thousandths: a million stands between the two.
    let product = if direct {
        value * rate / 1_000_000
    } else {
        value * 1_000_000 / rate
    };
    u64::try_from(product)
        .ok()
        .map(|value| Quantity::new(value, to))
}
