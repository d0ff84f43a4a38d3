//! Reads the tables `[hold]` and `[tonnage."HEADING"]` of castlot.toml: what is held when it comes in, and the farm's
//! own limits on deliveries.

use serde::Deserialize;

use crate::farm::{DeliveryKind, HoldSetting, KindError, Measures, Quantity, TonnageLimit, Unit};

/// A test that has not been read after so many days is not waited for.
const MOST_DAYS: u32 = 366;

/// `[hold]`: deliveries that are held from the day they come until a test is recorded.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoldTable {
    #[serde(default)]
    incoming: Vec<String>,
    until: Option<String>,
    due_days: Option<u32>,
}

impl HoldTable {
    /// Reads the table, or says what is wrong with it.
    pub fn read(&self) -> Result<HoldSetting, String> {
        let usual = HoldSetting::default();
        let until = match self.until.as_deref().map(str::trim) {
            Some("") => return Err("[hold] until is empty; name a test, as in `bean`".to_owned()),
            Some(test) => test.into(),
            None => usual.until,
        };
        let due_days = self.due_days.unwrap_or(usual.due_days);
        if !(1..=MOST_DAYS).contains(&due_days) {
            return Err(format!(
                "[hold] due_days is {due_days}; it is 1 to {MOST_DAYS}"
            ));
        }
        Ok(HoldSetting {
            incoming: kinds(&self.incoming).map_err(|error| format!("[hold] incoming: {error}"))?,
            until,
            due_days,
        })
    }
}

/// `[tonnage."HEADING"]`: what counts, and how much of it the farm takes in twelve months at most.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TonnageTable {
    #[serde(default)]
    kinds: Vec<String>,
    #[serde(default)]
    names: Vec<String>,
    #[serde(default)]
    animals: Vec<String>,
    limit: String,
}

impl TonnageTable {
    /// Reads the table of that heading, or says what is wrong with it.
    pub fn read(&self, heading: &str) -> Result<TonnageLimit, String> {
        let wrong = |message: String| format!("tonnage `{heading}`: {message}");
        let is_empty = |words: &[String]| words.iter().any(|word| word.trim().is_empty());
        if is_empty(&self.names) || is_empty(&self.animals) {
            return Err(wrong("a word is empty".to_owned()));
        }
        if self.kinds.is_empty() && self.names.is_empty() && self.animals.is_empty() {
            return Err(wrong(
                "nothing says what counts; give `kinds`, `names` or `animals`".to_owned(),
            ));
        }
        Ok(TonnageLimit {
            kinds: kinds(&self.kinds).map_err(|error| wrong(error.to_string()))?,
            names: self.names.clone(),
            animals: self.animals.clone(),
            grams: limit(&self.limit).map_err(wrong)?,
        })
    }
}

fn kinds(words: &[String]) -> Result<Vec<DeliveryKind>, KindError> {
    words.iter().map(|word| word.parse()).collect()
}

/// Reads a limit in tonnes or kilograms, in grams.
fn limit(text: &str) -> Result<u64, String> {
    let typed = text.trim();
    let tonnes = typed
        .strip_suffix('t')
        .filter(|number| !number.ends_with(char::is_alphabetic));
    // A thousandth of a tonne is a kilogram.
    let (number, scale) = match tonnes {
        Some(number) => (format!("{}kg", number.trim()), 1_000),
        None => (typed.to_owned(), 1),
    };
    let read = Quantity::read(&number, &Measures::new());
    match read {
        Ok(quantity) if quantity.unit() == Unit::Grams => {
            Ok(quantity.value().saturating_mul(scale))
        }
        Ok(_) | Err(_) => Err(format!(
            "`{text}` is not a weight; write it as in `6t` or `500kg`"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_is_read_in_tonnes_and_in_kilograms() {
        assert_eq!(limit("6t"), Ok(6_000_000));
        assert_eq!(limit("7.5 t"), Ok(7_500_000));
        assert_eq!(limit("500kg"), Ok(500_000));
        for wrong in ["6", "6L", "t", "-1t", "six t", "?"] {
            assert!(limit(wrong).is_err(), "{wrong}");
        }
    }
}
