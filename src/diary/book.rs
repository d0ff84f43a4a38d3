//! The book: the diary's file, open. The only writer of entries.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior};

use super::chain::Seal;
use super::error::{Damage, DiaryError, RecordError};
use super::read::{self, Care};
use super::schema;
use super::wire::Writer;
use super::words::{Ink, Pen, Words};
use crate::farm::{Entry, Farm, Recording};

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

    /// Asks `decide` what is to be written, given the farm as it is, and writes that or nothing.
    ///
    /// The farm is read, the rule is asked and the entries are written in one transaction that lets no other
    /// writer in between, so that two phones cannot both pack the last of a batch.
    pub fn record<E>(
        &mut self,
        pen: &mut Pen,
        decide: impl FnOnce(&Farm) -> Result<Recording, E>,
    ) -> Result<Recording, RecordError<E>> {
        let tx = self
            .conn
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let words = Words::read(&tx)?;
        let lines = read::read(&tx, &self.path, &words, Care::Read)?;
        let farm = Farm::of(lines.entries);
        let recording = decide(&farm).map_err(|why| RecordError::Refused { why })?;
        let entries = farm.entries().len();
        if recording.before != entries {
            return Err(DiaryError::OtherFarm { entries }.into());
        }
        append(&tx, &recording, &words, pen)?;
        tx.commit()?;
        Ok(recording)
    }
}

/// Writes the new entries and their new words.
fn append(
    tx: &Transaction<'_>,
    recording: &Recording,
    words: &Words,
    pen: &mut Pen,
) -> Result<(), DiaryError> {
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
    ink.write()
}

