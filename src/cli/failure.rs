//! Turns every error into what a person is told: kind, text, hints and exit code. The only place that does.

use std::error::Error;
use std::process::ExitCode;

use crate::diary::DiaryError;

use super::out;

/// What ended a command.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failure {
    /// Which exit code it leaves with.
    pub kind: Kind,
    /// What is wrong, a line each.
    pub texts: Vec<String>,
    /// What to do next, a whole command each.
    pub hints: Vec<String>,
}

/// The kinds of failure, by exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// 1: a check found something.
    Found,
    /// 2: refused by a rule or typed wrong; nothing was recorded.
    Refused,
    /// 3: the diary is damaged or busy.
    Diary,
}

impl Failure {
    /// Makes a refusal of one line.
    pub fn refused(text: impl Into<String>) -> Self {
        Self {
            kind: Kind::Refused,
            texts: vec![text.into()],
            hints: Vec::new(),
        }
    }

    /// Adds one thing to do next.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Returns the code to leave with.
    pub fn exit_code(&self) -> ExitCode {
        ExitCode::from(match self.kind {
            Kind::Found => 1,
            Kind::Refused => 2,
            Kind::Diary => 3,
        })
    }

    /// Tells the person, on stderr.
    pub fn tell(&self) {
        for text in &self.texts {
            out::tell(&format!("error: {text}"));
        }
        for hint in &self.hints {
            out::tell(&format!("hint: {hint}"));
        }
    }
}

impl From<DiaryError> for Failure {
    fn from(error: DiaryError) -> Self {
        let (kind, hint) = match &error {
            DiaryError::NoDiary { .. } => (
                Kind::Refused,
                Some("start a farm with `castlot new DIR`, or name its folder with `--farm DIR`"),
            ),
            DiaryError::Exists { .. } | DiaryError::Io { .. } | DiaryError::NoRandom { .. } => {
                (Kind::Refused, None)
            }
            DiaryError::Busy => (Kind::Diary, Some("try again when the other has ended")),
            DiaryError::Damaged { .. } => (
                Kind::Diary,
                Some("see what is sound of it with `castlot verify`, and go back to a copy"),
            ),
            DiaryError::NotADiary { .. }
            | DiaryError::TooNew { .. }
            | DiaryError::Sql { .. }
            | DiaryError::NotMeant { .. }
            | DiaryError::OtherFarm { .. }
            | DiaryError::StillInLog => (Kind::Diary, None),
        };
        let failure = Self {
            kind,
            texts: vec![with_sources(&error)],
            hints: Vec::new(),
        };
        match hint {
            Some(hint) => failure.hint(hint),
            None => failure,
        }
    }
}

/// Writes an error with what it came of, unless its own text says that already.
fn with_sources(error: &dyn Error) -> String {
    let mut text = error.to_string();
    let mut next = error.source();
    while let Some(source) = next {
        let said = source.to_string();
        if !text.contains(&said) {
            text = format!("{text}: {said}");
        }
        next = source.source();
    }
    text
}
