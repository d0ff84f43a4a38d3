//! The farm's own names: of bins, of places on the racks, and the grower's marks for lots.
//!
//! Promises that a name that exists is well formed.

use std::fmt;
use std::str::FromStr;

use super::code::{CodeError, LotLetter};

/// The longest bin code, in characters.
const BIN_LENGTH: usize = 12;

/// A bin's code: the farm's own, 1 to 12 of `A-Z 0-9 -`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BinCode {
    // Padded with zero bytes, so that the order is that of the text and a copy costs nothing.
    bytes: [u8; BIN_LENGTH],
}

impl BinCode {
    /// Returns the text.
    pub fn as_str(&self) -> &str {
        let length = self
            .bytes
            .iter()
            .position(|b| *b == 0)
            .unwrap_or(BIN_LENGTH);
        std::str::from_utf8(&self.bytes[..length]).expect("a bin's code is ASCII")
    }
}

impl fmt::Display for BinCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl FromStr for BinCode {
    type Err = CodeError;

    /// Reads a bin's code; lower case is taken as upper case.
    fn from_str(text: &str) -> Result<Self, CodeError> {
        let typed = text.trim().as_bytes();
        let mut bytes = [0; BIN_LENGTH];
        // Without a string, because every bin of every stored line is read on each start.
        let fits = (1..=BIN_LENGTH).contains(&typed.len()) && {
            let upper = &mut bytes[..typed.len()];
            upper.copy_from_slice(typed);
            upper.make_ascii_uppercase();
            upper.iter().all(|b| is_code_byte(*b))
                && upper[0].is_ascii_uppercase()
                && !is_shaped_like_a_lot(upper)
        };
        if fits {
            Ok(Self { bytes })
        } else {
            Err(CodeError::Bin {
                typed: text.to_owned(),
            })
        }
    }
}

/// Tells whether a text has the form of a lot code, right or not.
fn is_shaped_like_a_lot(text: &[u8]) -> bool {
    let bare = || text.iter().filter(|b| **b != b'-');
    let length = bare().count();
    let letter = |b: &u8| LotLetter::of(char::from(*b)).is_some();
    length >= 9
        && bare().next().is_some_and(letter)
        && bare().skip(1).take(length - 2).all(u8::is_ascii_digit)
}

fn is_code_byte(byte: u8) -> bool {
    byte.is_ascii_uppercase() || byte.is_ascii_digit() || byte == b'-'
}

/// A place on the racks, `RACK/SHELF/PLACE`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place(String);

impl Place {
    /// Returns the rack's part of it.
    pub fn rack(&self) -> &str {
        self.0.split('/').next().unwrap_or_default()
    }

    /// Returns rack, shelf and place.
    pub fn parts(&self) -> [&str; 3] {
        let mut parts = self.0.split('/');
        [(); 3].map(|()| parts.next().unwrap_or_default())
    }

    /// Returns what walking order goes by: rack, shelf and place, in each of which `P2` comes before `P10`.
    pub fn walk(&self) -> [(String, u64, String); 3] {
        self.parts().map(|part| {
            let digits = |c: char| c.is_ascii_digit();
            let start = part.find(digits).unwrap_or(part.len());
            let (head, rest) = part.split_at(start);
            let end = rest.find(|c| !digits(c)).unwrap_or(rest.len());
            let number = rest[..end].parse().unwrap_or_default();
            (head.to_owned(), number, rest[end..].to_owned())
        })
    }

    /// Returns the text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl FromStr for Place {
    type Err = CodeError;

    fn from_str(text: &str) -> Result<Self, CodeError> {
        let upper = text.trim().to_ascii_uppercase();
        let parts: Vec<&str> = upper.split('/').collect();
        let fits = parts.len() == 3 && parts.iter().all(|part| is_place_part(part));
        if fits {
            Ok(Self(upper))
        } else {
            Err(CodeError::Place {
                typed: text.to_owned(),
            })
        }
    }
}

/// Tells whether a text may name a rack, a shelf or a place on it: 1 to 6 of `A-Z 0-9 -`.
pub fn is_place_part(part: &str) -> bool {
    (1..=6).contains(&part.len()) && part.bytes().all(is_code_byte)
}

/// The grower's own mark for a lot (the `ref` column), such as `straw-may`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark(String);

impl Mark {
    /// Returns the text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl FromStr for Mark {
    type Err = CodeError;

    fn from_str(text: &str) -> Result<Self, CodeError> {
        let text = text.trim();
        let fits = (1..=24).contains(&text.len())
            && text
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-' || b == b'.')
            && text.as_bytes()[0].is_ascii_lowercase()
            && text != "all";
        if fits {
            Ok(Self(text.to_owned()))
        } else {
            Err(CodeError::Mark {
                typed: text.to_owned(),
            })
        }
    }
}
