//! What a person says at the rack or the bench and is told in return, through whatever: what a text names on this farm,
//! what a row of a round says, the one way to judge rows and what goes with them, and the words about what was recorded.
//!
//! The terminal and the shed's server both stand on it, so that neither can do what the other could not. It looks at no
//! clock and prints nothing; what to type next is for the terminal to say.

pub mod alert;
pub mod answer;
pub mod bed_look;
pub mod beside;
pub mod call;
pub mod called;
pub mod candidates;
pub mod clerk;
pub mod densities;
pub mod fill_doubt;
pub mod fills_check;
pub mod fills_hold;
mod find_sale;
pub mod finder;
pub mod half_code;
pub mod incoming;
mod lost;
pub mod period;
pub mod permission_words;
pub mod round;
pub mod rows;
pub mod telling;
mod telling_after;
pub mod warned;
pub mod words;

pub use called::{called, called_in_list, mark, mark_or_code, title};
pub use clerk::Clerk;
pub use finder::{Finder, Subject, nearly};
pub use lost::Lost;

use crate::farm::Problem;
use crate::sheets::CellProblem;

/// Why rows were not recorded.
#[derive(Debug, thiserror::Error)]
pub enum Unrecorded {
    /// They do not read.
    #[error("{}", listed(problems.iter().map(|problem| problem.error.to_string())))]
    Misread {
        /// Which cells, and what is wrong with each.
        problems: Vec<CellProblem>,
    },
    /// The farm's rules refuse them.
    #[error("{}", listed(problems.iter().map(|problem| problem.refusal.to_string())))]
    Refused {
        /// Which rows, and which rule.
        problems: Vec<Problem>,
    },
    /// What was said of a bed in a round does not read.
    #[error(transparent)]
    Unsaid {
        /// What is wrong with it.
        #[from]
        source: Unsaid,
    },
}

/// Why words do not say what they should.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unsaid {
    /// A lot stands there without an amount.
    #[error("nothing is said of how much of `{name}`")]
    NoAmount {
        /// The lot, as typed.
        name: String,
    },
    /// An amount stands there without a lot.
    #[error("nothing is said of what `{amount}` is of")]
    NoLot {
        /// The amount, as typed.
        amount: String,
    },
    /// What a bed gets is left to the round, and the round does not know.
    #[error("nothing says what {bin} gets")]
    NothingToGive {
        /// The bed's bin.
        bin: crate::farm::BinCode,
    },
    /// A bed cannot be both.
    #[error("{bin} is fed and skipped in one row")]
    FedAndSkipped {
        /// The bed's bin.
        bin: crate::farm::BinCode,
    },
    /// A bed is skipped for a reason.
    #[error("nothing is said of why it was skipped; write `k` and why")]
    NoWhy,
    /// The sheet has no such key.
    #[error("`{key}` is no key of the sheet; `?` tells them")]
    NoKey {
        /// The key.
        key: char,
    },
    /// One box a column.
    #[error("`{what}` is told twice")]
    Twice {
        /// What is.
        what: String,
    },
    /// Two dots stand between bins of a row.
    #[error("`{typed}` is not a range of bins")]
    NoRange {
        /// As typed.
        typed: String,
    },
    /// Nobody has so many.
    #[error("`{typed}` is more than {most} bins, too many to be meant")]
    LongRange {
        /// As typed.
        typed: String,
        /// How many may be.
        most: u32,
    },
    /// A run stands there without its packs.
    #[error("nothing is said of which packs of `{run}`")]
    NoPacks {
        /// The run, as typed.
        run: String,
    },
}

/// Joins texts, each told once.
fn listed(texts: impl Iterator<Item = String>) -> String {
    let mut told: Vec<String> = Vec::new();
    for text in texts {
        if !told.contains(&text) {
            told.push(text);
        }
    }
    told.join("; ")
}
