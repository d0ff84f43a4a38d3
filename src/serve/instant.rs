//! Instants in lines of JSON: as text, to the nanosecond.

use jiff::Timestamp;
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serializer};

/// Writes an instant, for `#[serde(with = "instant")]`.
pub fn serialize<S: Serializer>(instant: &Timestamp, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(instant)
}

/// Reads an instant.
pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Timestamp, D::Error> {
    String::deserialize(from)?.parse().map_err(D::Error::custom)
}
