//! The fields of a form as they came, and what every form carries: whose it is, its key, and how long ago it was tapped.

use jiff::{SignedDuration, Timestamp, tz::TimeZone};

use crate::farm::Moment;

use super::forms::FormError;

/// A form kept on a phone for longer than this is not sent into the diary by itself.
const OLDEST_DAYS: i64 = 30;
/// What was tapped so few seconds ago was tapped now.
const NOW_SECONDS: i64 = 60;
const DAY_SECONDS: i64 = 24 * 60 * 60;

/// The fields of a form, in their order.
#[derive(Clone, Debug, Default)]
pub struct Fields {
    pairs: Vec<(String, String)>,
}

impl Fields {
    /// Takes the fields as they came. One that came twice with two contents is refused.
    ///
    /// # Errors
    /// Names the field that was told twice.
    pub fn of(pairs: Vec<(String, String)>) -> Result<Self, FormError> {
        let said = pairs.into_iter();
        let said: Vec<(String, String)> = said
            .map(|(name, value)| (name, value.trim().to_owned()))
            .filter(|(_, value)| !value.is_empty())
            .collect();
        let mut fields = Self::default();
        for (name, value) in said {
            match fields.said(&name) {
                Some(known) if known != value => return Err(FormError::Twice { what: name }),
                Some(_) => {}
                None => fields.pairs.push((name, value)),
            }
        }
        Ok(fields)
    }

    /// Returns what a field says, if anything.
    pub fn said(&self, name: &str) -> Option<&str> {
        let mut pairs = self.pairs.iter();
        let found = pairs.find(|(known, _)| known == name);
        found.map(|(_, value)| value.as_str())
    }

    /// Returns what a field says that has to say something.
    pub(super) fn must(&self, name: &'static str, what: &'static str) -> Result<&str, FormError> {
        self.said(name).ok_or(FormError::Missing { what })
    }

    /// Returns all that makes a form the same form when it comes again: everything but what proves who sent it and how
    /// long it waited, in the order of names.
    pub fn content(&self) -> String {
        let mut pairs: Vec<&(String, String)> = self
            .pairs
            .iter()
            .filter(|(name, _)| !matches!(name.as_str(), "token" | "age"))
            .collect();
        pairs.sort();
        let lines = pairs.iter().map(|(name, value)| {
            // Lengths before the texts, so that no two forms are written alike.
            format!("{}:{name} {}:{value}\n", name.len(), value.len())
        });
        lines.collect()
    }

    /// Returns when it was tapped, as a row says it; nothing where that is now.
    ///
    /// A phone says how long ago that was by its own clock, so that a clock that is wrong does no harm.
    ///
    /// # Errors
    /// Where it is no number of seconds, or longer ago than a form is kept.
    pub fn when(&self, now: Timestamp, zone: &TimeZone) -> Result<Option<String>, FormError> {
        let Some(typed) = self.said("age") else {
            return Ok(None);
        };
        let age: i64 = typed
            .parse::<u32>()
            .map(i64::from)
            .map_err(|_| FormError::NoAge {
                typed: typed.to_owned(),
            })?;
        if age < NOW_SECONDS {
            return Ok(None);
        }
        let then = now.checked_sub(SignedDuration::from_secs(age)).ok();
        let then = then.filter(|_| age <= OLDEST_DAYS * DAY_SECONDS);
        let then = then.ok_or(FormError::TooOld {
            days: age / DAY_SECONDS,
            most: OLDEST_DAYS,
        })?;
        Ok(Some(Moment::minute_of(zone.to_datetime(then)).to_string()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(pairs: &[(&str, &str)]) -> Fields {
        let pairs = pairs.iter();
        let owned = pairs.map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
        Fields::of(owned.collect()).unwrap_or_else(|error| panic!("{error}"))
    }

    fn noon() -> Timestamp {
        "2026-10-31T12:00:00Z".parse().expect("an instant")
    }

    #[test]
    fn a_form_is_the_same_however_long_it_waited_and_whatever_proves_who_sent_it() {
        let first = fields(&[("key", "k"), ("token", "a"), ("bin", "A07"), ("note", "")]);
        let again = fields(&[("bin", "A07"), ("age", "900"), ("token", "b"), ("key", "k")]);
        let other = fields(&[("key", "k"), ("bin", "A08")]);
        assert_eq!(first.content(), again.content());
        assert_ne!(first.content(), other.content());
    }

    #[test]
    fn two_forms_are_never_written_alike() {
        let one = fields(&[("note", "x 1:y"), ("why", "z")]);
        let other = fields(&[("note", "x"), ("why", "1:y z")]);
        assert_ne!(one.content(), other.content());
    }

    #[test]
    fn what_was_tapped_a_while_ago_happened_then() {
        let zone = TimeZone::get("Europe/London").expect("a zone");
        let when = |age: &str| fields(&[("age", age)]).when(noon(), &zone);
        assert_eq!(when("0"), Ok(None));
        assert_eq!(when("59"), Ok(None));
        assert_eq!(when("600"), Ok(Some("2026-10-31T11:50".to_owned())));
        assert_eq!(when("86400"), Ok(Some("2026-10-30T13:00".to_owned())));
        assert!(matches!(when("2592001"), Err(FormError::TooOld { .. })));
        for wrong in ["-5", "soon", "1e3", "99999999999"] {
            assert!(matches!(when(wrong), Err(FormError::NoAge { .. })), "{wrong}");
        }
    }

    #[test]
    fn a_field_that_is_told_twice_is_refused() {
        let pair = |value: &str| ("amount".to_owned(), value.to_owned());
        assert!(Fields::of(vec![pair("300 g"), pair("300 g")]).is_ok());
        assert!(Fields::of(vec![pair("300 g"), pair("500 g")]).is_err());
    }
}
