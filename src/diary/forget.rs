//! Erases words on request, so that nothing is left in the file to read or to guess by.
//!
//! Promises to touch no entry: the chain verifies afterwards as it did before.

use rusqlite::TransactionBehavior;

use super::book::Book;
use super::error::DiaryError;
use super::words::Words;

/// Which words are to be forgotten.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhichWord<'a> {
    /// The word that is exactly this text.
    Text(&'a str),
    /// The word under this key.
    Key(u64),
}

/// What was forgotten.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Forgotten {
    /// The keys of the words that were erased.
    pub keys: Vec<u64>,
    /// Words that stay, and hold the same text among other text.
    pub similar: Vec<SimilarWord>,
}

/// A word that holds a text among other text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SimilarWord {
    /// Its key.
    pub key: u64,
    /// What was said.
    pub text: Box<str>,
}

impl Book {
    /// Returns the word under a key, unless there is none or it was forgotten.
    pub fn word(&self, key: u64) -> Result<Option<Box<str>>, DiaryError> {
        let words = Words::read(&self.conn)?;
        let mut found = words.kept().filter(|(known, _)| *known == key);
        Ok(found.next().map(|(_, kept)| kept.text.clone()))
    }

    /// Erases words with their salts, in the table and in the log beside the file.
    pub fn forget(&mut self, which: WhichWord<'_>) -> Result<Forgotten, DiaryError> {
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let words = Words::read(&tx)?;
        let (keys, text): (Vec<u64>, Option<&str>) = match which {
            WhichWord::Text(text) => {
                let same = words.kept().filter(|(_, kept)| *kept.text == *text);
                (same.map(|(key, _)| key).collect(), Some(text))
            }
            WhichWord::Key(wanted) => {
                let mut found = words.kept().filter(|(key, _)| *key == wanted);
                let found = found.next();
                let keys = found.iter().map(|(key, _)| *key).collect();
                (keys, found.map(|(_, kept)| &*kept.text))
            }
        };
        for key in &keys {
            tx.execute(
                "UPDATE words SET salt = NULL, text = NULL WHERE key = ?1",
                [i64::try_from(*key).expect("keys count from 1")],
            )?;
        }
        tx.commit()?;
        // Done even if nothing was found: another program may have kept the last one from wiping the log.
        self.wipe_log()?;
        let similar = text.map_or_else(Vec::new, |text| similar(&words, text, &keys));
        Ok(Forgotten { keys, similar })
    }

    /// Carries the log's pages over into the file, and cuts the log to nothing.
    fn wipe_log(&self) -> Result<(), DiaryError> {
        let busy: i64 = self
            .conn
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
        if busy == 0 {
            Ok(())
        } else {
            Err(DiaryError::StillInLog)
        }
    }
}

fn similar(words: &Words, text: &str, erased: &[u64]) -> Vec<SimilarWord> {
    let text = text.trim().to_lowercase();
    let holds = |(key, kept): &(u64, &super::words::Kept)| {
        !text.is_empty() && !erased.contains(key) && kept.text.to_lowercase().contains(&text)
    };
    let similar = words.kept().filter(holds);
    similar
        .map(|(key, kept)| SimilarWord {
            key,
            text: kept.text.clone(),
        })
        .collect()
}
