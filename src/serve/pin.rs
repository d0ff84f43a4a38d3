//! A worker's PIN, and the hash that is kept of it.

use std::fmt;
use std::str::FromStr;

use argon2::password_hash::phc::PasswordHash;
use argon2::{Algorithm, Argon2, Params, PasswordHasher, PasswordVerifier, Version};
use jiff::civil::Date;

use super::phones::PhonesError;
use super::random;

/// A PIN that is not one of those tried first.
#[derive(Clone, PartialEq, Eq)]
pub struct Pin(String);

/// Why digits are no PIN. None of these says what was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PinError {
    /// Something in it is no digit.
    #[error("a PIN is made of the digits 0 to 9 alone")]
    NotDigits,
    /// There are too few or too many.
    #[error("a PIN has {FEWEST} to {MOST} digits, and this one has {found}")]
    Length {
        /// How many there were.
        found: usize,
    },
    /// They count up or down.
    #[error("this PIN counts up or down, and is one of the first that people try")]
    Counts,
    /// It is a digit or a few, over and over.
    #[error("this PIN says the same over and over, and is one of the first that people try")]
    Repeats,
    /// It can be read as a day.
    #[error(
        "this PIN reads as a date, and days that matter to you are among the first that people try"
    )]
    Date,
}

/// With the waits of `lockout.rs`, a million PINs would take a guesser some 25 years to go through; common practice, no
/// source.
const FEWEST: usize = 6;

/// More is not typed with gloves on.
const MOST: usize = 12;

impl FromStr for Pin {
    type Err = PinError;

    /// Reads a PIN; which are too easy is common practice, no source.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        if !text.bytes().all(|c| c.is_ascii_digit()) {
            return Err(PinError::NotDigits);
        }
        if !(FEWEST..=MOST).contains(&text.len()) {
            return Err(PinError::Length { found: text.len() });
        }
        let digits: Vec<u8> = text.bytes().map(|c| c - b'0').collect();
        if repeats(&digits) {
            return Err(PinError::Repeats);
        }
        if [1, 9].into_iter().any(|step| counts_by(&digits, step)) {
            return Err(PinError::Counts);
        }
        if is_date(text) {
            return Err(PinError::Date);
        }
        Ok(Self(text.to_owned()))
    }
}

/// Tells whether each digit is the one before and so many more, 0 following on 9.
fn counts_by(digits: &[u8], step: u8) -> bool {
    digits.windows(2).all(|two| (two[0] + step) % 10 == two[1])
}

/// Tells whether the digits are a shorter piece said more than once: 111111, 121212, 123123.
fn repeats(digits: &[u8]) -> bool {
    (1..=digits.len() / 2).any(|piece| {
        let (first, mut rest) = (&digits[..piece], digits.chunks(piece));
        rest.all(|part| first.starts_with(part))
    })
}

/// Tells whether six or eight digits read as a day of the last or of this century.
fn is_date(text: &str) -> bool {
    let part = |from: usize, to: usize| text[from..to].parse::<i16>().ok();
    let day = |year: Option<i16>, month: Option<i16>, day: Option<i16>| {
        let small = |part: i16| i8::try_from(part).ok();
        let date = || Date::new(year?, month.and_then(small)?, day.and_then(small)?).ok();
        date().is_some()
    };
    match text.len() {
        6 => {
            let long = |year: Option<i16>| year.map(|year| 2000 + year);
            day(long(part(0, 2)), part(2, 4), part(4, 6))
                || day(long(part(4, 6)), part(2, 4), part(0, 2))
                || day(long(part(4, 6)), part(0, 2), part(2, 4))
        }
        8 => {
            let near = |year: Option<i16>| year.filter(|year| (1900..2100).contains(year));
            day(near(part(0, 4)), part(4, 6), part(6, 8))
                || day(near(part(4, 8)), part(2, 4), part(0, 2))
                || day(near(part(4, 8)), part(0, 2), part(2, 4))
        }
        _ => false,
    }
}

impl fmt::Debug for Pin {
    /// Writes that it is one, and not which.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Pin(..)")
    }
}

/// What is kept of a PIN: a salted argon2id hash, as a PHC string.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PinHash(String);

/// Memory in KiB, passes and lanes. OWASP Password Storage Cheat Sheet: "Use Argon2id with a minimum configuration of
/// 19 MiB of memory, an iteration count of 2, and 1 degree of parallelism".
const MEMORY_KIB: u32 = 19 * 1024;
const PASSES: u32 = 2;
const LANES: u32 = 1;

