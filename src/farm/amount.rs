//! Quantities of stuff: grams, millilitres and pieces, and how sure somebody was of them.
//!
//! Whole numbers, because a mass balance must add up; no floats here.

use std::collections::BTreeMap;
use std::fmt;

/// What a quantity is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Grams of mass.
    Grams,
    /// Millilitres of volume.
    Millilitres,
    /// Pieces: worms, bags, lids.
    Pieces,
}

/// A quantity: a whole number of grams, millilitres or pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Quantity {
    value: u64,
    unit: Unit,
}

/// The largest quantity: a million tonnes, so that sums of sums stay within 64 bits.
const LARGEST: u64 = 1_000_000_000_000;

/// Why a text is not an amount.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AmountError {
    /// Nothing was typed.
    #[error(
        "there is no amount; write one as in `2.4kg`, `18L` or `40`, or `?` where nobody knows"
    )]
    Empty,
    /// The unit is not one we know.
    #[error(
        "`{typed}` has the unit `{unit}`, which is not known; use g, kg, mL, L, none for pieces, or one from [measure]"
    )]
    Unit {
        /// What was typed.
        typed: String,
        /// The part after the number.
        unit: String,
    },
    /// The number has a comma.
    #[error(
        "`{typed}` has a comma in its number; write a point for part of a unit, as in `2.4kg`, and nothing between thousands"
    )]
    Comma {
        /// What was typed.
        typed: String,
    },
    /// The number part is not a number.
    #[error(
        "`{typed}` is not an amount; write one as in `2.4kg`, `18L` or `40`, or `?` where nobody knows"
    )]
    Number {
        /// What was typed.
        typed: String,
    },
    /// The number is finer than the smallest unit.
    #[error("`{typed}` is finer than a whole {smallest}")]
    TooFine {
        /// What was typed.
        typed: String,
        /// The smallest unit that is kept.
        smallest: &'static str,
    },
    /// The number is too large to be meant.
    #[error("`{typed}` is too large to be meant")]
    TooLarge {
        /// What was typed.
        typed: String,
    },
    /// It is zero where something must have been there.
    #[error("`{typed}` is nothing; leave the row out, or write `?` where nobody knows")]
    Nothing {
        /// What was typed.
        typed: String,
    },
}

impl Quantity {
    /// Makes a quantity of so many whole units.
    pub fn new(value: u64, unit: Unit) -> Self {
        Self {
            value: value.min(LARGEST),
            unit,
        }
    }

    /// Returns the number of whole units.
    pub fn value(self) -> u64 {
        self.value
    }

    /// Returns the unit.
    pub fn unit(self) -> Unit {
        self.unit
    }

    /// Reads a quantity such as `2.4kg`; `measures` are the farm's own.
    pub fn read(text: &str, measures: &Measures) -> Result<Self, AmountError> {
        match Amount::read(text, measures)? {
            Amount::Weighed(quantity) | Amount::Guess(quantity) => Ok(quantity),
            Amount::Unknown => Err(AmountError::Number {
                typed: text.to_owned(),
            }),
        }
    }
}

impl fmt::Display for Quantity {
    /// Writes it so that reading gives the same: `2.4kg`, `350g`, `18L`, `250mL`, `40`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (small, large) = match self.unit {
            Unit::Grams => ("g", "kg"),
            Unit::Millilitres => ("mL", "L"),
            Unit::Pieces => return f.pad(&self.value.to_string()),
        };
        if self.value < 1000 {
            return f.pad(&format!("{}{small}", self.value));
        }
        let (whole, part) = (self.value / 1000, self.value % 1000);
        let text = format!("{whole}.{part:03}");
        f.pad(&format!(
            "{}{large}",
            text.trim_end_matches('0').trim_end_matches('.')
        ))
    }
}

/// How much, and how sure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Amount {
    /// Weighed, measured or counted.
    Weighed(Quantity),
    /// A guess, written with `~`.
    Guess(Quantity),
    /// Nobody knows, written `?`.
    Unknown,
}

impl Amount {
    /// Returns the quantity, where anybody knows one.
    pub fn quantity(self) -> Option<Quantity> {
        match self {
            Self::Weighed(quantity) | Self::Guess(quantity) => Some(quantity),
            Self::Unknown => None,
        }
    }

