//! The codes castlot gives out: of lots and of packs.
//!
//! Promises that a code that exists is well formed and passes its check character. What a person
//! may type in its place is read in `reading`.

use std::fmt;
use std::str::FromStr;

use jiff::civil::Date;

use super::check_character::check_character;

/// What a lot is, as the first letter of its code says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LotLetter {
    /// `G`: goods in, a delivery.
    Goods,
    /// `B`: a bed, what lives in a bin between two clearings.
    Bed,
    /// `H`: a harvested or blended batch.
    Harvest,
    /// `P`: a pack run.
    Packs,
}

impl LotLetter {
    /// All four, in the order of their letters' first use in a lot's life.
    pub const ALL: [Self; 4] = [Self::Goods, Self::Bed, Self::Harvest, Self::Packs];

    /// Returns the letter.
    pub fn letter(self) -> char {
        match self {
            Self::Goods => 'G',
            Self::Bed => 'B',
            Self::Harvest => 'H',
            Self::Packs => 'P',
        }
    }

    /// Returns the kind whose letter this is.
    pub fn of(letter: char) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.letter() == letter)
    }
}

/// A lot's code, `KYYDDD-NN-C`: letter, two digits of the year, day of the year, running number, check character.
///
/// Year and day are the ordinal date of ISO 8601. No code ends in `I` or `O`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LotCode {
    year: u8,
    day: u16,
    letter: LotLetter,
    number: u32,
}

/// Why a text is not a code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// It does not have the shape of a lot code.
    #[error("`{typed}` is not a lot code; one looks like `P26115-07-S`")]
    Shape {
        /// What was typed.
        typed: String,
    },
    /// Its check character does not fit the rest.
    #[error("`{typed}` has a slip in it: its last character does not fit the rest")]
    Check {
        /// What was typed.
        typed: String,
    },
    /// It is not a bin's code.
    #[error(
        "`{typed}` is not a bin's code; one has 1 to 12 of A-Z 0-9 and -, a letter first, and is not shaped like a lot code"
    )]
    Bin {
        /// What was typed.
        typed: String,
    },
    /// It is not a place.
    #[error(
        "`{typed}` is not a place; one looks like `R2/S1/P3`: rack, shelf and place, each 1 to 6 of A-Z 0-9 and -"
    )]
    Place {
        /// What was typed.
        typed: String,
    },
    /// It is not a mark of the grower's own.
    #[error(
        "`{typed}` is not a ref; one has 1 to 24 of a-z 0-9 - and ., a letter first, and is not `all`"
    )]
    Mark {
        /// What was typed.
        typed: String,
    },
    /// It is not the serial of a pack.
    #[error("`{typed}` is not a pack's serial; serials count from 1")]
    Serial {
        /// What was typed.
        typed: String,
    },
}

impl LotCode {
    /// The highest running number: it keeps a code within the 20 places of GS1 AI (10).
    pub const LAST_NUMBER: u32 = 9_999_999;

    /// Makes a code, unless its check character would be `I` or `O` or its number is 0 or too high.
    pub fn new(letter: LotLetter, date: Date, number: u32) -> Option<Self> {
        let year = u8::try_from(date.year().rem_euclid(100)).ok()?;
        let day = u16::try_from(date.day_of_year()).ok()?;
        Self::from_parts(letter, year, day, number)
    }

    /// Makes a code from its parts; `None` where no code has them.
    pub fn from_parts(letter: LotLetter, year: u8, day: u16, number: u32) -> Option<Self> {
        let code = Self {
            year,
            day,
            letter,
            number,
        };
        (code.is_in_bounds() && !matches!(code.check(), 'I' | 'O')).then_some(code)
    }

    fn is_in_bounds(self) -> bool {
        self.year < 100
            && (1..=366).contains(&self.day)
            && (1..=Self::LAST_NUMBER).contains(&self.number)
    }

    /// Returns the first code from `number` on that may be given out for that kind and day.
    pub fn from_number_on(letter: LotLetter, date: Date, number: u32) -> Option<Self> {
        (number.max(1)..=Self::LAST_NUMBER).find_map(|n| Self::new(letter, date, n))
    }

    /// Returns what the code's letter says.
    pub fn letter(self) -> LotLetter {
        self.letter
    }

    /// Returns the running number.
    pub fn number(self) -> u32 {
        self.number
    }

    /// Returns the two digits of the year and the day of the year.
    pub fn year_and_day(self) -> (u8, u16) {
        (self.year, self.day)
    }

    /// Returns the check character.
    pub fn check(self) -> char {
        let (digits, length) = self.digits();
        let body =
            std::iter::once(self.letter.letter() as u8).chain(digits[..length].iter().copied());
        check_character(body).expect("a body is letters and digits")
    }

