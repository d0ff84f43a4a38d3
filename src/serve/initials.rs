//! The initials by which a worker signs in, and which stand beside what they record.

use std::fmt;
use std::str::FromStr;

use crate::farm::Word;

/// A worker's initials, as the farm writes them: 1 to 24 letters, digits, spaces, `.`, `'` and `-`.
///
/// `mv` and `MV` are the same worker, because a phone's keyboard decides which of the two comes.
#[derive(Clone, Debug, Eq)]
pub struct Initials(String);

/// Why a text is nobody's initials.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum InitialsError {
    /// There are too few or too many characters.
    #[error("initials have 1 to {most} characters")]
    Length {
        /// How many at most.
        most: usize,
    },
    /// There is a character that names do not have.
    #[error("initials have letters, digits, spaces, `.`, `'` and `-`; `{found}` is none of them")]
    Character {
        /// The character.
        found: char,
    },
    /// It is how a forgotten word is written.
    #[error("`{typed}` is how castlot writes a name that was forgotten")]
    Forgotten {
        /// What was typed.
        typed: String,
    },
}

/// Nobody types more on a phone.
const MOST: usize = 24;

impl Initials {
    /// Returns them as they are compared: in capitals.
    pub fn key(&self) -> String {
        self.0.to_uppercase()
    }

    /// Returns them as they stand in the diary.
    pub fn word(&self) -> Word {
        Word::Said(self.0.as_str().into())
    }
}

impl FromStr for Initials {
    type Err = InitialsError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let length = text.chars().count();
        if length == 0 || length > MOST {
            return Err(InitialsError::Length { most: MOST });
        }
        let fits = |c: char| c.is_alphanumeric() || " .'-".contains(c);
        if let Some(found) = text.chars().find(|c| !fits(*c)) {
            return Err(InitialsError::Character { found });
        }
        match Word::of(text) {
            Some(Word::Said(_)) => Ok(Self(text.to_owned())),
            Some(Word::Forgotten(_)) | None => Err(InitialsError::Forgotten {
                typed: text.to_owned(),
            }),
        }
    }
}

impl PartialEq for Initials {
    fn eq(&self, other: &Self) -> bool {
        self.key() == other.key()
    }
}

impl fmt::Display for Initials {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn initials_are_short_names_in_any_case() {
        let read = |text: &str| text.parse::<Initials>();
        assert_eq!(read(" mv "), read("MV"));
        assert_eq!(
            read("Zoë O'N.").map(|by| by.to_string()),
            Ok("Zoë O'N.".to_owned())
        );
        assert_eq!(read("mv").map(|by| by.word()), Ok(Word::Said("mv".into())));
        assert_eq!(read("  "), Err(InitialsError::Length { most: 24 }));
        assert_eq!(
            read(&"m".repeat(25)),
            Err(InitialsError::Length { most: 24 })
        );
        assert_eq!(
            read("m\u{0}v"),
            Err(InitialsError::Character { found: '\0' })
        );
        assert_eq!(read("<b>"), Err(InitialsError::Character { found: '<' }));
        assert!(matches!(
            read("forgotten-12"),
            Err(InitialsError::Forgotten { .. })
        ));
    }
}
