//! The two tables, and the triggers that keep entries from being changed.
//!
//! Promises that through any program that opens the file, entries can only be appended, and words only erased.

use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

use super::error::{Damage, DiaryError};

/// What marks the file as a castlot diary: `cast` in ASCII.
const APPLICATION_ID: i32 = 0x6361_7374;

/// The version of the tables and of the stored lines.
pub(super) const VERSION: u32 = 1;

/// How many bytes of the file are read by mapping rather than copying: more than a diary of a million entries has.
const MAPPED: i64 = 1 << 30;

/// How long a writer waits for another to finish.
pub(super) const PATIENCE: Duration = Duration::from_secs(5);

/// Everything in the file, by name, in the words that SQLite keeps.
const OBJECTS: [(&str, &str); 8] = [
    (
        "entries",
        "CREATE TABLE entries (n INTEGER PRIMARY KEY, line TEXT NOT NULL, digest TEXT NOT NULL) STRICT",
    ),
    (
        "words",
        "CREATE TABLE words (key INTEGER PRIMARY KEY, salt BLOB, text TEXT) STRICT",
    ),
    (
        "entries_follow_on",
        "CREATE TRIGGER entries_follow_on BEFORE INSERT ON entries \
         WHEN NEW.n IS NOT (SELECT coalesce(max(n), 0) + 1 FROM entries) \
         BEGIN SELECT RAISE(ABORT, 'an entry has the number after the last'); END",
    ),
    (
        "entries_stay",
        "CREATE TRIGGER entries_stay BEFORE UPDATE ON entries \
         BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END",
    ),
    (
        "entries_are_kept",
        "CREATE TRIGGER entries_are_kept BEFORE DELETE ON entries \
         BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END",
    ),
    (
        "words_follow_on",
        "CREATE TRIGGER words_follow_on BEFORE INSERT ON words \
         WHEN NEW.key IS NOT (SELECT coalesce(max(key), 0) + 1 FROM words) \
         OR NEW.text IS NULL OR length(NEW.salt) IS NOT 16 \
         BEGIN SELECT RAISE(ABORT, 'a word has the key after the last, a text and a salt'); END",
    ),
    (
        "words_are_only_erased",
        "CREATE TRIGGER words_are_only_erased BEFORE UPDATE ON words \
         WHEN NEW.key IS NOT OLD.key OR NEW.salt IS NOT NULL OR NEW.text IS NOT NULL \
         BEGIN SELECT RAISE(ABORT, 'a word is erased or left as it is'); END",
    ),
    (
        "words_are_kept",
        "CREATE TRIGGER words_are_kept BEFORE DELETE ON words \
         BEGIN SELECT RAISE(ABORT, 'a word keeps its key'); END",
    ),
];

/// Makes a new file with empty tables.
pub(super) fn create(path: &Path) -> Result<Connection, DiaryError> {
    // Made here, because SQLite alone would open a file that is there already.
    std::fs::File::create_new(path).map_err(|source| match source.kind() {
        std::io::ErrorKind::AlreadyExists => DiaryError::Exists {
            path: path.to_owned(),
        },
        _ => DiaryError::Io {
            path: path.to_owned(),
            source,
        },
    })?;
    let conn = connect(path)?;
    conn.pragma_update(None, "journal_mode", "WAL")?;
    let tx = conn.unchecked_transaction()?;
    fill(&tx)?;
    tx.commit()?;
    Ok(conn)
}

/// Makes the tables and marks the file as a diary.
pub(super) fn fill(conn: &Connection) -> Result<(), DiaryError> {
    for (_, sql) in OBJECTS {
        conn.execute_batch(sql)?;
    }
    conn.pragma_update(None, "application_id", APPLICATION_ID)?;
    conn.pragma_update(None, "user_version", VERSION)?;
    Ok(())
}

/// Opens a file that is there, if it is a diary of this version.
pub(super) fn open(path: &Path) -> Result<Connection, DiaryError> {
    if !path.exists() {
        return Err(DiaryError::NoDiary {
            path: path.to_owned(),
        });
    }
    let foreign = || DiaryError::NotADiary {
        path: path.to_owned(),
    };
    let conn = connect(path).map_err(|error| foreign_or(error, foreign()))?;
    let id: i32 = pragma(&conn, "application_id").map_err(|error| foreign_or(error, foreign()))?;
    if id != APPLICATION_ID {
        return Err(foreign());
    }
    match pragma(&conn, "user_version")? {
        VERSION => Ok(conn),
        version if version > VERSION => Err(DiaryError::TooNew { version }),
        _ => Err(foreign()),
    }
}