    /// Returns how many digits the running number has.
    fn places(self) -> usize {
        self.number.max(10).ilog10() as usize + 1
    }

    /// Returns the letters and digits that the check character stands for.
    pub fn body(self) -> String {
        let (digits, length) = self.digits();
        let digits = std::str::from_utf8(&digits[..length]).expect("digits are ASCII");
        format!("{}{digits}", self.letter.letter())
    }

    /// Returns the digits of the body: year, day, number.
    ///
    /// Without a string, because every code of every stored line is checked on each start.
    fn digits(self) -> ([u8; 12], usize) {
        let mut digits = [b'0'; 12];
        let places = self.places();
        let groups = [
            (u32::from(self.year), 0, 2),
            (u32::from(self.day), 2, 3),
            (self.number, 5, places),
        ];
        for (mut value, start, width) in groups {
            for place in (start..start + width).rev() {
                digits[place] = b'0' + (value % 10) as u8;
                value /= 10;
            }
        }
        (digits, 5 + places)
    }
}

impl fmt::Display for LotCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (digits, length) = self.digits();
        let digits = std::str::from_utf8(&digits[..length]).expect("digits are ASCII");
        let text = format!(
            "{}{}-{}-{}",
            self.letter.letter(),
            &digits[..5],
            &digits[5..],
            self.check()
        );
        f.pad(&text)
    }
}

impl FromStr for LotCode {
    type Err = CodeError;

    /// Reads a code as it is written, and nothing looser.
    fn from_str(text: &str) -> Result<Self, CodeError> {
        let shape = || CodeError::Shape {
            typed: text.to_owned(),
        };
        let bytes = text.as_bytes();
        if bytes.len() < 11
            || !text.is_ascii()
            || bytes[6] != b'-'
            || bytes[bytes.len() - 2] != b'-'
        {
            return Err(shape());
        }
        let number = &text[7..text.len() - 2];
        let parts = [&text[1..3], &text[3..6], number];
        if parts
            .iter()
            .any(|part| !part.bytes().all(|b| b.is_ascii_digit()))
        {
            return Err(shape());
        }
        let letter = LotLetter::of(char::from(bytes[0])).ok_or_else(shape)?;
        let year = text[1..3].parse().map_err(|_| shape())?;
        let day = text[3..6].parse().map_err(|_| shape())?;
        let number = number.parse().map_err(|_| shape())?;
        let slip = || CodeError::Check {
            typed: text.to_owned(),
        };
        let code = Self {
            year,
            day,
            letter,
            number,
        };
        // Two digits at least and no zero more, so that `07` and `007` are not two spellings of one number.
        let spelled = text.len() - 9 == code.places();
        let body = bytes[..6].iter().chain(&bytes[7..text.len() - 2]).copied();
        let check = check_character(body).ok_or_else(slip)?;
        let sound = spelled && code.is_in_bounds() && !matches!(check, 'I' | 'O');
        if sound && text.ends_with(check) {
            Ok(code)
        } else {
            Err(slip())
        }
    }
}

/// The serial of one pack of a run, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Serial(u32);

impl Serial {
    /// Makes a serial; `None` for 0.
    pub fn new(number: u32) -> Option<Self> {
        (number > 0).then_some(Self(number))
    }

    /// Returns the number.
    pub fn number(self) -> u32 {
        self.0
    }
}

impl fmt::Display for Serial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}", self.0)
    }
}

/// One pack: its run's code, a slash and its serial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PackCode {
    /// The run it was packed in.
    pub run: LotCode,
    /// Its serial within the run.
    pub serial: Serial,
}

impl fmt::Display for PackCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}/{}", self.run, self.serial))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_examples_of_the_format_are_right() {
        for text in ["H26115-02-W", "P26115-07-S", "G26061-01-F"] {
            assert_eq!(
                text.parse::<LotCode>().map(|code| code.to_string()),
                Ok(text.to_owned())
            );
        }
    }

    #[test]
    fn a_wrong_check_character_or_a_second_spelling_is_a_slip() {
        for text in ["H26115-02-X", "H26115-2-W", "H26115-002-W", "H26400-02-W"] {
            assert!(text.parse::<LotCode>().is_err(), "{text}");
        }
    }

    #[test]
    fn no_code_ends_in_a_letter_that_reads_as_a_digit() {
        let day = jiff::civil::date(2026, 4, 25);
        let given: Vec<_> = (1..500)
            .filter_map(|n| LotCode::new(LotLetter::Bed, day, n))
            .collect();
        assert!(given.len() < 499, "some numbers are skipped");
        assert!(given.iter().all(|code| !matches!(code.check(), 'I' | 'O')));
    }
}
