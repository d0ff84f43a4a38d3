//! What a bean test of a manure says: whether the beans in the pots were damaged, and in how many pots.
//!
//! Beans are harmed by weedkillers that pass through horse and heap, and show it in two to three weeks
//! (Washington State University Extension: 3 to 6 pots of two parts sample to one of clean mix, and controls). A test
//! in which nothing was seen is only that: it is told with its number of pots, never as a clearance.

use std::fmt;

use crate::farm::TestFacts;

/// The test's name in the sheets.
pub const BEAN: &str = "bean";

/// What was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bean {
    /// Whether the beans were damaged.
    pub damaged: bool,
    /// In how many pots of the sample they grew, where the row says so.
    pub pots: Option<u32>,
}

impl Bean {
    /// Reads a test; `None` where it is another test, or was only sown.
    ///
    /// The number of pots is looked for in the unit (`4 pots`), then in the method (`4 pots of 2:1 mix, …`).
    pub fn of(facts: &TestFacts) -> Option<Self> {
        if !facts.test.eq_ignore_ascii_case(BEAN) {
            return None;
        }
        let unit = facts.unit.as_deref().and_then(pots);
        Some(Self {
            damaged: !passed(facts)?,
            pots: unit.or_else(|| facts.method.as_deref().and_then(pots)),
        })
    }
}

/// Tells whether a test was passed, by its value or else its result; `None` where neither says so.
pub fn passed(facts: &TestFacts) -> Option<bool> {
    let verdict = |text: &str| match text.trim().to_ascii_lowercase().as_str() {
        "pass" | "passed" => Some(true),
        "fail" | "failed" => Some(false),
        _ => None,
    };
    let result = facts.result.as_deref().and_then(verdict);
    match (verdict(&facts.value), result) {
        // Two verdicts that differ: the worse one counts.
        (Some(value), Some(result)) => Some(value && result),
        (value, result) => value.or(result),
    }
}

/// Returns the first number of pots that a text names: `4 pots of 2:1 mix` names four.
fn pots(text: &str) -> Option<u32> {
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|word| !word.is_empty())
        .collect();
    words.windows(2).find_map(|pair| match pair {
        [number, "pot" | "pots"] => number.parse().ok(),
        _ => None,
    })
}

impl fmt::Display for Bean {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let seen = if self.damaged {
            "damage seen"
        } else {
            "no damage seen"
        };
        match self.pots {
            Some(1) => write!(f, "{seen} in 1 pot"),
            Some(pots) => write!(f, "{seen} in {pots} pots"),
            None => write!(f, "{seen}, number of pots not noted"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(
        value: &str,
        unit: Option<&str>,
        method: Option<&str>,
        result: Option<&str>,
    ) -> TestFacts {
        TestFacts {
            test: BEAN.into(),
            value: value.into(),
            unit: unit.map(Into::into),
            method: method.map(Into::into),
            lab: None,
            result: result.map(Into::into),
        }
    }

    #[test]
    fn a_pass_is_told_as_what_was_seen_in_how_many_pots() {
        let told = |facts: TestFacts| Bean::of(&facts).map(|bean| bean.to_string());
        let method = Some("kept sample, 6 pots of 2:1 mix, 3 controls, 3 beans a pot");
        assert_eq!(
            told(facts("pass", None, method, None)).as_deref(),
            Some("no damage seen in 6 pots")
        );
        assert_eq!(
            told(facts("fail", Some("4 pots"), method, None)).as_deref(),
            Some("damage seen in 4 pots")
        );
        assert_eq!(
            told(facts("pass", None, None, None)).as_deref(),
            Some("no damage seen, number of pots not noted")
        );
        assert_eq!(told(facts("sown", None, method, None)), None);
    }

    #[test]
    fn of_two_verdicts_that_differ_the_worse_one_counts() {
        assert_eq!(
            passed(&facts("pass", None, None, Some("fail"))),
            Some(false)
        );
        assert_eq!(passed(&facts("5", None, None, Some("pass"))), Some(true));
        assert_eq!(passed(&facts("5", None, None, None)), None);
    }
}
