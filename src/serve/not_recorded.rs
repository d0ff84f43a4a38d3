//! Why a form was not recorded.

use crate::desk::Unrecorded;
use crate::diary::{DiaryError, RecordError};
use crate::farm::Problem;

use super::forms::FormError;
use super::phones::PhonesError;
use super::what_next::{after_cell, after_form, after_refusal, after_words};

/// A reason, and what to do next where that is sure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub next: Option<String>,
}

impl Reason {
    /// Says why.
    pub fn of(what: &impl ToString, next: Option<String>) -> Self {
        Self {
            what: what.to_string(),
            next,
        }
    }
}

/// Why a form was not recorded.
#[derive(Debug, thiserror::Error)]
pub enum NotRecorded {
    /// It says nothing that could be written down.
    #[error(transparent)]
    Form {
        /// What is wrong.
        #[from]
        source: FormError,
    },
    /// What it says does not read, or the farm's rules refuse it.
    #[error(transparent)]
    Rows {
        /// What is wrong.
        #[from]
        source: Unrecorded,
    },
    /// What was to be taken back cannot be.
    #[error("it cannot be taken back")]
    Stands {
        /// What stands in the way.
        problems: Vec<Problem>,
    },
    /// The diary could not be read or written.
    #[error(transparent)]
    Diary {
        /// Why not.
        #[from]
        source: DiaryError,
    },
    /// What is kept of forms could not be read or written.
    #[error(transparent)]
    Phones {
        /// Why not.
        #[from]
        source: PhonesError,
    },
}

impl From<RecordError<Self>> for NotRecorded {
    fn from(error: RecordError<Self>) -> Self {
        match error {
            RecordError::Refused { why } => why,
            RecordError::Diary { source } => source.into(),
        }
    }
}

impl NotRecorded {
    /// Returns the reasons for whoever sent it; none where it is not for them to mend.
    pub fn reasons(&self) -> Option<Vec<Reason>> {
        match self {
            Self::Form { source } => Some(vec![Reason::of(source, after_form(source))]),
            Self::Rows { source } => Some(match source {
                Unrecorded::Misread { problems } => problems
                    .iter()
                    .map(|problem| Reason::of(&problem.error, after_cell(&problem.error)))
                    .collect(),
                Unrecorded::Refused { problems } => refusals(problems),
                Unrecorded::Unsaid { source } => vec![Reason::of(source, after_words(source))],
            }),
            Self::Stands { problems } => Some(refusals(problems)),
            Self::Diary { .. } | Self::Phones { .. } => None,
        }
    }
}

fn refusals(problems: &[Problem]) -> Vec<Reason> {
    problems
        .iter()
        .map(|problem| Reason::of(&problem.refusal, after_refusal(&problem.refusal)))
        .collect()
}
