//! Where a command stands: the farm's folder, the clock, who records, and how to print.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::farm::{Moment, Settings, Stamp, Word};

use super::Common;
use super::failure::Failure;
use super::settings_file;

/// What a command knows of its surroundings.
pub struct Shed {
    /// The farm's folder.
    pub folder: PathBuf,
    /// Whether data is printed as JSON.
    pub json: bool,
    /// Who records.
    pub by: Option<Word>,
    /// The instant at which the command started.
    pub now: Timestamp,
}

/// The variable that stands in for the clock: an instant such as `2026-10-31T12:00:00Z`.
const CLOCK: &str = "CASTLOT_NOW";

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
        let by = common.by.as_deref().and_then(Word::of);
        Ok(Self {
            folder: common.farm,
            json: common.json,
            by,
            now,
        })
    }

    /// Reads the farm's settings.
    pub fn settings(&self) -> Result<Settings, Failure> {
        settings_file::read(&self.folder)
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
