//! Failures of what was to be recorded: rows that do not read, and rows that the farm's rules refuse; with what may have
//! been meant.

use jiff::ToSpan;

use crate::desk::{Clerk, Unrecorded, nearly};
use crate::farm::{CodeError, Farm, Moment, Problem, Refusal};
use crate::sheets::{CellProblem, SheetError};

use super::failure::Failure;
use super::hint;
use super::write_down::Typing;

/// Makes the failure of rows that were not recorded, with what may have been meant on this farm.
pub fn unrecorded_in(
    farm: &Farm,
    clerk: &Clerk<'_>,
    unrecorded: Unrecorded,
    typing: Typing,
) -> Failure {
    match unrecorded {
        Unrecorded::Misread { problems } => near_codes(farm, &problems, misread(&problems, typing)),
        Unrecorded::Refused { problems } => {
            let failure = near_bins(farm, &problems, refused(problems.clone()));
            same_minute(farm, clerk.stamp.now, &problems, failure)
        }
        Unrecorded::Unsaid { source } => source.into(),
    }
}

/// Makes the failure of rows that do not read.
pub fn misread(problems: &[CellProblem], typing: Typing) -> Failure {
    let text = |problem: &CellProblem| match (problem.column, typing, &problem.error) {
        (Some(column), Typing::Flags, error) => format!("--{}: {error}", column.replace('_', "-")),
        (Some(column), Typing::Words, SheetError::Empty) => {
            format!("nothing is said of `{column}`")
        }
        (Some(_) | None, _, error) => error.to_string(),
    };
    let mut failure = Failure::refused_for(problems.iter().map(text));
    for hint in problems
        .iter()
        .filter_map(|problem| hint::of_cell(&problem.error))
    {
        failure.hint_once(hint);
    }
    failure
}

/// Adds the codes that may have been meant by one with a slip in it, or by half of one.
pub fn near_codes(farm: &Farm, problems: &[CellProblem], mut failure: Failure) -> Failure {
    for problem in problems {
        let SheetError::Code { source } = &problem.error else {
            continue;
        };
        let codes = match source {
            CodeError::Check { typed } => farm.nearest_codes(typed),
            CodeError::Shape { typed } => farm.codes_with(typed),
            CodeError::Bin { .. }
            | CodeError::Place { .. }
            | CodeError::Mark { .. }
            | CodeError::Serial { .. } => Vec::new(),
        };
        for code in codes {
            failure.hint_once(hint::if_meant(&code.to_string()));
        }
    }
    failure
}

/// Adds the bin that may have been meant by one that there is not.
pub fn near_bins(farm: &Farm, problems: &[Problem], mut failure: Failure) -> Failure {
    for problem in problems {
        if let Refusal::NoBed { bin, .. } = &problem.refusal
            && let Some(near) = nearly(farm, *bin)
        {
            failure
                .hints
                .retain(|hint| !hint.contains(&format!("castlot bed {bin} ")));
            failure.hint_once(hint::if_meant(near.as_str()));
        }
    }
    failure
}

/// Makes the failure of what the farm's rules refuse.
pub fn refused(problems: Vec<Problem>) -> Failure {
    let texts = problems.iter().map(|problem| problem.refusal.to_string());
    let mut failure = Failure::refused_for(texts);
    for hint in problems
        .iter()
        .flat_map(|problem| hint::of(&problem.refusal))
    {
        failure.hint_once(hint);
    }
    failure
}

/// Adds how to put what happens now behind an entry of the same minute, within which the order is the natural one.
pub fn same_minute(
    farm: &Farm,
    now: Moment,
    problems: &[Problem],
    mut failure: Failure,
) -> Failure {
    let upset = problems.iter().find_map(|problem| match &problem.refusal {
        Refusal::Upsets { entry, .. } => Some(*entry),
        _ => None,
    });
    let upset = upset.filter(|entry| farm.entry(*entry).is_some_and(|entry| entry.when == now));
    if let (Some(entry), Some(later)) = (upset, a_minute_after(now)) {
        failure.hint_once(format!(
            "entry {entry} is of the same minute; if this came after it, say so with `--when {later}`"
        ));
    }
    failure
}

fn a_minute_after(now: Moment) -> Option<Moment> {
    let minute = i8::try_from(now.minute()? % 60).ok()?;
    let hour = i8::try_from(now.minute()? / 60).ok()?;
    let later = now.day().at(hour, minute, 0, 0).checked_add(1.minute());
    later.ok().map(Moment::minute_of)
}
