//! Recomputes all of it: chain, numbers, lines, words, triggers, and the farm that it adds up to.
//!
//! Promises to change nothing, and to name the first bad entry.

use rusqlite::Connection;

use super::book::Book;
use super::chain::Seal;
use super::error::{Damage, DiaryError};
use super::read::{self, Care};
use super::schema;
use super::words::Words;
use crate::farm::{EntryNumber, Farm, Refusal};

/// What a sound diary comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Verified {
    /// How many entries it has.
    pub entries: EntryNumber,
    /// Its seal.
    pub seal: Seal,
}

impl Book {
    /// Recomputes everything; damage is an error that names the first bad entry.
    pub fn verify(&self) -> Result<Verified, DiaryError> {
        let tx = self.conn.unchecked_transaction()?;
        // Whoever takes the triggers away does it to change something: an entry that is bad says more.
        if let Err(schema) = schema::check(&tx) {
            return Err(self.first_bad(&tx).unwrap_or(schema));
        }
        let words = Words::read(&tx)?;
        let lines = read::read(&tx, &self.path, &words, Care::Check);
        let (verified, lines) = match (chain(&tx), lines) {
            (Ok(verified), Ok(lines)) => (verified, lines),
            (Err(chain), Err(line)) if place(&line) < place(&chain) => return Err(line),
            (Err(chain), _) => return Err(chain),
            (Ok(_), Err(line)) => return Err(line),
        };
        if let Some((key, _)) = (1..).zip(&lines.met).find(|(_, met)| met.is_none()) {
            return Err(DiaryError::Damaged {
                entry: None,
                damage: Damage::WordUnused { key },
            });
        }
        let farm = Farm::of(lines.entries);
        // A diary of before holds were followed downstream may hold uses of what one reached.
        let faults = farm.faults().iter();
        let faults = faults.filter(|fault| !matches!(fault.refusal, Refusal::HeldFor { .. }));
        match faults.min_by_key(|fault| fault.entry) {
            None => Ok(verified),
            Some(fault) => Err(DiaryError::Damaged {
                entry: Some(farm.entries()[fault.entry].number),
                damage: Damage::Fault {
                    refusal: Box::new(fault.refusal.clone()),
                },
            }),
        }
    }

    /// Returns the damage of the first bad entry, where an entry is bad, in a file whose tables may not be ours.
    fn first_bad(&self, conn: &Connection) -> Option<DiaryError> {
        let lines = || read::read(conn, &self.path, &Words::read(conn)?, Care::Check);
        let found = [chain(conn).err(), lines().err()];
        let found = found.into_iter().flatten();
        found.filter(|error| place(error) > 0).min_by_key(place)
    }
}

/// Follows the digests from the first entry to the last.
pub(super) fn chain(conn: &Connection) -> Result<Verified, DiaryError> {
    let mut seal = Seal::START;
    let mut entries: EntryNumber = 0;
    let mut rows = conn.prepare("SELECT n, line, digest FROM entries ORDER BY n")?;
    let mut rows = rows.query([])?;
    while let Some(row) = rows.next()? {
        entries += 1;
        let damaged = |damage| DiaryError::Damaged {
            entry: Some(entries),
            damage,
        };
        if row.get::<_, i64>(0)? != i64::from(entries) {
            return Err(damaged(Damage::Gap));
        }
        let bytes = |column| {
            let text = row.get_ref(column)?.as_bytes();
            text.map_err(|_| damaged(Damage::Digest))
        };
        seal = seal.then(bytes(1)?);
        if bytes(2)? != seal.hex() {
            return Err(damaged(Damage::Digest));
        }
    }
    Ok(Verified { entries, seal })
}