fn last_seal(conn: &Connection) -> Result<Seal, DiaryError> {
    let last: Option<(u32, String)> = conn
        .query_row(
            "SELECT n, digest FROM entries ORDER BY n DESC LIMIT 1",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .optional()?;
    match last {
        None => Ok(Seal::START),
        Some((entry, digest)) => digest.parse().map_err(|_| DiaryError::Damaged {
            entry: Some(entry),
            damage: Damage::Digest,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample::{BUYER, Shed, at, draft, drafts, feed, pen, record, sale, written};
    use super::*;
    use crate::farm::{Problem, Stamp, Strike, Word};

    type Recorded = Result<Recording, RecordError<Vec<Problem>>>;

    #[test]
    fn a_new_diary_is_empty_and_its_seal_is_64_zeros() {
        let shed = Shed::empty();
        assert_eq!(shed.book.farm().unwrap().entries(), []);
        assert_eq!(shed.book.seal().unwrap(), Seal::START);
    }

    #[test]
    fn what_is_recorded_is_read_by_whoever_opens_the_file_next() {
        let mut shed = Shed::empty();
        let recording = record(&mut shed.book, drafts());
        let seal = shed.book.seal().unwrap();
        let book = shed.again();
        assert_eq!(book.entries().unwrap(), recording.entries());
        assert_eq!(book.farm().unwrap().flows(), recording.farm.flows());
        assert_eq!(book.seal().unwrap(), seal);
        assert_ne!(seal, Seal::START);
    }

    #[test]
    fn the_same_writing_gives_the_same_seal() {
        let seals = [Shed::kept(), Shed::kept()].map(|shed| shed.book.seal().unwrap());
        assert_eq!(seals[0], seals[1]);
    }

    #[test]
    fn many_entries_are_read_by_two_threads_as_by_one() {
        let mut shed = Shed::empty();
        let mut many = drafts();
        let place = |n: usize| format!("R1/S{}/P{}", n % 7, n % 9).parse().unwrap();
        many.extend((0..5000).map(|n| {
            let bin = "A07".parse().unwrap();
            draft(
                "2026-05-01",
                Event::Move {
                    bin,
                    place: place(n),
                },
            )
        }));
        let recording = record(&mut shed.book, many);
        assert_eq!(recording.entries().len(), 5010);
        assert_eq!(shed.book.entries().unwrap(), recording.entries());
    }

    #[test]
    fn a_refusal_writes_nothing() {
        let mut shed = Shed::kept();
        let before = (shed.book.entries().unwrap(), shed.book.seal().unwrap());
        let mut rows = vec![draft("2026-05-02", sale("a new buyer"))];
        rows.extend(vec![feed("2026-02-01")]);
        let refused: Recorded = shed
            .book
            .record(&mut pen(), |farm| farm.record(rows, written()));
        assert!(matches!(refused, Err(RecordError::Refused { why }) if why.len() == 1));
        let after = (shed.book.entries().unwrap(), shed.book.seal().unwrap());
        assert_eq!(after, before);
        assert_eq!(Words::read(&shed.book.conn).unwrap().count(), 5);
    }

    #[test]
    fn a_recording_on_another_farm_is_not_written() {
        let mut shed = Shed::kept();
        let other: Recorded = shed
            .book
            .record(&mut pen(), |_| Farm::default().record(drafts(), written()));
        let error = other.map(|_| ()).unwrap_err();
        assert!(matches!(
            error,
            RecordError::Diary {
                source: DiaryError::OtherFarm { entries: 11 }
            }
        ));
    }

    #[test]
    fn a_second_writer_who_cannot_wait_is_told_that_the_diary_is_busy() {
        let mut shed = Shed::kept();
        let mut second = shed.again();
        second.wait_at_most(Duration::ZERO).unwrap();
        let first: Recorded = shed.book.record(&mut pen(), |farm| {
            let busy: Recorded = second.record(&mut pen(), |farm| {
                farm.record(vec![feed("2026-03-11")], written())
            });
            let busy = busy.map(|_| ()).unwrap_err();
            assert!(matches!(
                busy,
                RecordError::Diary {
                    source: DiaryError::Busy
                }
            ));
            assert_eq!(second.entries().unwrap().len(), 11, "reading goes on");
            farm.record(vec![feed("2026-03-11")], written())
        });
        assert_eq!(first.unwrap().entries()[0].number, 12);
    }

    #[test]
    fn a_second_writer_waits_and_then_sees_what_the_first_wrote() {
        let mut shed = Shed::kept();
        let mut second = shed.again();
        let waiting = std::sync::Mutex::new(None);
        let first: Recorded = shed.book.record(&mut pen(), |farm| {
            let other = std::thread::spawn(move || -> Recorded {
                second.record(&mut pen(), |farm| {
                    farm.record(vec![feed("2026-03-11")], written())
                })
            });
            *waiting.lock().unwrap() = Some(other);
            farm.record(vec![feed("2026-03-11")], written())
        });
        let second = waiting.into_inner().unwrap().unwrap().join().unwrap();
        assert_eq!(first.unwrap().entries()[0].number, 12);
        assert_eq!(second.unwrap().entries()[0].number, 13);
        assert_eq!(shed.book.verify().unwrap().entries, 13);
    }

    #[test]
    fn a_file_that_is_no_diary_is_told_apart() {
        let shed = Shed::kept();
        let folder = shed.path.parent().unwrap();
        let file = |name: &str, bytes: &[u8]| {
            let path = folder.join(name);
            std::fs::write(&path, bytes).unwrap();
            path
        };
        assert!(matches!(
            Book::open(&folder.join("none.db")),
            Err(DiaryError::NoDiary { .. })
        ));
        let garbage = [b'x'; 5000];
        for path in [
            file("text.db", b"not a diary"),
            file("empty.db", b""),
            file("garbage.db", &garbage),
            folder.to_owned(),
        ] {
            let opened = Book::open(&path);
            assert!(
                matches!(opened, Err(DiaryError::NotADiary { .. })),
                "{path:?}"
            );
        }
        assert!(matches!(
            Book::create(&shed.path),
            Err(DiaryError::Exists { .. })
        ));
        shed.book
            .conn
            .pragma_update(None, "user_version", 2)
            .unwrap();
        assert!(matches!(
            Book::open(&shed.path),
            Err(DiaryError::TooNew { version: 2 })
        ));
    }

    #[test]
    fn a_line_that_cannot_be_read_is_named_in_normal_use() {
        let shed = Shed::kept();
        shed.tamper(
            "UPDATE entries SET line = replace(line, 'A07', '??') WHERE n >= 5",
            [],
        );
        let error = shed.book.farm().unwrap_err();
        assert!(matches!(error, DiaryError::Damaged { entry: Some(5), .. }));
        assert!(
            error.to_string().starts_with("entry 5 is damaged: "),
            "{error}"
        );
    }

    #[test]
    fn a_correction_may_name_a_word_that_was_forgotten() {
        let mut shed = Shed::kept();
        shed.book
            .forget(super::super::WhichWord::Text(BUYER))
            .unwrap();
        let forgotten = Word::Forgotten(4);
        let stamp = Stamp {
            written: written(),
            now: at("2026-05-02"),
            by: None,
        };
        let strike = Strike {
            entry: 10,
            why: Word::of("two packs").unwrap(),
        };
        let mut sale = sale("somebody");
        if let Event::Sale { to, .. } = &mut sale {
            to.buyer = Some(forgotten.clone());
        }
        let corrected: Recorded = shed.book.record(&mut pen(), |farm| {
            farm.correct(strike, draft("2026-04-26", sale), &stamp)
        });
        corrected.unwrap();
        let entries = shed.book.entries().unwrap();
        let buyer = |entry: &Entry| match &entry.event {
            Some(Event::Sale { to, .. }) => to.buyer.clone(),
            _ => None,
        };
        assert_eq!(buyer(&entries[9]), Some(forgotten.clone()));
        assert_eq!(buyer(&entries[11]), Some(forgotten));
        assert_eq!(shed.book.verify().unwrap().entries, 12);
    }

    use crate::farm::Event;
}
