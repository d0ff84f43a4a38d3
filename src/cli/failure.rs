//! Turns every error into what a person is told: kind, text, hints and exit code. The only place that does.

use std::error::Error;
use std::net::SocketAddr;
use std::process::ExitCode;

use crate::desk::{Lost, Unsaid};
use crate::diary::DiaryError;
use crate::serve::ServeError;

use super::voice;

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

/// Nobody reads more than so many hints.
const MOST_HINTS: usize = 4;

impl Failure {
    /// Makes a refusal of one line.
    pub fn refused(text: impl Into<String>) -> Self {
        Self {
            kind: Kind::Refused,
            texts: vec![text.into()],
            hints: Vec::new(),
        }
    }

    /// Makes a refusal of several lines, each told once.
    pub fn refused_for(texts: impl IntoIterator<Item = String>) -> Self {
        let mut failure = Self {
            kind: Kind::Refused,
            texts: Vec::new(),
            hints: Vec::new(),
        };
        for text in texts {
            if !failure.texts.contains(&text) {
                failure.texts.push(text);
            }
        }
        failure
    }

    /// Adds one thing to do next, unless it stands there already or there are enough.
    pub fn hint_once(&mut self, hint: String) {
        if self.hints.len() < MOST_HINTS && !self.hints.contains(&hint) {
            self.hints.push(hint);
        }
    }

    /// Adds one thing to do next.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Makes it a failure of the diary itself.
    #[must_use]
    fn of_the_diary(self) -> Self {
        Self {
            kind: Kind::Diary,
            ..self
        }
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
            voice::note(format!("error: {text}"));
        }
        for hint in &self.hints {
            voice::note(format!("hint: {hint}"));
        }
    }
}

/// Only what `castlot round` asks for comes this way: other names are looked up by `Asking`, which knows the command.
impl From<Lost> for Failure {
    fn from(lost: Lost) -> Self {
        Self::refused(lost.to_string()).hint("see every bed and its rack with `castlot beds`")
    }
}

impl From<Unsaid> for Failure {
    fn from(unsaid: Unsaid) -> Self {
        let failure = Self::refused(unsaid.to_string());
        match unsaid {
            Unsaid::NoAmount { name } => failure.hint(format!(
                "write the lot and the amount, as in `{name} 300g`, or `{name} '?'` where nobody knows"
            )),
            Unsaid::NoLot { .. } => failure.hint("say the lot too, as in `f mix-17 300g`"),
            Unsaid::NothingToGive { .. } => {
                failure.hint("say the lot and the amount, as in `f mix-17 300g`")
            }
            Unsaid::NoRange { .. } => {
                failure.hint("write the lowest and the highest bin of a row, as in `A01..A12`")
            }
            Unsaid::NoPacks { run } => failure.hint(format!(
                "say which, as in `{run} '#1-12'` with the quotes, `{run}/1-12`, `{run} x31` or `{run} all`"
            )),
            Unsaid::FedAndSkipped { .. }
            | Unsaid::NoWhy
            | Unsaid::NoKey { .. }
            | Unsaid::Twice { .. }
            | Unsaid::LongRange { .. } => failure,
        }
    }
}

impl From<DiaryError> for Failure {
    fn from(error: DiaryError) -> Self {
        let failure = Self::refused(with_sources(&error));
        match &error {
            DiaryError::NoDiary { .. } => failure
                .hint("start a farm with `castlot new DIR`, or name its folder with `--farm DIR`"),
            DiaryError::Exists { .. } | DiaryError::TooNew { .. } | DiaryError::Io { .. } => {
                failure
            }
            DiaryError::NotADiary { .. }
            | DiaryError::Sql { .. }
            | DiaryError::NoRandom { .. }
            | DiaryError::NotMeant { .. }
            | DiaryError::OtherFarm { .. } => failure.of_the_diary(),
            DiaryError::Busy => failure
                .of_the_diary()
                .hint("wait until the other castlot has ended, and give the command again"),
            DiaryError::ReadOnly => failure.hint(
                "let yourself write to the farm's folder, or copy it to where you may, and name it with `--farm DIR`",
            ),
            DiaryError::StillInLog => failure.of_the_diary(),
            DiaryError::Damaged { .. } => failure
                .of_the_diary()
                .hint("look through all of it with `castlot verify`"),
        }
    }
}

impl From<ServeError> for Failure {
    fn from(error: ServeError) -> Self {
        let told = Self::refused(with_sources(&error));
        match error {
            ServeError::Diary { source } => Self::from(source),
            ServeError::Settings { lines } => Self::refused_for(lines),
            ServeError::Taken { at } => {
                let next = SocketAddr::new(at.ip(), at.port().checked_add(1).unwrap_or(8080));
                told.hint(format!(
                    "end the other one, or take another port: `castlot serve --at {next}`"
                ))
            }
            ServeError::NotHere { .. } => told.hint(
                "name an address that this computer has, and a port from 1024 up; for this computer alone, leave `--at` out",
            ),
            ServeError::NoCertificate { .. } | ServeError::NoKey { .. } => told.hint(
                "a file in PEM has a line with `-----BEGIN` in it; the certificate goes to `--cert`, its private key to `--key`",
            ),
            ServeError::Unread { .. }
            | ServeError::Mismatch { .. }
            | ServeError::Phones { .. }
            | ServeError::System { .. } => told,
        }
    }
}

/// Writes an error with what it came of, unless its own text says that already.
pub fn with_sources(error: &dyn Error) -> String {
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
