//! What a round is called: its day, and the rack where it is of one. It is on the sheet, and takes the sheet back.

use std::fmt;
use std::str::FromStr;

use jiff::civil::Date;

use crate::farm::is_place_part;

/// The name of a round: `2026-11-01/R1`, or `2026-11-01` of all racks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoundName {
    /// The day it was drawn up for.
    pub day: Date,
    /// The rack, where it is of one.
    pub rack: Option<String>,
}

/// Why a text is not the name of a round.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{typed}` is not a round; write its day and rack as the sheet has them, as in `2026-11-01/R1`"
)]
pub struct RoundNameError {
    /// What was typed.
    pub typed: String,
}

impl fmt::Display for RoundName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.rack {
            Some(rack) => write!(f, "{}/{rack}", self.day),
            None => write!(f, "{}", self.day),
        }
    }
}

impl FromStr for RoundName {
    type Err = RoundNameError;

    fn from_str(text: &str) -> Result<Self, RoundNameError> {
        let wrong = || RoundNameError {
            typed: text.to_owned(),
        };
        let (day, rack) = match text.trim().split_once('/') {
            Some((day, rack)) => (day, Some(rack.trim().to_ascii_uppercase())),
            None => (text.trim(), None),
        };
        if rack.as_deref().is_some_and(|rack| !is_place_part(rack)) {
            return Err(wrong());
        }
        let is_day = day.len() == 10
            && day
                .bytes()
                .all(|byte| byte.is_ascii_digit() || byte == b'-');
        let day = day
            .parse()
            .ok()
            .filter(|day: &Date| is_day && (2000..=2099).contains(&day.year()));
        Ok(Self {
            day: day.ok_or_else(wrong)?,
            rack,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rounds_name_reads_back_and_nothing_else_is_one() {
        for name in ["2026-11-01", "2026-11-01/R1", "2026-11-01/BENCH"] {
            assert_eq!(
                name.parse::<RoundName>().map(|name| name.to_string()),
                Ok(name.to_owned())
            );
        }
        let typed: RoundName = " 2026-11-01/r1 ".parse().expect("a round");
        assert_eq!(typed.rack.as_deref(), Some("R1"));
        for wrong in [
            "",
            "R1",
            "2026-13-01",
            "2026-11-01/",
            "2026-11-01/R1/S1",
            "1026-11-01",
            "2026-11-01T09:00",
        ] {
            assert!(wrong.parse::<RoundName>().is_err(), "{wrong}");
        }
    }
}
