//! Reads the tables `[round]` and `[feeding."SPECIES"]` of castlot.toml.

use serde::Deserialize;

use crate::farm::{FeedingSetting, FirstShelf, RoundSetting};

/// No bed waits longer than this.
const MOST_DAYS: u32 = 60;
/// Worms do not eat more than this many times their weight in a day.
const MOST_RATE: f64 = 2.0;

/// `[round]`: when beds are looked at again, and where shelves are counted from.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoundTable {
    look_days: Option<u32>,
    settle_days: Option<u32>,
    first_shelf: Option<Shelf>,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Shelf {
    Top,
    Bottom,
}

impl RoundTable {
    /// Reads the table, or says what is wrong with it.
    pub fn read(&self) -> Result<RoundSetting, String> {
        let usual = RoundSetting::default();
        let days = |name: &str, days: Option<u32>, usual: u32| match days {
            Some(days) if !(1..=MOST_DAYS).contains(&days) => {
                Err(format!("[round] {name} is {days}; it is 1 to {MOST_DAYS}"))
            }
            Some(days) => Ok(days),
            None => Ok(usual),
        };
        Ok(RoundSetting {
            look_days: days("look_days", self.look_days, usual.look_days)?,
            settle_days: days("settle_days", self.settle_days, usual.settle_days)?,
            first_shelf: match self.first_shelf {
                Some(Shelf::Top) => FirstShelf::Top,
                Some(Shelf::Bottom) => FirstShelf::Bottom,
                None => usual.first_shelf,
            },
        })
    }
}

/// `[feeding."SPECIES"]`: how often and how much.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FeedingTable {
    every_days: Option<u32>,
    rate: Option<f64>,
}

impl FeedingTable {
    /// Reads the table of that species, or says what is wrong with it.
    pub fn read(&self, species: &str) -> Result<FeedingSetting, String> {
        let wrong = |message: String| format!("feeding `{species}`: {message}");
        if let Some(days) = self
            .every_days
            .filter(|days| !(1..=MOST_DAYS).contains(days))
        {
            return Err(wrong(format!(
                "every_days is {days}; it is 1 to {MOST_DAYS}"
            )));
        }
        let rate = match self.rate {
            None => None,
            Some(rate) if (0.001..=MOST_RATE).contains(&rate) => {
                // At most two thousand thousandths.
                Some((rate * 1000.0).round() as u32)
            }
            Some(rate) => {
                return Err(wrong(format!(
                    "rate is {rate}; write kilograms of feed to a kilogram of worms and day, up to {MOST_RATE}"
                )));
            }
        };
        Ok(FeedingSetting {
            every_days: self.every_days,
            rate,
        })
    }
}
