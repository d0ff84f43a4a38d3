//! The key of a form: made when it is shown, and sent with it, so that it is recorded once however often it is sent.

use std::fmt;
use std::str::FromStr;

use jiff::{SignedDuration, Timestamp};

use super::phones::PhonesError;
use super::random;

/// A key: the second at which the form was shown, and sixteen random bytes.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FormKey {
    text: String,
    shown: Timestamp,
}

/// Why a text is no key.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{typed}` is not the key of a form")]
pub struct NoKey {
    /// What came.
    typed: String,
}

/// The field of a form that holds it.
pub const FIELD: &str = "key";

/// Seconds and random bytes, in hexadecimal digits.
const SECONDS: usize = 10;
const RANDOM: usize = 32;

/// How long a form may be kept on a phone; keys are remembered for longer than that.
pub const MOST_DAYS: i64 = 45;

impl FormKey {
    /// Makes the key of a form that is shown now.
    pub fn new(now: Timestamp) -> Result<Self, PhonesError> {
        let random = random::hex(&random::bytes::<{ RANDOM / 2 }>()?);
        let seconds = now.as_second().max(0);
        let text = format!("{seconds:0SECONDS$x}{random}");
        Ok(text.parse().expect("it is written as it is read"))
    }

    /// Returns the key of one form of a page that has many, given what tells the form from the page's others.
    pub fn of_form(&self, form: &str) -> Self {
        let digest = random::digest(&[self.text.as_bytes(), form.as_bytes()]);
        let text = format!("{}{}", &self.text[..SECONDS], &digest[..RANDOM]);
        Self {
            text,
            shown: self.shown,
        }
    }

    /// Returns how long ago the form was tapped, given what the phone says: not before it was shown, as a phone says
    /// whose clock was put right in between by years.
    pub fn age(&self, said: SignedDuration, now: Timestamp) -> SignedDuration {
        let shown = now.duration_since(self.shown);
        // Where our own clock was set back, it tells nothing of the phone's.
        if shown.is_negative() {
            said
        } else {
            said.min(shown)
        }
    }

    /// Tells whether the form was shown so long ago that nobody would know any more whether it was recorded.
    pub fn is_too_old(&self, now: Timestamp) -> bool {
        now.duration_since(self.shown) > SignedDuration::from_hours(24 * MOST_DAYS)
    }
}

impl FromStr for FormKey {
    type Err = NoKey;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let shown = || {
            let seconds = text.get(..SECONDS)?;
            let seconds = i64::from_str_radix(seconds, 16).ok()?;
            Timestamp::from_second(seconds).ok()
        };
        let hex = random::is_hex(text, SECONDS + RANDOM);
        let shown = shown().filter(|_| hex).ok_or_else(|| NoKey {
            typed: text.chars().take(60).collect(),
        })?;
        Ok(Self {
            text: text.to_owned(),
            shown,
        })
    }
}

impl fmt::Display for FormKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_tells_when_its_form_was_shown_and_is_unlike_any_other() {
        let now: Timestamp = "2026-10-31T12:00:00Z".parse().unwrap();
        let key = FormKey::new(now).unwrap();
        assert_eq!(key.to_string().parse(), Ok(key.clone()));
        assert_ne!(key, FormKey::new(now).unwrap());
        let forms = [key.of_form("A07"), key.of_form("A08"), key.clone()];
        assert!(
            forms
                .iter()
                .all(|one| one.to_string().parse() == Ok(one.clone()))
        );
        assert!(forms[0] != forms[1] && forms[1] != forms[2]);
        assert!(!key.is_too_old(now + SignedDuration::from_hours(24 * 45)));
        assert!(key.is_too_old(now + SignedDuration::from_hours(24 * 45 + 1)));
        let hours = SignedDuration::from_hours;
        assert_eq!(key.age(hours(2), now + hours(3)), hours(2));
        assert_eq!(key.age(hours(500_000), now + hours(3)), hours(3));
        assert_eq!(key.age(hours(2), now - hours(1)), hours(2));
        for text in [
            "",
            "0",
            "+069048f00",
            &"f".repeat(42),
            &"0".repeat(41),
            &"Ä".repeat(21),
        ] {
            assert!(text.parse::<FormKey>().is_err(), "{text}");
        }
    }
}
