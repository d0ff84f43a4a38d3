//! What writes words down: their keys, their salts, and how a line names them.
//!
//! Promises that the same text has one key, and that a forgotten word named again stays forgotten.

use std::sync::Arc;

use std::collections::HashMap;
use std::fmt;

use rusqlite::{Connection, OptionalExtension};

use super::error::DiaryError;
use super::words::{Kept, Salt, Sha, WordRef, Words};
use crate::farm::{EntryNumber, Word};

/// What the writing of entries takes beside the entries: the farm's time zone, and salts for new words.
pub struct Pen {
    zone: String,
    salts: Box<dyn FnMut() -> Result<Salt, getrandom::Error> + Send>,
}

impl Pen {
    /// Makes a pen with the system's random bytes; `zone` is the name that castlot.toml gives the time zone.
    pub fn new(zone: &str) -> Self {
        Self {
            zone: zone.to_owned(),
            salts: Box::new(|| {
                let mut salt = Salt::default();
                getrandom::fill(&mut salt).map(|()| salt)
            }),
        }
    }

    /// Makes a pen that takes its salts from a given source, so that the same writing gives the same bytes.
    ///
    /// Only for invented farms: a salt that can be guessed lets a forgotten word be guessed back.
    pub fn with_salts(zone: &str, mut salts: impl FnMut() -> Salt + Send + 'static) -> Self {
        Self {
            zone: zone.to_owned(),
            salts: Box::new(move || Ok(salts())),
        }
    }

    /// Returns the name of the time zone.
    pub(super) fn zone(&self) -> &str {
        &self.zone
    }
}

impl fmt::Debug for Pen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Pen")
            .field("zone", &self.zone)
            .finish_non_exhaustive()
    }
}

/// Gives words their keys as entries are written; the same text has one key.
pub(super) struct Ink<'a> {
    conn: &'a Connection,
    pen: &'a mut Pen,
    words: &'a Words,
    keys: HashMap<Arc<str>, Known>,
    count: u64,
    fresh: Vec<(u64, Kept)>,
    /// The entry at hand.
    pub entry: EntryNumber,
}

/// A word that has a key; its digest is worked out when an entry first names it.
enum Known {
    Before(u64, Salt),
    Named(WordRef),
}

impl<'a> Ink<'a> {
    pub fn new(conn: &'a Connection, words: &'a Words, pen: &'a mut Pen) -> Self {
        let keys = words
            .kept()
            .map(|(key, kept)| (kept.text.clone(), Known::Before(key, kept.salt)))
            .collect();
        Self {
            conn,
            pen,
            words,
            keys,
            count: words.count(),
            fresh: Vec::new(),
            entry: 0,
        }
    }

    /// Returns the name of the time zone.
    pub fn zone(&self) -> &str {
        self.pen.zone()
    }

    /// Returns how a line names the word.
    pub fn word(&mut self, word: &Word) -> Result<WordRef, DiaryError> {
        match word {
            Word::Said(text) => self.said(text),
            Word::Forgotten(key) => match self.erased(*key)? {
                Some(named) => Ok(named),
                // Of another diary, then: here its name is all there is of it.
                None => self.said(&word.to_string()),
            },
        }
    }

    /// Returns how a line names a word that may be there.
    pub fn maybe(&mut self, word: Option<&Word>) -> Result<Option<WordRef>, DiaryError> {
        word.map(|word| self.word(word)).transpose()
    }

    /// Returns how a line names a text.
    pub fn said(&mut self, text: &str) -> Result<WordRef, DiaryError> {
        let named = match self.keys.get(text) {
            Some(Known::Named(named)) => return Ok(*named),
            Some(Known::Before(key, salt)) => WordRef {
                sha256: Sha::of(salt, text),
                word: *key,
            },
            None => {
                let salt = (self.pen.salts)().map_err(|source| DiaryError::NoRandom { source })?;
                let kept = Kept {
                    salt,
                    text: text.into(),
                };
                let sha256 = kept.sha();
                self.count += 1;
                self.fresh.push((self.count, kept));
                WordRef {
                    sha256,
                    word: self.count,
                }
            }
        };
        self.keys.insert(text.into(), Known::Named(named));
        Ok(named)
    }

    /// Returns how earlier lines name a word that was forgotten; its digest stands nowhere else.
    fn erased(&self, key: u64) -> Result<Option<WordRef>, DiaryError> {
        if !matches!(self.words.at(key), Some(None)) {
            return Ok(None);
        }
        let tail = format!("\",\"word\":{key}}}");
        let line: Option<String> = self
            .conn
            .query_row(
                "SELECT line FROM entries WHERE instr(line, ?1) > 0 ORDER BY n LIMIT 1",
                [&tail],
                |row| row.get(0),
            )
            .optional()?;
        Ok(line.and_then(|line| {
            let end = line.find(&tail)?;
            let sha256 = line.get(end.checked_sub(64)?..end)?;
            WordRef::read(sha256, key)
        }))
    }

    /// Writes the new words down.
    pub fn write(self) -> Result<(), DiaryError> {
        let mut insert = self
            .conn
            .prepare("INSERT INTO words (key, salt, text) VALUES (?1, ?2, ?3)")?;
        for (key, kept) in &self.fresh {
            let key = i64::try_from(*key).expect("keys count from 1");
            insert.execute((key, &kept.salt[..], &*kept.text))?;
        }
        Ok(())
    }
}
