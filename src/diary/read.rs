//! Reads the entries: two threads, each with its own way into the file, each half of the lines.
//!
//! Promises to give all entries in order, or the number of the first that cannot be read.

use std::path::Path;

use rusqlite::Connection;

use super::error::{Damage, DiaryError, WireError};
use super::schema::connect;
use super::wire::{self, Writer};
use super::words::{Reader, Sighting, Words};
use crate::farm::{Entry, EntryNumber};

/// Below so many entries a second thread costs more than it saves.
const WORTH_A_THREAD: EntryNumber = 4_000;

/// Room is made for no more entries than this before any is read: a damaged file may name a last number in the thousands
/// of millions.
const MOST_AHEAD: usize = 1 << 18;

/// How closely the lines are looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Care {
    /// Each must be readable.
    Read,
    /// Each must be as it would be written now, its words those it was written with.
    Check,
}

/// What was read.
#[derive(Debug, Default)]
pub(super) struct Lines {
    pub entries: Vec<Entry>,
    /// The digest of each word, and who names it first, where that was looked at.
    pub met: Vec<Option<Sighting>>,
}

/// Reads all entries that the connection's transaction sees.
pub(super) fn read(
    conn: &Connection,
    path: &Path,
    words: &Words,
    care: Care,
) -> Result<Lines, DiaryError> {
    let last = last(conn)?;
    let capacity = usize::try_from(last).expect("entries are numbered in 32 bits");
    if last < WORTH_A_THREAD {
        return part(conn, words, care, (1, last, capacity));
    }
    // Entries are only ever appended, so that another connection sees these as this one does.
    let half = last / 2;
    std::thread::scope(|scope| {
        let first = scope.spawn(|| part(&connect(path)?, words, care, (1, half, capacity)));
        let second = part(conn, words, care, (half + 1, last, capacity - capacity / 2));
        let first = first.join().expect("reading lines does not panic");
        join(first?, second?)
    })
}

/// Returns the number of the last entry.
pub(super) fn last(conn: &Connection) -> Result<EntryNumber, DiaryError> {
    let last: i64 = conn.query_row("SELECT coalesce(max(n), 0) FROM entries", [], |row| {
        row.get(0)
    })?;
    EntryNumber::try_from(last).map_err(|_| DiaryError::Damaged {
        entry: None,
        damage: Damage::Gap,
    })
}

fn join(mut first: Lines, mut second: Lines) -> Result<Lines, DiaryError> {
    first.entries.append(&mut second.entries);
    for (key, (one, two)) in (1..).zip(first.met.iter_mut().zip(second.met)) {
        match (&one, two) {
            (Some(one), Some(two)) if one.sha != two.sha => {
                return Err(DiaryError::Damaged {
                    entry: Some(two.entry),
                    damage: Damage::WordChanged { key },
                });
            }
            (None, two) => *one = two,
            (Some(_), _) => {}
        }
    }
    Ok(first)
}

/// Reads the entries from one number to another.
fn part(
    conn: &Connection,
    words: &Words,
    care: Care,
    (from, to, capacity): (EntryNumber, EntryNumber, usize),
) -> Result<Lines, DiaryError> {
    let mut entries = Vec::with_capacity(capacity.min(MOST_AHEAD));
    let (mut reader, mut writer) = match care {
        Care::Read => (Reader::new(words), None),
        Care::Check => (Reader::checking(words), Some(Writer::default())),
    };
    let mut rows =
        conn.prepare("SELECT n, line FROM entries WHERE n BETWEEN ?1 AND ?2 ORDER BY n")?;
    let mut rows = rows.query([from, to])?;
    for number in from..=to {
        let damaged = |damage| DiaryError::Damaged {
            entry: Some(number),
            damage,
        };
        let row = rows.next()?.ok_or_else(|| damaged(Damage::Gap))?;
        if row.get::<_, i64>(0)? != i64::from(number) {
            return Err(damaged(Damage::Gap));
        }
        reader.entry = number;
        let line = row.get_ref(1)?.as_str();
        let entry = line
            .map_err(|_| WireError::NotText)
            .and_then(|line| wire::read(line, &mut reader, writer.as_mut()));
        entries.push(entry.map_err(|error| unreadable(number, error))?);
    }
    Ok(Lines {
        entries,
        met: reader.met(),
    })
}

fn unreadable(entry: EntryNumber, error: WireError) -> DiaryError {
    let damage = match error {
        WireError::TooNew { version } => return DiaryError::TooNew { version },
        WireError::WordChanged { key } => Damage::WordChanged { key },
        source => Damage::Line { source },
    };
    DiaryError::Damaged {
        entry: Some(entry),
        damage,
    }
}
