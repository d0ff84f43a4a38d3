//! What every recording command does: opens the diary, has its rows judged, writes all of them or none, and tells.

use std::path::PathBuf;

use serde::Serialize;

use crate::desk::rows::maybe;
use crate::desk::warned::{entry_prefix, warnings};
use crate::desk::{Clerk, incoming};
use crate::diary::{Book, Pen, RecordError};
use crate::farm::{Entry, Farm, Moment, Noun, Recording, Settings};
use crate::sheets::Row;

use super::failure::Failure;
use super::refusing::unrecorded_in;
use super::shed::Shed;
use super::{out, voice};

/// The diary's file in a farm's folder.
pub const FILE: &str = "diary.db";

/// What every daily verb takes.
#[derive(Debug, clap::Args)]
pub struct Said {
    /// When it happened: a day, or a day and a minute. Now, where nothing is said.
    #[arg(long, value_name = "WHEN")]
    pub when: Option<String>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

impl Said {
    /// Starts a row with what was said.
    pub fn row(&self, noun: Noun) -> Row<'static> {
        let mut row = Row::new(noun);
        maybe(&mut row, "when", self.when.as_deref());
        maybe(&mut row, "note", self.note.as_deref());
        row
    }

    /// Returns the moment that was said, or now; where it does not read, the sheets' reader says what is wrong with it.
    pub fn moment(&self, shed: &Shed, settings: &Settings) -> Moment {
        let now = shed.stamp(settings).now;
        let said = self.when.as_deref();
        let said = said.and_then(|when| Moment::read(when, settings.dates, &settings.zone).ok());
        said.unwrap_or(now)
    }
}

/// How the cells of a row were typed, and so how one of them is named to whoever typed it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Typing {
    /// Each behind the flag of its column.
    Flags,
    /// As the words of a verb; what was typed tells enough.
    Words,
}

impl Shed {
    /// Returns where the farm's diary is.
    pub fn diary(&self) -> PathBuf {
        self.folder.join(FILE)
    }

    /// Opens the farm's diary.
    pub fn book(&self) -> Result<Book, Failure> {
        Ok(Book::open(&self.diary())?)
    }

    /// Returns what the writing of entries takes.
    pub fn pen(&self, settings: &Settings) -> Pen {
        Pen::new(settings.zone.iana_name().unwrap_or("UTC"))
    }

    /// Records the rows that `make` gives, all or none, and tells.
    pub fn record(
        &self,
        typing: Typing,
        make: impl FnOnce(&Farm, &Settings) -> Result<Vec<Row<'static>>, Failure>,
    ) -> Result<(), Failure> {
        self.record_and_give(typing, make).map(drop)
    }

    /// Records as `record` does, and gives what was recorded to whoever has more to tell of it.
    pub fn record_and_give(
        &self,
        typing: Typing,
        make: impl FnOnce(&Farm, &Settings) -> Result<Vec<Row<'static>>, Failure>,
    ) -> Result<Recording, Failure> {
        let recording = self.record_untold(typing, make)?;
        self.tell(&recording)?;
        let hold = self.settings()?.hold;
        for line in incoming::told(&recording.farm, recording.entries(), &hold) {
            voice::note(format!("note: {line}"));
        }
        Ok(recording)
    }

    /// Records as `record` does, and leaves what was recorded to be told by whoever has it told with something else.
    pub fn record_untold(
        &self,
        typing: Typing,
        make: impl FnOnce(&Farm, &Settings) -> Result<Vec<Row<'static>>, Failure>,
    ) -> Result<Recording, Failure> {
        let settings = self.settings()?;
        let recording = self.write_rows(&settings, typing, |farm| make(farm, &settings))?;
        self.tell_beside(&recording, &settings);
        Ok(recording)
    }