    /// Tells whether it was weighed, measured or counted.
    pub fn is_weighed(self) -> bool {
        matches!(self, Self::Weighed(_))
    }

    /// Reads an amount such as `2.4kg`, `~2kg`, `2 scoop` or `?`.
    pub fn read(text: &str, measures: &Measures) -> Result<Self, AmountError> {
        let typed = text.trim();
        if typed == "?" {
            return Ok(Self::Unknown);
        }
        let (guess, rest) = match typed.strip_prefix('~') {
            Some(rest) => (true, rest.trim_start()),
            None => (false, typed),
        };
        if rest.is_empty() {
            return Err(AmountError::Empty);
        }
        let split = rest
            .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
            .unwrap_or(rest.len());
        let (number, unit) = (&rest[..split], rest[split..].trim());
        let own = measures.get(unit).filter(|_| !unit.is_empty());
        let (smallest, factor) = match (unit, own) {
            ("g" | "G", _) => (Unit::Grams, 1),
            ("kg" | "Kg" | "KG", _) => (Unit::Grams, 1000),
            ("mL" | "ml" | "ML", _) => (Unit::Millilitres, 1),
            ("L" | "l", _) => (Unit::Millilitres, 1000),
            ("", _) => (Unit::Pieces, 1),
            (_, Some(measure)) => (measure.quantity.unit(), measure.quantity.value()),
            _ if number.is_empty() => {
                return Err(AmountError::Number {
                    typed: typed.to_owned(),
                });
            }
            _ => {
                return Err(AmountError::Unit {
                    typed: typed.to_owned(),
                    unit: unit.to_owned(),
                });
            }
        };
        let quantity = Quantity {
            value: scale(number, typed, factor, smallest)?,
            unit: smallest,
        };
        let guess = guess || own.is_some_and(|measure| measure.guess);
        Ok(if guess {
            Self::Guess(quantity)
        } else {
            Self::Weighed(quantity)
        })
    }
}

/// Returns a decimal number times a factor, where the product is whole.
fn scale(number: &str, typed: &str, factor: u64, unit: Unit) -> Result<u64, AmountError> {
    if number.contains(',') {
        return Err(AmountError::Comma {
            typed: typed.to_owned(),
        });
    }
    let bad = || AmountError::Number {
        typed: typed.to_owned(),
    };
    let large = || AmountError::TooLarge {
        typed: typed.to_owned(),
    };
    let (whole, part) = number.split_once('.').unwrap_or((number, ""));
    if whole.is_empty() || part.contains('.') || (number.contains('.') && part.is_empty()) {
        return Err(bad());
    }
    let part = part.trim_end_matches('0');
    if whole.len() > 15 || part.len() > 12 {
        return Err(if whole.len() > 15 {
            large()
        } else {
            too_fine(typed, unit)
        });
    }
    let places = u32::try_from(part.len()).expect("at most twelve places");
    let one = 10_u128.pow(places);
    let digits: u128 = format!("{whole}{part}").parse().map_err(|_| bad())?;
    let product = digits.checked_mul(factor.into()).ok_or_else(large)?;
    if !product.is_multiple_of(one) {
        return Err(too_fine(typed, unit));
    }
    let value = u64::try_from(product / one).map_err(|_| large())?;
    match value {
        0 => Err(AmountError::Nothing {
            typed: typed.to_owned(),
        }),
        1..=LARGEST => Ok(value),
        _ => Err(large()),
    }
}

fn too_fine(typed: &str, unit: Unit) -> AmountError {
    let smallest = match unit {
        Unit::Grams => "gram",
        Unit::Millilitres => "millilitre",
        Unit::Pieces => "piece; write the unit, as in `2.4kg`",
    };
    AmountError::TooFine {
        typed: typed.to_owned(),
        smallest,
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Weighed(quantity) => quantity.fmt(f),
            Self::Guess(quantity) => f.pad(&format!("~{quantity}")),
            Self::Unknown => f.pad("?"),
        }
    }
}

/// One of the farm's own measures, such as a scoop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measure {
    /// What one of it holds.
    pub quantity: Quantity,
    /// Whether that is a guess.
    pub guess: bool,
}

/// The farm's own measures, by name.
pub type Measures = BTreeMap<String, Measure>;

#[cfg(test)]
#[path = "amount_test.rs"]
mod tests;
