//! Records a form: once, by whoever is signed in, through the same desk and the same writer as the terminal.

use crate::desk::Clerk;
use crate::desk::warned::warnings;
use crate::diary::{Book, Pen};
use crate::farm::{EntryNumber, Farm, Recording, Word};
use crate::sheets::Row;

use super::complaint_page;
use super::forms::{Deed, own_entries};
use super::live::Snapshot;
use super::not_recorded::NotRecorded;
use super::posted::Posted;
use super::routes::Serving;
use super::sent::{Once, entries_written};
use super::tapped::when;
use super::today::Rack;

/// What a form asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// That something done at a bed or a bin is written down.
    Deed(Deed),
    /// That a complaint is taken.
    Complaint,
    /// That entries are taken back.
    TakeBack,
}

/// What came of it.
pub struct Recorded {
    /// Whether it was recorded now or before, or not at all.
    pub once: Once,
    /// What is to be said beside it.
    pub warnings: Vec<String>,
}

/// A form that is being recorded.
struct Work<'a> {
    serving: &'a Serving,
    posted: &'a Posted,
    snapshot: &'a Snapshot,
    rack: Rack<'a>,
    by: Word,
}

/// Records a form, unless it was recorded before. Waits for the disk.
///
/// # Errors
/// Says why nothing was recorded.
pub fn record(
    serving: &Serving,
    posted: &Posted,
    act: Act,
    (snapshot, rack): (&Snapshot, Rack<'_>),
) -> Result<Recorded, NotRecorded> {
    let work = Work {
        serving,
        posted,
        snapshot,
        rack,
        by: posted.by.worker(),
    };
    let door = &serving.shed.door;
    let mut warnings = Vec::new();
    let once = door.sent().once(
        &posted.key,
        &posted.content,
        door.clock().now(),
        |instant| {
            let entries = work.book()?.entries()?;
            Ok::<_, NotRecorded>(entries_written(&entries, instant, &work.by))
        },
        |instant| {
            let clerk = Clerk::new(&snapshot.settings, instant, Some(work.by.clone()));
            let (entries, beside) = work.write(&clerk, act)?;
            warnings = beside;
            Ok(entries)
        },
    )?;
    Ok(Recorded { once, warnings })
}

impl Work<'_> {
    fn book(&self) -> Result<Book, NotRecorded> {
        Ok(Book::open(&self.serving.live.surroundings.diary)?)
    }

    /// Writes it, and returns the numbers of the new entries and what is to be said beside them.
    fn write(
        &self,
        clerk: &Clerk<'_>,
        act: Act,
    ) -> Result<(Vec<EntryNumber>, Vec<String>), NotRecorded> {
        // What the form alone can be refused for needs no turn at the diary.
        let rows = self.rows(clerk, act)?;
        let zone = self.snapshot.settings.zone.iana_name().unwrap_or("UTC");
        let written = self.serving.live.record(
            &mut Pen::new(zone),
            |farm| match &rows {
                Some(rows) => Ok(clerk.and_holds(clerk.judge(farm, rows.clone())?)),
                None => self.taken_back(clerk, farm),
            },
            |recording| {
                let numbers = recording.entries().iter().map(|entry| entry.number);
                (numbers.collect(), beside(clerk, recording))
            },
        );
        Ok(written?)
    }

    /// Returns the rows of a form; none of one that takes back.
    fn rows(&self, clerk: &Clerk<'_>, act: Act) -> Result<Option<Vec<Row<'static>>>, NotRecorded> {
        let fields = self.posted.fields();
        let zone = &self.snapshot.settings.zone;
        let when = when(self.posted.age, clerk.stamp.written, zone);
        let when = when.as_deref();
        Ok(match act {
            Act::Deed(deed) => Some(deed.rows(self.rack, fields, when)?),
            Act::Complaint => Some(vec![complaint_page::row(self.rack, fields, when)?]),
            Act::TakeBack => None,
        })
    }

    /// Strikes entries, the last first, all or none.
    fn taken_back(&self, clerk: &Clerk<'_>, farm: &Farm) -> Result<Recording, NotRecorded> {
        let fields = self.posted.fields();
        let mut entries = own_entries(farm, fields, &self.by)?;
        entries.sort_unstable_by_key(|entry| std::cmp::Reverse(*entry));
        let why = Word::of(fields.said("why").unwrap_or("taken back"));
        let why = why.expect("what a field says is not empty");
        let mut struck: Option<Recording> = None;
        for entry in entries {
            let now = struck.as_ref().map_or(farm, |struck| &struck.farm);
            let one = clerk.strike(now, entry, why.clone());
            let one = one.map_err(|problems| NotRecorded::Stands { problems })?;
            struck = Some(Recording {
                farm: one.farm,
                before: farm.entries().len(),
            });
        }
        Ok(struck.expect("a form names an entry at least"))
    }
}

fn beside(clerk: &Clerk<'_>, recording: &Recording) -> Vec<String> {
    let mut lines = warnings(recording, |_| String::new());
    lines.extend(clerk.beside(recording));
    let mut told: Vec<String> = Vec::new();
    for line in lines {
        let line = line.trim_start_matches("warning: ").to_owned();
        if !told.contains(&line) {
            told.push(line);
        }
    }
    told
}
