//! The table of words: names and free text, kept beside the chain so that they can be forgotten.
//!
//! An entry holds a word's key and the SHA-256 of its salt and text. Erasing salt and text leaves nothing to
//! guess by; changing them shows.

use std::fmt;
use std::sync::Arc;

use jiff::Timestamp;

use rusqlite::Connection;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::chain::hex;
use super::error::{Damage, DiaryError, WireError};
use crate::farm::{EntryNumber, Word};

/// The random bytes that stand with a word.
pub(super) type Salt = [u8; 16];

/// A word as an entry's line names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordRef {
    pub sha256: Sha,
    pub word: u64,
}

impl WordRef {
    /// Makes one of its parts, if the digest may be one.
    pub fn read(sha256: &str, word: u64) -> Option<Self> {
        Sha::read(sha256).map(|sha256| Self { sha256, word })
    }
}

/// A SHA-256 as 64 hex characters, kept as they stand: they are compared, and otherwise only passed on.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) struct Sha([u8; 64]);

impl Sha {
    pub fn of(salt: &Salt, text: &str) -> Self {
        let mut hash = Sha256::new();
        hash.update(salt);
        hash.update(text);
        Self(hex(&hash.finalize().into()))
    }

    fn as_str(&self) -> &str {
        std::str::from_utf8(&self.0).expect("made of a text of 64 bytes")
    }

    fn read(text: &str) -> Option<Self> {
        text.as_bytes().try_into().ok().map(Self)
    }

    fn is_sound(&self) -> bool {
        let hex = |b: &u8| b.is_ascii_digit() || (b'a'..=b'f').contains(b);
        self.0.iter().all(hex)
    }
}

impl fmt::Debug for Sha {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl Serialize for Sha {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.as_str())
    }
}

impl<'de> Deserialize<'de> for Sha {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        // Only verify looks at the characters: here they are passed on, for each word of each line.
        let text = <&str>::deserialize(from)?;
        let wanted = &"64 hex characters";
        Self::read(text).ok_or_else(|| {
            serde::de::Error::invalid_value(serde::de::Unexpected::Str(text), wanted)
        })
    }
}

/// A word that has not been forgotten.
#[derive(Clone, Debug)]
pub(super) struct Kept {
    pub salt: Salt,
    pub text: Arc<str>,
}

/// All words by key, which count from 1; nothing where one was forgotten.
#[derive(Clone, Debug, Default)]
pub(super) struct Words(Vec<Option<Kept>>);

impl Words {
    /// Reads the table.
    pub fn read(conn: &Connection) -> Result<Self, DiaryError> {
        let mut words = Vec::new();
        let mut rows = conn.prepare("SELECT key, salt, text FROM words ORDER BY key")?;
        let mut rows = rows.query([])?;
        while let Some(row) = rows.next()? {
            let key = words.len() as u64 + 1;
            let broken = || DiaryError::Damaged {
                entry: None,
                damage: Damage::WordBroken { key },
            };
            let there: i64 = row.get(0)?;
            if u64::try_from(there) != Ok(key) {
                return Err(broken());
            }
            let salt: Option<Vec<u8>> = row.get(1).map_err(|_| broken())?;
            let text: Option<String> = row.get(2).map_err(|_| broken())?;
            words.push(match (salt, text) {
                (Some(salt), Some(text)) => Some(Kept {
                    salt: salt.try_into().map_err(|_| broken())?,
                    text: text.into(),
                }),
                (None, None) => None,
                (Some(_), None) | (None, Some(_)) => return Err(broken()),
            });
        }
        Ok(Self(words))
    }

    /// Returns all that are kept, with their keys.
    pub fn kept(&self) -> impl Iterator<Item = (u64, &Kept)> {
        let numbered = (1..).zip(&self.0);
        numbered.filter_map(|(key, word)| Some((key, word.as_ref()?)))
    }

    /// Returns how many keys were ever given.
    pub fn count(&self) -> u64 {
        self.0.len() as u64
    }

    pub fn at(&self, key: u64) -> Option<&Option<Kept>> {
        self.0.get(usize::try_from(key.checked_sub(1)?).ok()?)
    }
}

/// Turns the words of lines back into what was said, and may check each against its digest.
pub(super) struct Reader<'a> {
    words: &'a Words,
    /// The digest each word must have: from its text, or as the first entry that names it has it.
    checked: Option<Vec<Option<Sighting>>>,
    /// The entry at hand.
    pub entry: EntryNumber,
    /// The instant read last, as text: the entries of an import all have one.
    last: (String, Timestamp),
}

/// The digest of a word, and the first entry that names it so.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sighting {
    pub sha: Sha,
    pub entry: EntryNumber,
}

impl<'a> Reader<'a> {
    pub fn new(words: &'a Words) -> Self {
        Self {
            words,
            checked: None,
            entry: 0,
            last: (String::new(), Timestamp::UNIX_EPOCH),
        }
    }

    /// Makes a reader that checks every word it meets.
    pub fn checking(words: &'a Words) -> Self {
        Self {
            words,
            checked: Some(vec![None; words.0.len()]),
            ..Self::new(words)
        }
    }

    /// Returns the instant that a line names.
    pub fn instant(&mut self, text: &str) -> Option<Timestamp> {
        if self.last.0 != text {
            self.last = (text.to_owned(), text.parse().ok()?);
        }
        Some(self.last.1)
    }

    /// Returns the word that a line names.
    pub fn word(&mut self, named: WordRef) -> Result<Word, WireError> {
        let key = named.word;
        let there = self.words.at(key).ok_or(WireError::NoWord { key })?;
        if let Some(checked) = &mut self.checked {
            let seen = usize::try_from(key - 1).expect("the key has a place");
            let must = checked[seen].get_or_insert_with(|| Sighting {
                sha: there.as_ref().map_or(named.sha256, Kept::sha),
                entry: self.entry,
            });
            if must.sha != named.sha256 || !must.sha.is_sound() {
                return Err(WireError::WordChanged { key });
            }
        }
        Ok(match there {
            // Taken from a paper of another diary, where the word was forgotten before.
            Some(kept) if kept.text.starts_with("forgotten-") => {
                Word::of(&kept.text).unwrap_or_else(|| Word::Said(kept.text.clone()))
            }
            Some(kept) => Word::Said(kept.text.clone()),
            None => Word::Forgotten(key),
        })
    }

    /// Returns the word that a line may name.
    pub fn maybe(&mut self, named: Option<WordRef>) -> Result<Option<Word>, WireError> {
        named.map(|named| self.word(named)).transpose()
    }

    /// Returns what was met, by key; nothing for a word that no line named.
    pub fn met(self) -> Vec<Option<Sighting>> {
        self.checked.unwrap_or_default()
    }
}

impl Kept {
    pub fn sha(&self) -> Sha {
        Sha::of(&self.salt, &self.text)
    }
}
