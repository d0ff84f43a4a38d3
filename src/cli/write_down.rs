//! What every recording command does: opens the diary, has its rows judged, writes all of them or none, and tells.

use std::path::PathBuf;

use serde::Serialize;

use crate::diary::{Book, Pen, RecordError};
use crate::farm::{Draft, Entry, Farm, Moment, Noun, Recording, Settings};
use crate::sheets::{Known, Reader, Row};

use super::failure::Failure;
use super::refusing::{misread, near_bins, near_codes, refused, same_minute};
use super::shed::Shed;
use super::warned::{entry_prefix, warnings};
use super::{beside, densities, fill_doubt, fills_hold, incoming, out, permission_words, voice};

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

/// Says something in a column of a row.
pub fn put(row: &mut Row<'static>, column: &'static str, text: impl Into<String>) {
    let text: String = text.into();
    row.set(column, text)
        .expect("commands fill columns of the sheet that they write");
}

/// Says something in a column, where there is something to say.
pub fn maybe(row: &mut Row<'static>, column: &'static str, text: Option<&str>) {
    if let Some(text) = text {
        put(row, column, text);
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
        let stamp = self.stamp(settings);
        let recording = self.write(settings, |farm| {
            Ok(fills_hold::beside(rule(farm)?, settings, &stamp))
        })?;
        self.tell_beside(&recording, settings);
        self.tell(&recording)
    }

    /// Tells what nothing refuses, and a person would want to know.
    fn tell_beside(&self, recording: &Recording, settings: &Settings) {
        for line in self.beside(recording, settings) {
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
            let stamp = self.stamp(settings);
            Ok(fills_hold::beside(recording, settings, &stamp))
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
        let drafts = self.drafts(farm, settings, rows, typing)?;
        let stamp = self.stamp(settings);
        let recording = farm.record(drafts, self.now);
        let recording = recording
            .and_then(|recording| incoming::with_holds(recording, &settings.hold, self.now));
        recording.map_err(|problems| {
            let failure = near_bins(farm, &problems, refused(problems.clone()));
            same_minute(farm, stamp.now, &problems, failure)
        })
    }

    /// Returns the words that stand beside what was recorded.
    fn beside(&self, recording: &Recording, settings: &Settings) -> Vec<String> {
        let now = self.stamp(settings).now;
        let (farm, entries) = (&recording.farm, recording.entries());
        let mut lines = beside::words(recording, settings, now);
        lines.extend(densities::words(farm, entries, settings));
        lines.extend(fill_doubt::words(farm, entries));
        lines.extend(permission_words::about_packs(farm, settings, entries));
        let lines = lines.into_iter().map(|line| format!("warning: {line}"));
        lines
            .chain(fills_hold::words(farm, entries, settings))
            .collect()
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

    /// Reads rows, each of which happened now and by whoever records unless it says otherwise.
    fn drafts(
        &self,
        farm: &Farm,
        settings: &Settings,
        rows: Vec<Row<'static>>,
        typing: Typing,
    ) -> Result<Vec<Draft>, Failure> {
        let stamp = self.stamp(settings);
        let known = Known::of(farm);
        let reader = Reader::new(settings, &known, stamp.now);
        let (mut drafts, mut wrong) = (Vec::new(), Vec::new());
        for mut row in rows {
            if row.cell("when").is_empty() {
                put(&mut row, "when", stamp.now.to_string());
            }
            match reader.read(&row) {
                Ok(draft) => drafts.push(Draft {
                    by: draft.by.or_else(|| stamp.by.clone()),
                    ..draft
                }),
                Err(problems) => wrong.extend(problems),
            }
        }
        if wrong.is_empty() {
            Ok(drafts)
        } else {
            Err(near_codes(farm, &wrong, misread(&wrong, typing)))
        }
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
