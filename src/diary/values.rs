//! The values that stand in stored lines: how a code, a moment, an amount or a draw is written.
//!
//! Promises never to change what is written; a later version may add. Fields stand in the order of their keys.

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use jiff::civil::{Date, Time};
use serde::de::{self, MapAccess, Unexpected, Visitor};
use serde::ser::SerializeMap;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::farm::{Amount, Found, Moment, Quantity, Unit};

/// Anything that reads back from the text it is written as: a code, a word of a sheet, an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Text<T>(pub T);

impl<T: fmt::Display> Serialize for Text<T> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(&self.0)
    }
}

impl<'de, T: FromStr<Err: fmt::Display>> Deserialize<'de> for Text<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct TextVisitor<T>(PhantomData<T>);
        impl<T: FromStr<Err: fmt::Display>> Visitor<'_> for TextVisitor<T> {
            type Value = Text<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
                text.parse().map(Text).map_err(E::custom)
            }
        }
        from.deserialize_str(TextVisitor(PhantomData))
    }
}

/// A moment: `2026-03-02`, or `2026-03-02T09:00`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct When(pub Moment);

impl Serialize for When {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for When {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = <&str>::deserialize(from)?;
        let wanted = &"a day, or a day and a minute, of the years 2000 to 2099";
        when(text.as_bytes())
            .map(When)
            .ok_or_else(|| de::Error::invalid_value(Unexpected::Str(text), wanted))
    }
}

/// Reads a moment as it is written and nothing looser; the tolerant reading costs more than a start can spare.
pub(super) fn when(text: &[u8]) -> Option<Moment> {
    let number = |from: usize, to: usize| {
        text[from..to].iter().try_fold(0_i16, |sum, b| {
            b.is_ascii_digit().then(|| sum * 10 + i16::from(b - b'0'))
        })
    };
    let two = |from: usize| number(from, from + 2).and_then(|n| i8::try_from(n).ok());
    let timed = match text.len() {
        10 => false,
        16 if text[10] == b'T' && text[13] == b':' => true,
        _ => return None,
    };
    if text[4] != b'-' || text[7] != b'-' {
        return None;
    }
    let year = number(0, 4).filter(|year| (2000..=2099).contains(year))?;
    let day = Date::new(year, two(5)?, two(8)?).ok()?;
    Some(if timed {
        let time = Time::new(two(11)?, two(14)?, 0, 0).ok()?;
        Moment::minute_of(day.to_datetime(time))
    } else {
        Moment::day_only(day)
    })
}

/// A quantity: `{"g":2400}`, `{"ml":250}` or `{"pieces":40}`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct QuantityLine(pub Quantity);

/// An amount: a quantity, with `"guess":true` where it is one, or `"?"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct AmountLine(pub Amount);

/// What a count found: an amount, or `"nothing"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FoundLine(pub Found);

const UNKNOWN: &str = "?";
const NOTHING: &str = "nothing";
const GUESS: &str = "guess";
const UNITS: [(&str, Unit); 3] = [
    ("g", Unit::Grams),
    ("ml", Unit::Millilitres),
    ("pieces", Unit::Pieces),
];

fn write_quantity<S: Serializer>(
    to: S,
    quantity: Quantity,
    guess: bool,
) -> Result<S::Ok, S::Error> {
    let (key, _) = UNITS
        .into_iter()
        .find(|(_, unit)| *unit == quantity.unit())
        .expect("every unit has a key");
    let mut map = to.serialize_map(None)?;
    let guess_first = guess && GUESS < key;
    if guess_first {
        map.serialize_entry(GUESS, &true)?;
    }
    map.serialize_entry(key, &quantity.value())?;
    if guess && !guess_first {
        map.serialize_entry(GUESS, &true)?;
    }
    map.end()
}

impl Serialize for QuantityLine {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        write_quantity(to, self.0, false)
    }
}

impl Serialize for AmountLine {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Amount::Weighed(quantity) => write_quantity(to, quantity, false),
            Amount::Guess(quantity) => write_quantity(to, quantity, true),
            Amount::Unknown => to.serialize_str(UNKNOWN),
        }
    }
}

impl Serialize for FoundLine {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Found::Nothing => to.serialize_str(NOTHING),
            Found::Some(amount) => AmountLine(amount).serialize(to),
        }
    }
}

