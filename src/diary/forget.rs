//! Erases words on request, so that nothing is left in the file to read or to guess by.
//!
//! Promises to touch no entry: the chain verifies afterwards as it did before.

use std::sync::Arc;

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
    pub text: Arc<str>,
}

impl Book {
    /// Returns the word under a key, unless there is none or it was forgotten.
    pub fn word(&self, key: u64) -> Result<Option<Arc<str>>, DiaryError> {
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

#[cfg(test)]
mod tests {
    use super::super::sample::{BUYER, Shed, draft, record, sale};
    use super::super::{DiaryError, WhichWord};

    /// Tells whether the text stands anywhere in the diary's file or its log.
    fn on_disk(shed: &Shed, text: &[u8]) -> bool {
        holds(&disk(shed), text)
    }

    fn disk(shed: &Shed) -> Vec<u8> {
        let mut all = Vec::new();
        for end in ["", "-wal", "-shm"] {
            let mut path = shed.path.clone().into_os_string();
            path.push(end);
            all.extend(std::fs::read(path).unwrap_or_default());
        }
        all
    }

    fn holds(bytes: &[u8], text: &[u8]) -> bool {
        let starts = |place: &usize| bytes[*place..].starts_with(text);
        let first = bytes.iter().enumerate().filter(|(_, b)| **b == text[0]);
        first.map(|(place, _)| place).any(|place| starts(&place))
    }

    fn lines(shed: &Shed) -> Vec<String> {
        let mut lines = shed
            .book
            .conn
            .prepare("SELECT line FROM entries ORDER BY n")
            .unwrap();
        let lines = lines.query_map([], |row| row.get(0)).unwrap();
        lines.collect::<Result<_, _>>().unwrap()
    }

    #[test]
    fn a_forgotten_word_is_gone_from_the_file_and_the_chain_stays() {
        let mut shed = Shed::kept();
        record(
            &mut shed.book,
            vec![draft(
                "2026-04-27",
                sale("told by Mrs Ottoline Quaverly, 3 Invented Row"),
            )],
        );
        let salt: Vec<u8> = shed
            .book
            .conn
            .query_row("SELECT salt FROM words WHERE text = ?1", [BUYER], |row| {
                row.get(0)
            })
            .unwrap();
        assert!(on_disk(&shed, BUYER.as_bytes()) && on_disk(&shed, &salt));
        let (before, sound) = (lines(&shed), shed.book.verify().unwrap());

        let forgotten = shed.book.forget(WhichWord::Text(BUYER)).unwrap();
        assert_eq!(forgotten.keys, [4]);
        assert_eq!(
            forgotten.similar.len(),
            1,
            "the longer word is told of, not erased"
        );
        let also = shed
            .book
            .forget(WhichWord::Key(forgotten.similar[0].key))
            .unwrap();
        assert_eq!(also.keys, [6]);

        assert!(!on_disk(&shed, b"Quaverly") && !on_disk(&shed, &salt));
        assert_eq!(lines(&shed), before);
        assert_eq!(shed.book.verify().unwrap(), sound);
        let farm = shed.book.farm().unwrap();
        let Some(crate::farm::Event::Sale { to, .. }) = &farm.entries()[9].event else {
            panic!("entry 10 is a sale")
        };
        assert_eq!(
            to.buyer.as_ref().map(ToString::to_string).as_deref(),
            Some("forgotten-4")
        );
    }

    /// Pages are split and filled again as words are added, and long words go to pages of their own.
    #[test]
    fn no_copy_stays_on_pages_that_were_split() {
        let mut shed = Shed::kept();
        let buyer =
            |n: usize| format!("Person-{n:04}-{}", "x".repeat(n * 37 % 900 + n / 60 * 2000));
        for step in 0..4 {
            let sales = (0..60).map(|n| {
                let mut draft = draft("2026-04-27", sale("nobody"));
                draft.note = crate::farm::Word::of(&buyer(step * 60 + n));
                draft.event = crate::farm::Event::Move {
                    bin: "A07".parse().unwrap(),
                    place: "R1/S1/P2".parse().unwrap(),
                };
                draft
            });
            record(&mut shed.book, sales.collect());
        }
        let forgotten: Vec<usize> = (0..240).step_by(7).collect();
        let before = disk(&shed);
        for n in &forgotten {
            assert!(holds(&before, format!("Person-{n:04}-").as_bytes()));
            let text = buyer(*n);
            let keys = shed.book.forget(WhichWord::Text(&text)).unwrap().keys;
            assert_eq!(keys.len(), 1);
        }
        let after = disk(&shed);
        for n in forgotten {
            assert!(!holds(&after, format!("Person-{n:04}-").as_bytes()), "{n}");
        }
        assert_eq!(shed.book.verify().unwrap().entries, 251);
    }

    #[test]
    fn a_word_said_again_after_it_was_forgotten_has_a_new_key() {
        let mut shed = Shed::kept();
        shed.book.forget(WhichWord::Text(BUYER)).unwrap();
        record(&mut shed.book, vec![draft("2026-04-27", sale(BUYER))]);
        assert_eq!(shed.book.forget(WhichWord::Text(BUYER)).unwrap().keys, [6]);
    }

    #[test]
    fn what_is_not_there_is_not_forgotten() {
        let mut shed = Shed::kept();
        for which in [
            WhichWord::Text("nobody at all"),
            WhichWord::Text(""),
            WhichWord::Key(0),
            WhichWord::Key(u64::MAX),
        ] {
            let nothing = shed.book.forget(which).unwrap();
            assert!(nothing.keys.is_empty() && nothing.similar.is_empty());
        }
    }

    #[test]
    fn a_reader_who_keeps_old_pages_is_told_of_and_forgetting_again_wipes_them() {
        let mut shed = Shed::kept();
        let reader = shed.again();
        shed.book.wait_at_most(std::time::Duration::ZERO).unwrap();
        let reading = reader.conn.unchecked_transaction().unwrap();
        let _: i64 = reading
            .query_row("SELECT count(*) FROM words", [], |row| row.get(0))
            .unwrap();
        let kept = shed.book.forget(WhichWord::Text(BUYER));
        assert!(matches!(kept, Err(DiaryError::StillInLog)));
        drop(reading);
        assert_eq!(
            shed.book.forget(WhichWord::Text(BUYER)).unwrap().keys,
            [0_u64; 0]
        );
        assert!(!on_disk(&shed, BUYER.as_bytes()));
    }
}
