//! Names and free text, which a person may ask to have forgotten.

use std::fmt;
use std::sync::Arc;

/// A name or a remark, or the key of one that was forgotten.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Word {
    /// What was said; shared, because the same few names stand in every entry.
    Said(Arc<str>),
    /// It has been erased on request; the key under which it stood is left.
    Forgotten(u64),
}

impl Word {
    /// Makes a word of a text, trimmed; `None` where nothing is left.
    ///
    /// `forgotten-12`, as a forgotten word is written, is that word again, so that a row written out reads back.
    pub fn of(text: &str) -> Option<Self> {
        let text = text.trim();
        if let Some(key) = forgotten(text) {
            return Some(Self::Forgotten(key));
        }
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

fn forgotten(text: &str) -> Option<u64> {
    let key: u64 = text.strip_prefix(FORGOTTEN)?.parse().ok()?;
    // Only as castlot writes it: no sign, no zeros before.
    (format!("{FORGOTTEN}{key}") == text).then_some(key)
}

/// What stands before the key of a forgotten word.
const FORGOTTEN: &str = "forgotten-";

impl fmt::Display for Word {
    /// Writes the text, or `forgotten-KEY`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Said(text) => f.pad(text),
            Self::Forgotten(key) => f.pad(&format!("{FORGOTTEN}{key}")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_forgotten_word_reads_back_and_what_only_looks_like_one_is_said() {
        let forgotten = Word::Forgotten(12);
        assert_eq!(Word::of(&forgotten.to_string()), Some(forgotten));
        for text in [
            "forgotten-012",
            "forgotten-+1",
            "forgotten-",
            "forgotten-him",
        ] {
            assert_eq!(Word::of(text), Some(Word::Said(text.into())), "{text}");
        }
        assert_eq!(Word::of("  "), None);
    }
}