/// Reads all three; which of them stands there is for the caller to say.
struct FoundVisitor;

impl<'de> Visitor<'de> for FoundVisitor {
    type Value = Found;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an amount")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Found, E> {
        match text {
            UNKNOWN => Ok(Found::Some(Amount::Unknown)),
            NOTHING => Ok(Found::Nothing),
            _ => Err(E::invalid_value(Unexpected::Str(text), &self)),
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Found, A::Error> {
        let (mut quantity, mut guess) = (None, false);
        while let Some(key) = map.next_key::<&str>()? {
            if key == GUESS {
                guess = map.next_value()?;
                continue;
            }
            let unit = UNITS.into_iter().find(|(known, _)| *known == key);
            let Some((_, unit)) = unit.filter(|_| quantity.is_none()) else {
                return Err(de::Error::unknown_field(
                    key,
                    &["g", "guess", "ml", "pieces"],
                ));
            };
            let value: u64 = map.next_value()?;
            quantity = Some(Quantity::new(value, unit));
        }
        let quantity = quantity.ok_or_else(|| de::Error::missing_field("g"))?;
        Ok(Found::Some(if guess {
            Amount::Guess(quantity)
        } else {
            Amount::Weighed(quantity)
        }))
    }
}

impl<'de> Deserialize<'de> for FoundLine {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(FoundVisitor).map(FoundLine)
    }
}

impl<'de> Deserialize<'de> for AmountLine {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        match from.deserialize_any(FoundVisitor)? {
            Found::Some(amount) => Ok(Self(amount)),
            Found::Nothing => Err(de::Error::custom("nothing is no amount here")),
        }
    }
}

impl<'de> Deserialize<'de> for QuantityLine {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        match from.deserialize_any(FoundVisitor)? {
            Found::Some(Amount::Weighed(quantity)) => Ok(Self(quantity)),
            Found::Some(Amount::Guess(_) | Amount::Unknown) | Found::Nothing => {
                Err(de::Error::custom("a sure quantity is wanted here"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written<T: Serialize>(value: T) -> String {
        serde_json::to_string(&value).unwrap()
    }

    #[test]
    fn amounts_are_whole_numbers_with_a_unit_and_a_mark() {
        let grams = Quantity::new(2400, Unit::Grams);
        let litres = Quantity::new(18_000, Unit::Millilitres);
        let pieces = Quantity::new(40, Unit::Pieces);
        for (amount, text) in [
            (Amount::Weighed(grams), r#"{"g":2400}"#),
            (Amount::Guess(grams), r#"{"g":2400,"guess":true}"#),
            (Amount::Guess(litres), r#"{"guess":true,"ml":18000}"#),
            (Amount::Guess(pieces), r#"{"guess":true,"pieces":40}"#),
            (Amount::Unknown, r#""?""#),
        ] {
            assert_eq!(written(AmountLine(amount)), text);
            assert_eq!(
                serde_json::from_str::<AmountLine>(text).unwrap(),
                AmountLine(amount)
            );
        }
        assert_eq!(written(FoundLine(Found::Nothing)), r#""nothing""#);
    }

    #[test]
    fn what_is_no_amount_is_refused() {
        for text in [
            r#"{"g":2.5}"#,
            r#"{"g":-1}"#,
            r#"{"kg":1}"#,
            r#"{"g":1,"ml":1}"#,
            r#"{"guess":true}"#,
            r#"{}"#,
            r#""nothing""#,
            "2400",
            "null",
        ] {
            assert!(serde_json::from_str::<AmountLine>(text).is_err(), "{text}");
        }
        assert!(serde_json::from_str::<QuantityLine>(r#"{"g":1,"guess":true}"#).is_err());
    }

    #[test]
    fn a_moment_reads_only_as_it_is_written() {
        for text in [r#""2026-03-02""#, r#""2026-03-02T09:05""#] {
            let when: When = serde_json::from_str(text).unwrap();
            assert_eq!(written(when), text);
        }
        for text in [
            r#""2026-3-2""#,
            r#""2026-02-30""#,
            r#""1999-03-02""#,
            r#""2026-03-02 09:05""#,
            r#""2026-03-02T9:05""#,
            r#""2026-03-02T24:00""#,
            r#""2026-03-02T09:05:00""#,
            r#""""#,
        ] {
            assert!(serde_json::from_str::<When>(text).is_err(), "{text}");
        }
    }
}
