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
use crate::farm::{EntryNumber, Farm};

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
        schema::check(&tx)?;
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
        match farm.faults().iter().min_by_key(|fault| fault.entry) {
            None => Ok(verified),
            Some(fault) => Err(DiaryError::Damaged {
                entry: Some(farm.entries()[fault.entry].number),
                damage: Damage::Fault {
                    refusal: Box::new(fault.refusal.clone()),
                },
            }),
        }
    }
}

/// Follows the digests from the first entry to the last.
fn chain(conn: &Connection) -> Result<Verified, DiaryError> {
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
