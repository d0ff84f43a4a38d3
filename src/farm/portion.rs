//! The share of a bed that a split takes: two whole numbers.

use std::fmt;
use std::str::FromStr;

/// So many parts of so many: more than none, at most all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Portion {
    parts: u32,
    of: u32,
}

/// Why a text is not a share.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{typed}` is not a share of a bed; write `50%`, `1 of 3`, `0.5` or `1/3`, more than none and less than all"
)]
pub struct PortionError {
    /// What was typed.
    pub typed: String,
}

impl Portion {
    /// Makes a share; `None` unless it is more than none and less than all.
    pub fn new(parts: u32, of: u32) -> Option<Self> {
        (parts > 0 && parts < of).then_some(Self { parts, of })
    }

    /// Returns how many parts it takes.
    pub fn parts(self) -> u32 {
        self.parts
    }

    /// Returns how many parts there are.
    pub fn of(self) -> u32 {
        self.of
    }
}

impl fmt::Display for Portion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{} of {}", self.parts, self.of))
    }
}

impl FromStr for Portion {
    type Err = PortionError;

    fn from_str(text: &str) -> Result<Self, PortionError> {
        let typed = text.trim();
        let portion =
            if let Some((parts, of)) = typed.split_once(" of ").or_else(|| typed.split_once('/')) {
                parts.trim().parse().ok().zip(of.trim().parse().ok())
            } else if let Some(percent) = typed.strip_suffix('%') {
                decimal(percent.trim(), 100)
            } else {
                decimal(typed, 1)
            };
        portion
            .and_then(|(parts, of)| Self::new(parts, of))
            .ok_or_else(|| PortionError {
                typed: typed.to_owned(),
            })
    }
}

/// Returns a decimal over `one` as two whole numbers in their lowest terms.
fn decimal(number: &str, one: u32) -> Option<(u32, u32)> {
    let (whole, part) = number.split_once('.').unwrap_or((number, ""));
    if part.len() > 6
        || !(whole.to_owned() + part)
            .bytes()
            .all(|b| b.is_ascii_digit())
    {
        return None;
    }
    let of = one.checked_mul(10_u32.pow(u32::try_from(part.len()).ok()?))?;
    let parts: u32 = format!("{whole}{part}").parse().ok()?;
    let common = gcd(parts, of);
    (common > 0).then(|| (parts / common, of / common))
}

fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_read_in_four_ways() {
        for (typed, kept) in [
            ("50%", "1 of 2"),
            ("1 of 3", "1 of 3"),
            ("0.5", "1 of 2"),
            ("1/3", "1 of 3"),
            ("2 of 6", "2 of 6"),
        ] {
            assert_eq!(
                typed.parse::<Portion>().map(|p| p.to_string()),
                Ok(kept.to_owned())
            );
        }
    }

    #[test]
    fn none_all_and_more_than_all_are_refused() {
        for typed in [
            "0%", "100%", "0", "1", "4 of 3", "3 of 0", "half", "", "-1/2",
        ] {
            assert!(typed.parse::<Portion>().is_err(), "{typed}");
        }
    }
}