/// Returns where damage is, to find the first; what is in no entry comes before all.
fn place(error: &DiaryError) -> EntryNumber {
    match error {
        DiaryError::Damaged {
            entry: Some(entry), ..
        } => *entry,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use proptest::test_runner::{Config, TestCaseError, TestRunner};

    use super::super::sample::{BUYER, Shed};
    use super::*;

    fn damage(shed: &Shed) -> (Option<EntryNumber>, Damage) {
        match shed.book.verify() {
            Err(DiaryError::Damaged { entry, damage }) => (entry, damage),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_sound_diary_has_its_number_of_entries_and_its_seal() {
        let shed = Shed::kept();
        let seal = shed.book.seal().unwrap();
        assert_eq!(shed.book.verify().unwrap(), Verified { entries: 11, seal });
        let empty = Shed::empty().book.verify().unwrap();
        assert_eq!((empty.entries, empty.seal), (0, Seal::START));
    }

    /// Any byte of any line or digest, whatever it is changed to.
    #[test]
    fn any_changed_byte_is_laid_at_the_first_bad_entry() {
        let shed = Shed::kept();
        let mut rows = shed
            .book
            .conn
            .prepare("SELECT line, digest FROM entries ORDER BY n")
            .unwrap();
        let rows: Vec<[Vec<u8>; 2]> = rows
            .query_map([], |row| {
                let text = |at| row.get::<_, String>(at).map(String::into_bytes);
                Ok([text(0)?, text(1)?])
            })
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        let places = (
            0..rows.len(),
            0..2_usize,
            any::<prop::sample::Index>(),
            1..=255_u8,
        );
        let mut runner = TestRunner::new(Config {
            cases: 150,
            failure_persistence: None,
            ..Config::default()
        });
        let tried = runner.run(&places, |(row, column, place, flip)| {
            let mut bytes = rows[row][column].clone();
            let place = place.index(bytes.len());
            bytes[place] ^= flip;
            let column = ["line", "digest"][column];
            let sql = format!("UPDATE entries SET {column} = CAST(?1 AS TEXT) WHERE n = ?2");
            shed.tamper(&sql, (&bytes, row as i64 + 1));
            let found = shed.book.verify();
            let other = usize::from(column == "digest");
            shed.tamper(&sql, (&rows[row][other], row as i64 + 1));
            match found {
                Err(DiaryError::Damaged { entry: Some(n), .. }) if n as usize == row + 1 => Ok(()),
                other => Err(TestCaseError::fail(format!("{other:?}"))),
            }
        });
        tried.unwrap();
        assert_eq!(shed.book.verify().unwrap().entries, 11);
    }

    #[test]
    fn a_bad_entry_is_named_though_the_triggers_are_gone() {
        let shed = Shed::kept();
        let conn = &shed.book.conn;
        conn.execute_batch("DROP TRIGGER entries_stay").unwrap();
        assert!(matches!(damage(&shed), (None, Damage::Schema { .. })));
        conn.execute_batch("UPDATE entries SET line = replace(line, '1', '2') WHERE n = 4")
            .unwrap();
        assert!(matches!(damage(&shed), (Some(4), Damage::Digest)));
    }

    #[test]
    fn a_line_rewritten_with_its_own_digest_breaks_the_next() {
        let shed = Shed::kept();
        let (line, before): (String, String) = shed
            .book
            .conn
            .query_row(
                "SELECT line, (SELECT digest FROM entries WHERE n = 4) FROM entries WHERE n = 5",
                [],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .unwrap();
        let line = line.replace("\"g\":1000", "\"g\":9000");
        let digest = before.parse::<Seal>().unwrap().then(line.as_bytes());
        shed.tamper(
            "UPDATE entries SET line = ?1, digest = ?2 WHERE n = 5",
            (line, digest.to_string()),
        );
        assert!(matches!(damage(&shed), (Some(6), Damage::Digest)));
    }

    #[test]
    fn a_last_number_out_of_all_proportion_is_a_gap_and_takes_no_memory() {
        let shed = Shed::kept();
        shed.tamper("UPDATE entries SET n = 4000000000 WHERE n = 11", []);
        assert!(matches!(damage(&shed), (Some(11), Damage::Gap)));
        assert!(shed.again().entries().is_err());
    }

    #[test]
    fn an_entry_that_is_gone_is_a_gap_and_one_off_the_end_shows_in_the_seal() {
        let shed = Shed::kept();
        let seal = shed.book.seal().unwrap();
        shed.tamper("DELETE FROM entries WHERE n = 11", []);
        // The strike's reason had no other use.
        assert!(matches!(
            damage(&shed),
            (None, Damage::WordUnused { key: 5 })
        ));
        assert_ne!(shed.book.seal().unwrap(), seal);
        shed.tamper("DELETE FROM entries WHERE n = 4", []);
        assert!(matches!(damage(&shed), (Some(4), Damage::Gap)));
    }

    #[test]
    fn a_changed_word_is_laid_at_the_first_entry_that_names_it() {
        let shed = Shed::kept();
        shed.tamper(
            "UPDATE words SET text = 'somebody else' WHERE text = ?1",
            [BUYER],
        );
        assert!(matches!(
            damage(&shed),
            (Some(10), Damage::WordChanged { key: 4 })
        ));
        shed.tamper(
            "UPDATE words SET text = ?1 WHERE text = 'somebody else'",
            [BUYER],
        );
        assert_eq!(shed.book.verify().unwrap().entries, 11);
        shed.tamper("UPDATE words SET salt = zeroblob(16) WHERE key = 2", []);
        assert!(matches!(
            damage(&shed),
            (Some(2), Damage::WordChanged { key: 2 })
        ));
    }

    #[test]
    fn a_word_that_is_gone_half_gone_or_too_many_is_found() {
        for (sql, entry) in [
            ("DELETE FROM words WHERE key = 5", Some(11)),
            ("DELETE FROM words WHERE key = 3", None),
            ("UPDATE words SET salt = NULL WHERE key = 3", None),
            ("UPDATE words SET salt = zeroblob(15) WHERE key = 3", None),
            (
                "INSERT INTO words VALUES (6, zeroblob(16), 'planted')",
                None,
            ),
        ] {
            let shed = Shed::kept();
            shed.tamper(sql, []);
            assert_eq!(damage(&shed).0, entry, "{sql}");
        }
    }

    #[test]
    fn a_missing_an_altered_and_a_strange_trigger_are_found() {
        for sql in [
            "DROP TRIGGER entries_stay",
            "DROP TRIGGER words_are_kept; CREATE TRIGGER words_are_kept BEFORE DELETE ON words BEGIN SELECT 1; END",
            "CREATE TRIGGER strange AFTER INSERT ON entries BEGIN SELECT 1; END",
            "CREATE TABLE strange (a)",
        ] {
            let shed = Shed::kept();
            shed.book.conn.execute_batch(sql).unwrap();
            assert!(
                matches!(damage(&shed), (None, Damage::Schema { .. })),
                "{sql}"
            );
        }
    }

    /// Chained and canonical, but of a bed that is not in the bin.
    #[test]
    fn an_entry_that_the_farm_refuses_is_found() {
        let shed = Shed::kept();
        let line: String = shed
            .book
            .conn
            .query_row("SELECT line FROM entries WHERE n = 5", [], |row| row.get(0))
            .unwrap();
        let line = line
            .replace("\"n\":5", "\"n\":12")
            .replace("2026-03-10T09:00", "2026-06-10T09:00");
        let digest = shed.book.seal().unwrap().then(line.as_bytes()).to_string();
        shed.book
            .conn
            .execute("INSERT INTO entries VALUES (12, ?1, ?2)", (line, digest))
            .unwrap();
        assert!(matches!(damage(&shed), (Some(12), Damage::Fault { .. })));
    }
}