impl PinHash {
    /// Hashes a PIN with a salt that was never used before.
    pub fn of(pin: &Pin) -> Result<Self, PhonesError> {
        Self::of_bytes(pin.0.as_bytes())
    }

    /// Returns a hash that nothing typed fits, and that takes as long to find out as any.
    pub fn decoy() -> Result<Self, PhonesError> {
        Self::of_bytes(&random::bytes::<32>()?)
    }

    fn of_bytes(secret: &[u8]) -> Result<Self, PhonesError> {
        let salt = random::bytes::<16>()?;
        let params = Params::new(MEMORY_KIB, PASSES, LANES, None)
            .expect("the parameters are those that argon2 takes");
        let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
        let hash: PasswordHash = argon2
            .hash_password_with_salt(secret, &salt)
            .map_err(|source| PhonesError::Hash { source })?;
        Ok(Self(hash.to_string()))
    }

    /// Reads a hash as it is kept; `None` where it is not an argon2id hash.
    pub fn read(text: &str) -> Option<Self> {
        let hash = PasswordHash::new(text).ok()?;
        let sound = hash.algorithm.as_str() == "argon2id" && hash.hash.is_some();
        sound.then(|| Self(text.to_owned()))
    }

    /// Tells whether what was typed is the PIN. Takes a while, and 19 MiB, on purpose.
    pub fn fits(&self, typed: &str) -> bool {
        let typed = typed.trim().as_bytes();
        let fits: Result<(), _> = Argon2::default().verify_password(typed, self.0.as_str());
        fits.is_ok()
    }

    /// Returns the text that is kept.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Returns a mark by which it is known from the hash of any other PIN, or of the same one set again.
    pub fn mark(&self) -> String {
        let mut mark = random::digest(&[self.0.as_bytes()]);
        mark.truncate(16);
        mark
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pins_that_people_try_first_are_refused() {
        let read = |text: &str| text.parse::<Pin>().map(drop);
        for (text, why) in [
            ("12345", PinError::Length { found: 5 }),
            ("1234567890123", PinError::Length { found: 13 }),
            ("40719x", PinError::NotDigits),
            ("", PinError::Length { found: 0 }),
            ("٤٠٧١٩٣", PinError::NotDigits),
            ("111111", PinError::Repeats),
            ("121212", PinError::Repeats),
            ("123123", PinError::Repeats),
            ("1231231", PinError::Repeats),
            ("123456", PinError::Counts),
            ("789012", PinError::Counts),
            ("321098", PinError::Counts),
            ("250426", PinError::Date),
            ("840425", PinError::Date),
            ("042584", PinError::Date),
            ("19841201", PinError::Date),
            ("01121984", PinError::Date),
        ] {
            assert_eq!(read(text), Err(why), "{text}");
        }
        for text in ["407193", " 407193 ", "998877", "1357902468", "99999998"] {
            assert_eq!(read(text), Ok(()), "{text}");
        }
    }

    #[test]
    fn most_pins_of_six_digits_are_left_to_choose_from() {
        let left = (0..1_000_000)
            .filter(|pin| format!("{pin:06}").parse::<Pin>().is_ok())
            .count();
        assert!((850_000..950_000).contains(&left), "{left}");
    }

    #[test]
    fn a_hash_fits_its_pin_alone_and_is_salted_and_dear() {
        let pin: Pin = "407193".parse().unwrap();
        let (hash, again) = (PinHash::of(&pin).unwrap(), PinHash::of(&pin).unwrap());
        assert!(hash.fits("407193") && hash.fits(" 407193\n"));
        for typed in ["", "407194", "40719", "4071930"] {
            assert!(!hash.fits(typed), "{typed}");
        }
        assert_ne!(hash, again, "each has a salt of its own");
        assert_ne!(hash.mark(), again.mark());
        assert!(hash.as_str().starts_with("$argon2id$v=19$m=19456,t=2,p=1$"));
        assert_eq!(PinHash::read(hash.as_str()), Some(hash));
        assert_eq!(PinHash::read("407193"), None);
        assert_eq!(
            PinHash::read("$argon2i$v=19$m=19456,t=2,p=1$c2FsdHNhbHQ$AAAAAAAAAAAAAAAAAAAAAA"),
            None
        );
        assert_eq!(format!("{pin:?}"), "Pin(..)");
    }
}
