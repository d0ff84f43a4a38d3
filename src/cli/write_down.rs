//! What every recording command does: opens the diary, has its rows judged, writes all of them or none, and tells.

use std::mem::{Discriminant, discriminant};
use std::path::PathBuf;

use jiff::ToSpan;
use serde::Serialize;

use crate::diary::{Book, Pen, RecordError};
use crate::farm::{
    CodeError, Draft, Entry, Farm, Moment, Noun, Problem, Recording, Refusal, Settings, Warning,
};
use crate::sheets::{CellProblem, Known, Reader, Row, SheetError};

use super::failure::Failure;
use super::named::nearly;
use super::shed::Shed;
use super::{beside, densities, fills_hold, hint, incoming, out, permission_words, voice};

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
        let recording = self.write(&settings, |farm| {
            let rows = make(farm, &settings)?;
            let drafts = self.drafts(farm, &settings, rows, typing)?;
            let stamp = self.stamp(&settings);
            let recording = farm.record(drafts, self.now);
            let recording = recording
                .and_then(|recording| incoming::with_holds(recording, &settings.hold, self.now));
            let recording = recording.map_err(|problems| {
                let failure = near_bins(farm, &problems, refused(problems.clone()));
                same_minute(farm, stamp.now, &problems, failure)
            })?;
            let more = fills_hold::following(&recording, &settings, &stamp);
            Ok(fills_hold::with(recording, more))
        })?;
        let now = self.stamp(&settings).now;
        let (farm, entries) = (&recording.farm, recording.entries());
        let mut lines = beside::words(&recording, &settings, now);
        lines.extend(densities::words(farm, entries, &settings));
        lines.extend(permission_words::about_packs(farm, &settings, entries));
        for line in lines {
            voice::note(format!("warning: {line}"));
        }
        for line in fills_hold::words(farm, entries, &settings) {
            voice::note(line);
        }
        Ok(recording)
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

/// Adds the codes that may have been meant by one with a slip in it.
fn near_codes(farm: &Farm, problems: &[CellProblem], mut failure: Failure) -> Failure {
    let typed = problems.iter().filter_map(|problem| match &problem.error {
        SheetError::Code {
            source: CodeError::Check { typed },
        } => Some(typed),
        _ => None,
    });
    for code in typed.flat_map(|typed| farm.nearest_codes(typed)) {
        failure.hint_once(hint::if_meant(&code.to_string()));
    }
    failure
}

/// Adds the bin that may have been meant by one that there is not.
fn near_bins(farm: &Farm, problems: &[Problem], mut failure: Failure) -> Failure {
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
fn same_minute(farm: &Farm, now: Moment, problems: &[Problem], mut failure: Failure) -> Failure {
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

/// Names the entry that a warning is about, where there are several.
fn entry_prefix(recording: &Recording, index: usize) -> String {
    match recording.entries() {
        [_] => String::new(),
        entries => format!("entry {}: ", entries[index].number),
    }
}

/// More lines than this of one kind of warning are counted rather than shown.
const SHOWN: usize = 3;

/// Writes the warnings of a recording, those of a kind together, and no more than a few of each.
pub fn warnings(recording: &Recording, place: impl Fn(usize) -> String) -> Vec<String> {
    let mut kinds: Vec<(Discriminant<Warning>, Alike)> = Vec::new();
    for (index, warning) in recording.warnings() {
        let kind = discriminant(warning);
        let at = kinds.iter().position(|(known, _)| *known == kind);
        let at = at.unwrap_or_else(|| {
            kinds.push((kind, Alike::default()));
            kinds.len() - 1
        });
        kinds[at].1.add(warning.to_string(), || place(index));
    }
    let kinds = kinds.into_iter();
    kinds.flat_map(|(_, alike)| alike.told()).collect()
}

/// Warnings of one kind: the first few, and how many there are.
#[derive(Default)]
struct Alike {
    /// Text and place, each text once.
    shown: Vec<(String, String)>,
    count: usize,
}

impl Alike {
    fn add(&mut self, text: String, place: impl FnOnce() -> String) {
        self.count += 1;
        let told = self.shown.iter().any(|(shown, _)| *shown == text);
        if !told && self.shown.len() < SHOWN {
            self.shown.push((text, place()));
        }
    }

    fn told(self) -> Vec<String> {
        let more = self.count - self.shown.len();
        let shown = self.shown.into_iter();
        let mut lines: Vec<String> = shown
            .map(|(text, place)| format!("warning: {place}{text}"))
            .collect();
        if more > 0 {
            lines.push(format!("warning: {more} more of this kind"));
        }
        lines
    }
}