/// Opens a second way into the same file, to read with.
pub(super) fn connect(path: &Path) -> Result<Connection, DiaryError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(path, flags)?;
    conn.busy_timeout(PATIENCE)?;
    // What is erased is overwritten with zeros.
    conn.pragma_update(None, "secure_delete", true)?;
    // A file from elsewhere must not run anything through its schema.
    conn.pragma_update(None, "trusted_schema", false)?;
    conn.pragma_update(None, "cell_size_check", true)?;
    conn.pragma_update(None, "mmap_size", MAPPED)?;
    Ok(conn)
}

/// Finds a table or a trigger that is not as it was made, or that castlot did not make.
pub(super) fn check(conn: &Connection) -> Result<(), DiaryError> {
    let broken = |name: String| DiaryError::Damaged {
        entry: None,
        damage: Damage::Schema { name },
    };
    let mut found = conn.prepare("SELECT name, sql FROM sqlite_schema ORDER BY name")?;
    let found: Vec<(String, Option<String>)> = found
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    for (name, sql) in OBJECTS {
        let there = found.iter().find(|(other, _)| other == name);
        if there.and_then(|(_, sql)| sql.as_deref()) != Some(sql) {
            return Err(broken(name.to_owned()));
        }
    }
    // What SQLite keeps for itself (its statistics) does no harm.
    let strange = found.into_iter().find(|(name, _)| {
        !name.starts_with("sqlite_") && OBJECTS.iter().all(|(ours, _)| ours != name)
    });
    strange.map_or(Ok(()), |(name, _)| Err(broken(name)))
}

fn pragma<T: rusqlite::types::FromSql>(conn: &Connection, name: &str) -> Result<T, DiaryError> {
    Ok(conn.pragma_query_value(None, name, |row| row.get(0))?)
}

/// A file that SQLite cannot make sense of, or cannot open, is no diary; that it is busy is another thing.
fn foreign_or(error: DiaryError, foreign: DiaryError) -> DiaryError {
    let strange = match &error {
        DiaryError::Damaged { .. } => true,
        DiaryError::Sql { source } => {
            source.sqlite_error_code() == Some(rusqlite::ErrorCode::CannotOpen)
        }
        _ => false,
    };
    if strange { foreign } else { error }
}

#[cfg(test)]
mod tests {
    use super::super::sample::Shed;

    #[test]
    fn entries_can_only_be_appended() {
        let shed = Shed::kept();
        let conn = rusqlite::Connection::open(&shed.path).unwrap();
        for sql in [
            "UPDATE entries SET line = '{}' WHERE n = 3",
            "UPDATE entries SET n = 40 WHERE n = 11",
            "DELETE FROM entries WHERE n = 11",
            "DELETE FROM entries",
            "INSERT INTO entries VALUES (13, '{}', 'x')",
            "INSERT INTO entries VALUES (0, '{}', 'x')",
            "INSERT INTO entries (line, digest) VALUES ('{}', 'x')",
            "INSERT OR REPLACE INTO entries VALUES (3, '{}', 'x')",
            "INSERT INTO entries VALUES (12, NULL, 'x')",
            "INSERT INTO entries VALUES (12, x'00', 'x')",
        ] {
            assert!(conn.execute(sql, []).is_err(), "{sql}");
        }
        assert_eq!(shed.book.verify().unwrap().entries, 11);
    }

    #[test]
    fn words_can_only_be_added_or_erased_whole() {
        let shed = Shed::kept();
        let conn = rusqlite::Connection::open(&shed.path).unwrap();
        for sql in [
            "UPDATE words SET text = 'another' WHERE key = 1",
            "UPDATE words SET text = NULL WHERE key = 1",
            "UPDATE words SET salt = NULL WHERE key = 1",
            "UPDATE words SET key = 99, salt = NULL, text = NULL WHERE key = 1",
            "DELETE FROM words WHERE key = 1",
            "INSERT INTO words VALUES (99, zeroblob(16), 'far')",
            "INSERT INTO words VALUES (6, zeroblob(15), 'short salt')",
            "INSERT INTO words VALUES (6, zeroblob(16), NULL)",
            "INSERT OR REPLACE INTO words VALUES (1, zeroblob(16), 'another')",
        ] {
            assert!(conn.execute(sql, []).is_err(), "{sql}");
        }
        assert_eq!(shed.book.verify().unwrap().entries, 11);
    }
}
