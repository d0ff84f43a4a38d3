//! Names and free text, which a person may ask to have forgotten.

use std::fmt;

/// A name or a remark, or the key of one that was forgotten.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Word {
    /// What was said.
    Said(Box<str>),
    /// It has been erased on request; the key under which it stood is left.
    Forgotten(u64),
}

impl Word {
    /// Makes a word of a text, trimmed; `None` where nothing is left.
    pub fn of(text: &str) -> Option<Self> {
        let text = text.trim();
        (!text.is_empty()).then(|| Self::Said(text.into()))
    }

    /// Returns what was said, where it has not been forgotten.
    pub fn said(&self) -> Option<&str> {
        match self {
            Self::Said(text) => Some(text),
            Self::Forgotten(_) => None,
        }
    }
}

impl fmt::Display for Word {
    /// Writes the text, or `forgotten-KEY`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Said(text) => f.pad(text),
            Self::Forgotten(key) => f.pad(&format!("forgotten-{key}")),
        }
    }
}
