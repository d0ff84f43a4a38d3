//! Where a command stands: the farm's folder, the clock, who records, and how to print.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::diary::Book;
use crate::farm::{Farm, Moment, Settings, Stamp, Word};

use super::Common;
use super::failure::Failure;
use super::out::Ink;
use super::settings_file;

/// What a command knows of its surroundings.
pub struct Shed {
    /// The farm's folder.
    pub folder: PathBuf,
    /// Whether data is printed as JSON.
    pub json: bool,
    /// How stdout may be marked up.
    pub ink: Ink,
    /// Who records.
    pub by: Option<Word>,
    /// Whose entries are asked for: `--by` as typed, the environment left aside.
    pub asked_by: Option<Word>,
    /// The instant at which the command started.
    pub now: Timestamp,
}

/// The variable that stands in for the clock: an instant such as `2026-10-31T12:00:00Z`.
const CLOCK: &str = "CASTLOT_NOW";

/// The diary's file in a farm's folder.
pub const DIARY: &str = "diary.db";

/// Returns the instant it is, or the one that stands in for it.
pub fn now() -> Timestamp {
    let stood_in = std::env::var(CLOCK).ok();
    let stood_in = stood_in.and_then(|text| text.parse().ok());
    stood_in.unwrap_or_else(Timestamp::now)
}

/// The variable that says who records where `--by` does not.
const BY: &str = "CASTLOT_BY";

impl Shed {
    /// Looks around.
    pub fn of(common: Common) -> Result<Self, Failure> {
        let now = match std::env::var(CLOCK) {
            Ok(text) => text.parse().map_err(|_| {
                Failure::refused(format!("{CLOCK} is `{text}`, which is not an instant")).hint(
                    format!("write one as in `{CLOCK}=2026-10-31T12:00:00Z`, or unset it"),
                )
            })?,
            Err(_) => Timestamp::now(),
        };
        let asked_by = common.by.as_deref().and_then(Word::of);
        let usual = || Word::of(&std::env::var(BY).ok()?);
        let by = asked_by.clone().or_else(usual);
        Ok(Self {
            folder: common.farm,
            json: common.json,
            ink: Ink::of_stdout(),
            by,
            asked_by,
            now,
        })
    }

    /// Returns the same at the instant it is now, for a command that goes on for long; the same where the clock is
    /// stood in for.
    pub fn later(&self) -> Self {
        let now = now();
        Self {
            folder: self.folder.clone(),
            json: self.json,
            ink: self.ink,
            by: self.by.clone(),
            asked_by: self.asked_by.clone(),
            now,
        }
    }

    /// Reads the farm's settings.
    pub fn settings(&self) -> Result<Settings, Failure> {
        settings_file::read(&self.folder)
    }

    /// Reads the farm that the diary adds up to.
    pub fn open(&self) -> Result<Farm, Failure> {
        Ok(Book::open(&self.folder.join(DIARY))?.farm()?)
    }

    /// Returns how many tenths of a second the command has taken so far; none where the clock is stood in for.
    pub fn tenths(&self) -> u64 {
        if std::env::var_os(CLOCK).is_some() {
            return 0;
        }
        let taken = Timestamp::now().duration_since(self.now).as_millis() / 100;
        u64::try_from(taken).unwrap_or_default()
    }

    /// Returns the stamp of an entry written now.
    pub fn stamp(&self, settings: &Settings) -> Stamp {
        let local = settings.zone.to_datetime(self.now);
        Stamp {
            written: self.now,
            now: Moment::minute_of(local),
            by: self.by.clone(),
        }
    }
}