    /// Puts something right: strikes or replaces entries, holds or releases the runs whose weighings that changes, and
    /// tells.
    pub fn put_right(
        &self,
        settings: &Settings,
        rule: impl FnOnce(&Farm) -> Result<Recording, Failure>,
    ) -> Result<(), Failure> {
        let recording = self.write(settings, |farm| {
            Ok(self.clerk(settings).and_holds(rule(farm)?))
        })?;
        self.tell_beside(&recording, settings);
        self.tell(&recording)
    }

    /// Tells what nothing refuses, and a person would want to know.
    fn tell_beside(&self, recording: &Recording, settings: &Settings) {
        for line in self.clerk(settings).beside(recording) {
            voice::note(line);
        }
    }

    /// Writes the rows that `make` gives, all or none, and tells nothing.
    pub fn write_rows(
        &self,
        settings: &Settings,
        typing: Typing,
        make: impl FnOnce(&Farm) -> Result<Vec<Row<'static>>, Failure>,
    ) -> Result<Recording, Failure> {
        self.write(settings, |farm| {
            let recording = self.judged(farm, settings, make(farm)?, typing)?;
            Ok(self.clerk(settings).and_holds(recording))
        })
    }

    /// Judges rows as if they were recorded now, and writes nothing.
    pub fn judged(
        &self,
        farm: &Farm,
        settings: &Settings,
        rows: Vec<Row<'static>>,
        typing: Typing,
    ) -> Result<Recording, Failure> {
        let clerk = self.clerk(settings);
        clerk
            .judge(farm, rows)
            .map_err(|unrecorded| unrecorded_in(farm, &clerk, unrecorded, typing))
    }

    /// Returns whoever judges what is recorded now.
    pub fn clerk<'a>(&self, settings: &'a Settings) -> Clerk<'a> {
        Clerk::new(settings, self.now, self.by.clone())
    }

    /// Writes what a rule gives, or nothing.
    pub fn write(
        &self,
        settings: &Settings,
        rule: impl FnOnce(&Farm) -> Result<Recording, Failure>,
    ) -> Result<Recording, Failure> {
        let mut book = self.book()?;
        book.record(&mut self.pen(settings), rule)
            .map_err(|error| match error {
                RecordError::Refused { why } => why,
                RecordError::Diary { source } => source.into(),
            })
    }

    /// Tells what was recorded.
    pub fn tell(&self, recording: &Recording) -> Result<(), Failure> {
        let written = self.written(recording);
        if self.json {
            return out::print(&out::json(&All { entries: written }));
        }
        for line in &written {
            voice::say(match line.code.as_ref().or(line.complaint.as_ref()) {
                Some(code) => format!("entry {}: {code}", line.entry),
                None => format!("entry {}", line.entry),
            });
        }
        Ok(())
    }
}

impl Shed {
    /// Warns of what there is to warn of, and returns what was recorded, to be told.
    pub fn written(&self, recording: &Recording) -> Vec<Written> {
        for line in warnings(recording, |index| entry_prefix(recording, index)) {
            voice::note(line);
        }
        let entries = recording.entries().iter();
        let written = entries.map(|entry| Written {
            entry: entry.number,
            kind: entry.event.as_ref().map(|event| event.noun().word()),
            code: entry.made().map(|code| code.to_string()),
            complaint: taken(&recording.farm, entry),
        });
        written.collect()
    }
}

/// What was recorded, as `--json` tells of it.
#[derive(Serialize)]
struct All {
    entries: Vec<Written>,
}

/// An entry, as `--json` tells of it.
#[derive(Serialize)]
pub struct Written {
    entry: u32,
    kind: Option<&'static str>,
    code: Option<String>,
    /// The name of the complaint that was taken, and of no other entry.
    #[serde(skip_serializing_if = "Option::is_none")]
    complaint: Option<String>,
}

/// Returns the name of the complaint that an entry took.
fn taken(farm: &Farm, entry: &Entry) -> Option<String> {
    farm.complaint_name(entry.number).map(ToString::to_string)
}
