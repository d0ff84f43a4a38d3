//! How the diary stood when it was read, by which to tell whether it still does; and recording on a farm that is in memory,
//! for whoever keeps one: then the diary is locked only while the new entries are written.
//!
//! Promises what `Book::record` does: nothing is written on top of a diary that was changed, nor on a farm that is not as
//! the diary has it.

use rusqlite::{Connection, TransactionBehavior};

use super::book::{self, Book};
use super::chain::Seal;
use super::error::{DiaryError, RecordError};
use super::ink::Pen;
use super::read::{self, Care};
use super::verify::chain;
use super::words::Words;
use crate::farm::{Farm, Recording};

/// How the diary stood when its farm was read. Only the book that read it can tell whether it still stands so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stand {
    seal: Seal,
    /// SQLite's number of what other connections have written, whatever that was.
    writes: i64,
    links: Links,
}

/// What is known of the chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Links {
    Unchecked,
    Hold,
}

impl Stand {
    /// Returns the digest of the last entry.
    pub fn seal(&self) -> Seal {
        self.seal
    }

    fn of(conn: &Connection, links: Links) -> Result<Self, DiaryError> {
        Ok(Self {
            writes: conn.query_row("PRAGMA data_version", [], |row| row.get(0))?,
            seal: book::last_seal(conn)?,
            links,
        })
    }

    pub(super) fn is_as(&self, conn: &Connection) -> Result<bool, DiaryError> {
        Ok(Self::of(conn, self.links)? == *self)
    }
}

impl Book {
    /// Returns the farm that the entries add up to, and how the diary stood.
    pub fn standing_farm(&self) -> Result<(Farm, Stand), DiaryError> {
        let tx = self.conn.unchecked_transaction()?;
        let stand = Stand::of(&tx, Links::Unchecked)?;
        let words = Words::read(&tx)?;
        let lines = read::read(&tx, &self.path, &words, Care::Read)?;
        Ok((Farm::of(lines.entries), stand))
    }

    /// Reads the farm and the words of a diary that was not changed since it was written, and how it stands.
    pub(super) fn sound_farm(&self) -> Result<((Farm, Words), Stand), DiaryError> {
        let tx = self.conn.unchecked_transaction()?;
        let stand = Stand::of(&tx, Links::Hold)?;
        Ok((book::sound(&tx, &self.path)?, stand))
    }

    /// Tells whether the diary stands as this book read it; `forget` too makes it another.
    pub fn still_stands(&self, stand: &Stand) -> Result<bool, DiaryError> {
        let tx = self.conn.unchecked_transaction()?;
        stand.is_as(&tx)
    }

    /// Asks `decide` what is to be written, given a farm that this book read, and writes that or nothing; returns how
    /// the diary then stands.
    ///
    /// The rule is asked before the diary is locked. If it is found to stand otherwise then, all is read and the rule is
    /// asked again, as `record` does. The chain is followed once for each farm that was read from the file.
    pub fn record_on<E>(
        &mut self,
        (farm, stand): (&Farm, Stand),
        pen: &mut Pen,
        decide: impl Fn(&Farm) -> Result<Recording, E>,
    ) -> Result<(Recording, Stand), RecordError<E>> {
        self.check_links(&stand)?;
        let decided = decide(farm);
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let now = Stand::of(&tx, Links::Hold)?;
        let (decided, entries, words) = if stand.is_as(&tx)? {
            (decided, farm.entries().len(), Words::read(&tx)?)
        } else {
            let (farm, words) = book::sound(&tx, &self.path)?;
            (decide(&farm), farm.entries().len(), words)
        };
        let recording = decided.map_err(|why| RecordError::Refused { why })?;
        let seal = book::write(tx, (&recording, entries), &words, pen)?;
        Ok((recording, Stand { seal, ..now }))
    }

    /// Follows the chain of a diary of which only the lines were read. Where it stands otherwise by now, whoever reads
    /// it again does.
    fn check_links(&self, stand: &Stand) -> Result<(), DiaryError> {
        let tx = self.conn.unchecked_transaction()?;
        if stand.links == Links::Unchecked && stand.is_as(&tx)? {
            chain(&tx)?;
        }
        Ok(())
    }
}
