//! What else is wrong with a folder some of whose rows cannot be read or name what is not there.
//!
//! All problems are told at once; but nothing that may only follow from a row that is left out.

use std::collections::BTreeSet;

use jiff::Timestamp;

use super::error::SheetProblem;
use super::import::Origins;
use super::row::Row;
use crate::farm::{Draft, Farm, Problem, Refusal};

/// The columns that name lots, beds and bins, or give a lot its names.
const NAMES: [&str; 11] = [
    "bin", "to_bin", "takes", "from", "clears", "lot", "run", "packs", "what", "ref", "code",
];

/// The names in rows that are left out: whatever is said of them may not be so.
#[derive(Debug, Default)]
pub(super) struct Doubt(BTreeSet<String>);

impl Doubt {
    /// Takes in all names of a row.
    pub(super) fn add(&mut self, row: &Row) {
        let cells = NAMES.iter().map(|column| row.cell(column));
        self.0
            .extend(cells.flat_map(words).map(str::to_ascii_uppercase));
    }

    fn covers(&self, refusal: &Refusal) -> bool {
        let text = refusal.to_string();
        words(&text).any(|word| self.0.contains(&word.to_ascii_uppercase()))
    }
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || ",;:`/#()".contains(c))
        .filter(|word| !word.is_empty())
}

/// Judges the rows that are left, and those that are left after that, and returns what is surely wrong.
pub(super) fn further(
    farm: &Farm,
    mut drafts: Vec<Draft>,
    mut origins: Origins,
    mut doubt: Doubt,
) -> Vec<SheetProblem> {
    let mut found = Vec::new();
    while let Err(problems) = farm.record(drafts.clone(), Timestamp::UNIX_EPOCH) {
        let wrong: BTreeSet<usize> = problems
            .iter()
            .filter_map(|problem| problem.draft)
            .collect();
        let last = !problems.iter().any(is_of_names);
        let sure = |problem: &Problem| {
            let upset = matches!(problem.refusal, Refusal::Upsets { .. });
            !upset && !doubt.covers(&problem.refusal)
        };
        found.extend(origins.problems(problems.into_iter().filter(sure).collect()));
        if last || wrong.is_empty() {
            break;
        }
        for draft in wrong.iter().rev() {
            if let Some(row) = origins.row(*draft) {
                doubt.add(&row);
            }
            drafts.remove(*draft);
            origins.leave_out(*draft);
        }
    }
    found
}

/// Tells whether a problem keeps the farm from looking at the rules.
fn is_of_names(problem: &Problem) -> bool {
    matches!(
        problem.refusal,
        Refusal::NoSuchLot { .. }
            | Refusal::NoSuchMark { .. }
            | Refusal::StruckLot { .. }
            | Refusal::CodeTaken { .. }
            | Refusal::CodeLetter { .. }
            | Refusal::MarkTaken { .. }
            | Refusal::Twice { .. }
            | Refusal::NoCodeLeft { .. }
    )
}
