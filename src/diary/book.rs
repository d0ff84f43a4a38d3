//! The book: the diary's file, open. The only writer of entries.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior};

use super::chain::Seal;
use super::error::{Damage, DiaryError, RecordError};
use super::ink::{Ink, Pen};
use super::read::{self, Care};
use super::schema;
use super::verify::chain;
use super::wire::Writer;
use super::words::Words;
use crate::farm::{Entry, EntryNumber, Farm, Recording};

/// A diary, open.
#[derive(Debug)]
pub struct Book {
    pub(super) conn: Connection,
    pub(super) path: PathBuf,
}

impl Book {
    /// Makes an empty diary where there is no file yet.
    pub fn create(path: &Path) -> Result<Self, DiaryError> {
        Ok(Self {
            conn: schema::create(path)?,
            path: path.to_owned(),
        })
    }

    /// Opens a diary that is there.
    pub fn open(path: &Path) -> Result<Self, DiaryError> {
        Ok(Self {
            conn: schema::open(path)?,
            path: path.to_owned(),
        })
    }

    /// Sets how long a writer waits for another to finish; five seconds where nobody says.
    pub fn wait_at_most(&mut self, patience: Duration) -> Result<(), DiaryError> {
        Ok(self.conn.busy_timeout(patience)?)
    }

    /// Returns the farm that the entries add up to.
    pub fn farm(&self) -> Result<Farm, DiaryError> {
        Ok(Farm::of(self.entries()?))
    }

    /// Returns all entries by number.
    pub fn entries(&self) -> Result<Vec<Entry>, DiaryError> {
        let tx = self.conn.unchecked_transaction()?;
        let words = Words::read(&tx)?;
        Ok(read::read(&tx, &self.path, &words, Care::Read)?.entries)
    }

    /// Returns the digest of the last entry.
    pub fn seal(&self) -> Result<Seal, DiaryError> {
        last_seal(&self.conn)
    }

    /// Returns the digest of that entry, which was the seal while it was the last; `None` where there is no such entry.
    pub fn seal_at(&self, entry: EntryNumber) -> Result<Option<Seal>, DiaryError> {
        if entry == 0 {
            return Ok(Some(Seal::START));
        }
        let digest: Option<String> = self
            .conn
            .query_row("SELECT digest FROM entries WHERE n = ?1", [entry], |row| {
                row.get(0)
            })
            .optional()?;
        digest.map(|digest| read_seal(entry, &digest)).transpose()
    }

    /// Asks `decide` what is to be written, given the farm as it is, and writes that or nothing.
    ///
    /// The rule is asked of the farm as it is and the entries are written in one transaction that lets no other
    /// writer in between, so that two phones cannot both pack the last of a batch. A diary whose chain does not
    /// hold is damaged, and nothing is added to it.
    pub fn record<E>(
        &mut self,
        pen: &mut Pen,
        decide: impl FnOnce(&Farm) -> Result<Recording, E>,
    ) -> Result<Recording, RecordError<E>> {
        // Read before the diary is locked: others need not wait for that, and it is read again only if one wrote meanwhile.
        let (read, stand) = self.sound_farm()?;
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let (farm, words) = if stand.is_as(&tx)? {
            read
        } else {
            sound(&tx, &self.path)?
        };
        let recording = decide(&farm).map_err(|why| RecordError::Refused { why })?;
        write(tx, (&recording, farm.entries().len()), &words, pen)?;
        Ok(recording)
    }
}

/// Reads the farm of a diary that was not changed since it was written; nothing is written on top of another.
pub(super) fn sound(tx: &Transaction<'_>, path: &Path) -> Result<(Farm, Words), DiaryError> {
    chain(tx)?;
    let words = Words::read(tx)?;
    let lines = read::read(tx, path, &words, Care::Read)?;
    Ok((Farm::of(lines.entries), words))
}

/// Writes what was decided on a farm of so many entries, and returns the new seal.
pub(super) fn write(
    tx: Transaction<'_>,
    (recording, entries): (&Recording, usize),
    words: &Words,
    pen: &mut Pen,
) -> Result<Seal, DiaryError> {
    if recording.before != entries {
        return Err(DiaryError::OtherFarm { entries });
    }
    let seal = append(&tx, recording, words, pen)?;
    tx.commit()?;
    Ok(seal)
}

/// Writes the new entries and their new words.
fn append(
    tx: &Transaction<'_>,
    recording: &Recording,
    words: &Words,
    pen: &mut Pen,
) -> Result<Seal, DiaryError> {
    let mut seal = last_seal(tx)?;
    let mut ink = Ink::new(tx, words, pen);
    let mut writer = Writer::default();
    let mut insert = tx.prepare("INSERT INTO entries (n, line, digest) VALUES (?1, ?2, ?3)")?;
    for entry in recording.entries() {
        let line = writer.write(entry, &mut ink)?;
        seal = seal.then(line.as_bytes());
        let digest = seal.hex();
        let digest = std::str::from_utf8(&digest).expect("hex characters are ASCII");
        insert.execute((entry.number, line, digest))?;
    }
    ink.write()?;
    Ok(seal)
}

pub(super) fn last_seal(conn: &Connection) -> Result<Seal, DiaryError> {
    let last: Option<(u32, String)> = conn
        .query_row(
            "SELECT n, digest FROM entries ORDER BY n DESC LIMIT 1",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .optional()?;
    match last {
        None => Ok(Seal::START),
        Some((entry, digest)) => read_seal(entry, &digest),
    }
}

fn read_seal(entry: EntryNumber, digest: &str) -> Result<Seal, DiaryError> {
    digest.parse().map_err(|_| DiaryError::Damaged {
        entry: Some(entry),
        damage: Damage::Digest,
    })
}
