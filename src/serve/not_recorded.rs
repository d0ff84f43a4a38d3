//! Why a form was not recorded.

use crate::desk::Unrecorded;
use crate::diary::{DiaryError, RecordError};
use crate::farm::Problem;

use super::forms::FormError;
use super::phones::PhonesError;

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
    /// Returns the words for whoever sent it, a line each; none where it is not for them to mend.
    pub fn words(&self) -> Option<Vec<String>> {
        match self {
            Self::Form { source } => Some(vec![source.to_string()]),
            Self::Rows { source } => Some(match source {
                Unrecorded::Misread { problems } => problems
                    .iter()
                    .map(|problem| problem.error.to_string())
                    .collect(),
                Unrecorded::Refused { problems } => refusals(problems),
                Unrecorded::Unsaid { source } => vec![source.to_string()],
            }),
            Self::Stands { problems } => Some(refusals(problems)),
            Self::Diary { .. } | Self::Phones { .. } => None,
        }
    }
}

fn refusals(problems: &[Problem]) -> Vec<String> {
    problems
        .iter()
        .map(|problem| problem.refusal.to_string())
        .collect()
}
