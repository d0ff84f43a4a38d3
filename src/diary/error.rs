//! What can go wrong with the diary's file.

use std::path::PathBuf;

use crate::farm::{EntryNumber, Refusal};

/// Why the diary could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum DiaryError {
    /// There is no such file.
    #[error("there is no diary at `{}`", .path.display())]
    NoDiary {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// A new diary would overwrite a file.
    #[error("`{}` is there already", .path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The file is something else.
    #[error("`{}` is not a castlot diary", .path.display())]
    NotADiary {
        /// The file.
        path: PathBuf,
    },
    /// A later castlot wrote it.
    #[error("the diary is of format {version}, which this castlot is too old for")]
    TooNew {
        /// The format's version.
        version: u32,
    },
    /// Somebody else is writing, and did not finish in time.
    #[error("the diary is busy: another castlot is writing to it")]
    Busy,
    /// The diary is not as castlot wrote it.
    #[error("{}: {damage}", at(*.entry))]
    Damaged {
        /// The first bad entry, where the damage is in one.
        entry: Option<EntryNumber>,
        /// What is wrong.
        damage: Damage,
    },
    /// The file could not be made.
    #[error("`{}` could not be made", .path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file, or its folder, may not be written to; even to read it, SQLite keeps a file beside it.
    #[error("the diary or its folder may not be written to")]
    ReadOnly,
    /// SQLite could not do it.
    #[error("the diary's file could not be used")]
    Sql {
        /// What SQLite said.
        source: rusqlite::Error,
    },
    /// The system gave no random bytes for a word's salt.
    #[error("the system gave no random bytes")]
    NoRandom {
        /// What the system said.
        source: getrandom::Error,
    },
    /// A name in an entry was never turned into the lot it means.
    #[error("entry {entry} names a bin whose bed nobody looked up")]
    NotMeant {
        /// The entry.
        entry: EntryNumber,
    },
    /// What was to be written does not follow on this diary's entries.
    #[error("what was to be written does not follow on the {entries} entries of the diary")]
    OtherFarm {
        /// How many entries the diary has.
        entries: usize,
    },
    /// The words are erased, but a copy stays in the log as long as another program reads.
    #[error(
        "the words are erased, but another program reads the diary and keeps a copy of its old pages; forget them again when it has ended"
    )]
    StillInLog,
}

fn at(entry: Option<EntryNumber>) -> String {
    match entry {
        Some(entry) => format!("entry {entry} is damaged"),
        None => "the diary is damaged".to_owned(),
    }
}

/// What is wrong with a damaged diary.
#[derive(Debug, thiserror::Error)]
pub enum Damage {
    /// The number is missing, or another stands in its place.
    #[error("its number is missing")]
    Gap,
    /// Its digest is not that of its line and the digest before.
    #[error("its digest does not fit its line and the digest before it")]
    Digest,
    /// Its line is not one that castlot writes.
    #[error("{source}")]
    Line {
        /// Why not.
        source: WireError,
    },
    /// A word's text or salt is not the one that the entry was written with.
    #[error("word {key} is not the one it was written with")]
    WordChanged {
        /// The word.
        key: u64,
    },
    /// The table of words has a gap, or a word with half its columns.
    #[error("word {key} is missing or half there")]
    WordBroken {
        /// The word.
        key: u64,
    },
    /// No entry has a use for the word.
    #[error("no entry names word {key}")]
    WordUnused {
        /// The word.
        key: u64,
    },
    /// A table, or a trigger that keeps the entries from being changed, is gone or altered.
    #[error("`{name}` is not as castlot made it, so nothing kept entries from being changed")]
    Schema {
        /// The table or trigger.
        name: String,
    },
    /// The entry does not fit those before it.
    #[error("{refusal}")]
    Fault {
        /// Why not.
        refusal: Box<Refusal>,
    },
    /// The file's pages are broken.
    #[error("the file is broken: {source}")]
    File {
        /// What SQLite said.
        source: rusqlite::Error,
    },
}

impl From<rusqlite::Error> for DiaryError {
    fn from(source: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        match source.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Damaged {
                entry: None,
                damage: Damage::File { source },
            },
            Some(ErrorCode::ReadOnly) => Self::ReadOnly,
            _ => Self::Sql { source },
        }
    }
}

/// Why nothing was recorded.
#[derive(Debug, thiserror::Error)]
pub enum RecordError<E> {
    /// The rule that was asked refused.
    #[error("it was refused")]
    Refused {
        /// What the rule said.
        why: E,
    },
    /// The diary could not be read or written.
    #[error("{source}")]
    Diary {
        /// Why not.
        source: DiaryError,
    },
}

impl<E> From<DiaryError> for RecordError<E> {
    fn from(source: DiaryError) -> Self {
        Self::Diary { source }
    }
}

impl<E> From<rusqlite::Error> for RecordError<E> {
    fn from(source: rusqlite::Error) -> Self {
        DiaryError::from(source).into()
    }
}

/// Why a line is not one that castlot writes.
#[derive(Debug, thiserror::Error)]
pub enum WireError {
    /// It is not JSON, or holds something strange.
    #[error("its line cannot be read: {source}")]
    Json {
        /// What was met.
        source: serde_json::Error,
    },
    /// It is not text.
    #[error("its line is not UTF-8")]
    NotText,
    /// It is of a kind that is not known.
    #[error("its line has no kind that is known")]
    Kind,
    /// A key that its kind needs is not there, or not with such a value.
    #[error("its line has no sound `{key}`")]
    Key {
        /// The key.
        key: &'static str,
    },
    /// A later castlot wrote it.
    #[error("it is of format {version}, which this castlot is too old for")]
    TooNew {
        /// The format's version.
        version: u32,
    },
    /// Its number is not the one it stands under.
    #[error("its line has another number")]
    Number,
    /// It says the same in other characters.
    #[error("its line is not in canonical form")]
    NotCanonical,
    /// There is no such word.
    #[error("it names word {key}, which is not there")]
    NoWord {
        /// The word.
        key: u64,
    },
    /// A word's text or salt is not the one that the entry was written with.
    #[error("word {key} is not the one it was written with")]
    WordChanged {
        /// The word.
        key: u64,
    },
}
