//! What the farm sells, as castlot.toml had it when it was packed.

use jiff::ToSpan;
use jiff::civil::Date;

use super::amount::Quantity;
use super::kinds::PackKind;

/// A product, copied into each pack run so that a later edit does not rewrite the past.
#[derive(Clone, Debug, PartialEq)]
pub struct Product {
    /// Its key in castlot.toml, such as `bag20`.
    pub key: Box<str>,
    /// What it is called.
    pub name: Box<str>,
    /// Bag, tub or bottle.
    pub kind: PackKind,
    /// How much one pack holds.
    pub net: Quantity,
    /// Its trade item number, 14 digits, where it has one.
    pub gtin: Option<Gtin>,
    /// How many days after packing it is best by.
    pub best_by_days: Option<u32>,
    /// Whether that is cut back to the last day of a month, as where labels say the month alone.
    pub best_by_month_end: bool,
}

/// The last year that a sheet can write.
const LAST_YEAR: i16 = 2099;

impl Product {
    /// Returns the day that a pack is best by, where the product has a rule for it.
    ///
    /// A month's end is the last one that is no later than the days allow: a rule of months never promises more than
    /// the days. Where there is none after the packing, the days stand.
    pub fn best_by(&self, packed: Date) -> Option<Date> {
        let day = packed.checked_add(i64::from(self.best_by_days?).days());
        let day = day.ok().filter(|day| day.year() <= LAST_YEAR)?;
        let is_end = day == day.last_of_month();
        if !self.best_by_month_end || is_end {
            return Some(day);
        }
        let end = day.first_of_month().yesterday().ok();
        Some(end.filter(|end| *end > packed).unwrap_or(day))
    }
}

/// A GS1 trade item number of 14 digits with a right check digit.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Gtin(Box<str>);

/// Why a text is not a GTIN.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{typed}` is not a GTIN of 8, 12, 13 or 14 digits with a right check digit")]
pub struct GtinError {
    /// What was typed.
    pub typed: String,
}

impl Gtin {
    /// Returns the 14 digits.
    pub fn digits(&self) -> &str {
        &self.0
    }
}

impl std::str::FromStr for Gtin {
    type Err = GtinError;

    /// Reads a GTIN of any length; the check digit is that of the GS1 General Specifications, 7.9.1.
    fn from_str(text: &str) -> Result<Self, GtinError> {
        let bad = || GtinError {
            typed: text.to_owned(),
        };
        let typed = text.trim();
        if !matches!(typed.len(), 8 | 12 | 13 | 14) || !typed.bytes().all(|b| b.is_ascii_digit()) {
            return Err(bad());
        }
        let digits = format!("{typed:0>14}");
        let sum: u32 = digits
            .bytes()
            .zip([3, 1].into_iter().cycle())
            .map(|(b, weight)| u32::from(b - b'0') * weight)
            .sum();
        if sum.is_multiple_of(10) {
            Ok(Self(digits.into()))
        } else {
            Err(bad())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::Unit;
    use jiff::civil::date;

    #[test]
    fn a_months_end_is_never_later_than_the_days_allow() {
        let product = |days| Product {
            key: "bag".into(),
            name: "Castings".into(),
            kind: PackKind::Bag,
            net: Quantity::new(5000, Unit::Millilitres),
            gtin: None,
            best_by_days: Some(days),
            best_by_month_end: true,
        };
        let best_by = |packed, days| product(days).best_by(packed);
        assert_eq!(best_by(date(2026, 4, 25), 365), Some(date(2027, 3, 31)));
        // The day itself ends a month: of 2028, a leap year, on the 29th.
        assert_eq!(best_by(date(2028, 1, 30), 30), Some(date(2028, 2, 29)));
        // No month ends between packing and the day.
        assert_eq!(best_by(date(2026, 4, 2), 14), Some(date(2026, 4, 16)));
        assert_eq!(best_by(date(2026, 4, 30), 14), Some(date(2026, 5, 14)));
    }
}
