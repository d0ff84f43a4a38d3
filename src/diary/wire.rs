//! Stored lines: an entry as one line of canonical JSON (RFC 8785), and back.
//!
//! Promises that a line once written reads for ever: keys may be added, never changed, never removed.
//! Each kind of entry has a type of its own (`rows`), so that a change in `farm` never changes what is stored.

use std::fmt;

use jiff::Timestamp;
use serde::de::{self, DeserializeSeed, Deserializer, MapAccess, Visitor};
use serde::{Deserialize, Serialize};

use super::error::{DiaryError, WireError};
use super::ink::Ink;
use super::line::Line;
use super::quick;
use super::rows::{put_event, read_event};
use super::schema::VERSION;
use super::values::{Text, When};
use super::words::{Reader, WordRef};
use crate::farm::{Entry, EntryNumber, Event, Meant, Strike};

/// The version of a line, as it stands among the other keys.
pub(super) const VERSION_KEY: &str = ",\"v\":1";

/// The kind of an entry that only strikes another.
const STRIKE: &str = "strike";

/// The keys that every kind of line has.
#[derive(Debug, Default)]
struct Head<'a> {
    by: Option<WordRef>,
    kind: Option<&'static str>,
    n: Option<EntryNumber>,
    note: Option<WordRef>,
    strikes: Option<StrikeLine>,
    v: Option<u32>,
    when: Option<When>,
    written: Option<Text<Timestamp>>,
    /// The farm's time zone, where the moment has a time.
    zone: Option<&'a str>,
}

/// A line drawn through an earlier entry.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StrikeLine {
    entry: EntryNumber,
    why: WordRef,
}

/// The keys of one kind of line.
pub(super) trait Row: Default {
    /// The word that stands under `kind`.
    const KIND: &'static str;

    /// Takes the value of a key, if it is one of this kind's.
    fn take<'de, A: MapAccess<'de>>(&mut self, key: &str, map: &mut A) -> Result<bool, A::Error>;

    /// Puts every key that has a value on a line.
    fn put(&self, line: &mut Line);

    /// Returns what happened.
    fn event(self, words: &mut Reader<'_>) -> Result<Option<Event<Meant>>, WireError>;
}

/// The row of an entry that only strikes another.
#[derive(Debug, Default)]
pub(super) struct Nothing;

impl Row for Nothing {
    const KIND: &'static str = STRIKE;

    fn take<'de, A: MapAccess<'de>>(&mut self, _: &str, _: &mut A) -> Result<bool, A::Error> {
        Ok(false)
    }

    fn put(&self, _: &mut Line) {}

    fn event(self, _: &mut Reader<'_>) -> Result<Option<Event<Meant>>, WireError> {
        Ok(None)
    }
}

impl<'de> Head<'de> {
    fn take<A: MapAccess<'de>>(&mut self, key: &str, map: &mut A) -> Result<bool, A::Error> {
        match key {
            "by" => take(&mut self.by, map)?,
            "n" => take(&mut self.n, map)?,
            "note" => take(&mut self.note, map)?,
            "strikes" => take(&mut self.strikes, map)?,
            "v" => take(&mut self.v, map)?,
            "when" => take(&mut self.when, map)?,
            "written" => take(&mut self.written, map)?,
            "zone" => take(&mut self.zone, map)?,
            _ => return Ok(false),
        }
        Ok(true)
    }

    fn put(&self, line: &mut Line) {
        line.put("by", self.by.as_ref());
        line.put("kind", self.kind.as_ref());
        line.put("n", self.n.as_ref());
        line.put("note", self.note.as_ref());
        line.put("strikes", self.strikes.as_ref());
        line.put("v", self.v.as_ref());
        line.put("when", self.when.as_ref());
        line.put("written", self.written.as_ref());
        line.put("zone", self.zone.as_ref());
    }

    /// Returns the entry, whose event is read after the words of the head.
    fn entry(
        self,
        words: &mut Reader<'_>,
        event: impl FnOnce(&mut Reader<'_>) -> Result<Option<Event<Meant>>, WireError>,
    ) -> Result<Entry, WireError> {
        let strikes = match self.strikes {
            None => None,
            Some(strike) => Some(Strike {
                entry: strike.entry,
                why: words.word(strike.why)?,
            }),
        };
        let event = event(words)?;
        if event.is_none() && strikes.is_none() {
            return Err(WireError::Key { key: "strikes" });
        }
        Ok(Entry {
            number: words.entry,
            when: need(self.when, "when")?.0,
            written: need(self.written, "written")?.0,
            by: words.maybe(self.by)?,
            note: words.maybe(self.note)?,
            strikes,
            event,
        })
    }
}

/// Takes the value of a key, which may come only once.
pub(super) fn take<'de, T: Deserialize<'de>, A: MapAccess<'de>>(
    place: &mut Option<T>,
    map: &mut A,
) -> Result<(), A::Error> {
    if place.is_some() {
        return Err(de::Error::custom("a key stands there twice"));
    }
    *place = Some(map.next_value()?);
    Ok(())
}

/// Returns the value of a key that must be there.
pub(super) fn need<T>(value: Option<T>, key: &'static str) -> Result<T, WireError> {
    value.ok_or(WireError::Key { key })
}

/// Writes lines and keeps its buffers between them.
#[derive(Default)]
pub(super) struct Writer {
    line: Line,
    out: Vec<u8>,
}

impl Writer {
    /// Writes an entry as its line.
    pub fn write(&mut self, entry: &Entry, ink: &mut Ink<'_>) -> Result<&str, DiaryError> {
        ink.entry = entry.number;
        let kind = entry.event.as_ref().map_or(STRIKE, |e| e.noun().word());
        let strikes = match &entry.strikes {
            None => None,
            Some(strike) => Some(StrikeLine {
                entry: strike.entry,
                why: ink.word(&strike.why)?,
            }),
        };
        let timed = entry.when.minute().is_some();
        let head = Head {
            by: ink.maybe(entry.by.as_ref())?,
            kind: Some(kind),
            n: Some(entry.number),
            note: ink.maybe(entry.note.as_ref())?,
            strikes,
            v: Some(VERSION),
            when: Some(When(entry.when)),
            written: Some(Text(entry.written)),
            zone: timed.then(|| ink.zone()),
        };
        head.put(&mut self.line);
        if let Some(event) = &entry.event {
            put_event(event, ink, &mut self.line)?;
        }
        self.line.finish(&mut self.out);
        Ok(std::str::from_utf8(&self.out).expect("JSON is UTF-8"))
    }

    fn same(&mut self, head: &Head<'_>, row: &impl Row, line: &str) -> bool {
        head.put(&mut self.line);
        row.put(&mut self.line);
        self.line.finish(&mut self.out);
        self.out == line.as_bytes()
    }
}

/// Reads an entry from the line under its number; with a writer, the line must be as that would write it.
pub(super) fn read(
    line: &str,
    words: &mut Reader<'_>,
    check: Option<&mut Writer>,
) -> Result<Entry, WireError> {
    if check.is_none()
        && let Some(entry) = quick::feed(line, words)
    {
        return Ok(entry);
    }
    read_general(line, words, check)
}

/// Reads an entry from any line.
pub(super) fn read_general(
    line: &str,
    words: &mut Reader<'_>,
    check: Option<&mut Writer>,
) -> Result<Entry, WireError> {
    match kind_of(line).ok_or(WireError::Kind)? {
        STRIKE => read_as::<Nothing>(line, words, check),
        kind => read_event(kind, line, words, check),
    }
}

/// Finds the kind without reading the line twice: the first such key that is not inside a text.
///
/// A quote inside a text has a backslash before it, and no value under an earlier key has a `kind` in it.
fn kind_of(line: &str) -> Option<&str> {
    const KEY: &str = "kind\":\"";
    // By its first letter, which hardly comes before: a search for all of it costs more to set up than this.
    let (at, _) = line
        .match_indices('k')
        .find(|(at, _)| line[*at..].starts_with(KEY) && line[..*at].ends_with('"'))?;
    let start = at + KEY.len();
    let length = line[start..].find('"')?;
    line.get(start..start + length)
}

/// Reads a line of a known kind.
pub(super) fn read_as<R: Row>(
    line: &str,
    words: &mut Reader<'_>,
    check: Option<&mut Writer>,
) -> Result<Entry, WireError> {
    let (mut head, mut row) = (Head::default(), R::default());
    let seed = LineSeed {
        head: &mut head,
        row: &mut row,
    };
    let mut from = serde_json::Deserializer::from_str(line);
    seed.deserialize(&mut from)
        .and_then(|()| from.end())
        .map_err(|source| WireError::Json { source })?;
    match head.v {
        Some(VERSION) => {}
        Some(version) if version > VERSION => return Err(WireError::TooNew { version }),
        _ => return Err(WireError::Key { key: "v" }),
    }
    if head.n != Some(words.entry) {
        return Err(WireError::Number);
    }
    if check.is_some_and(|writer| !writer.same(&head, &row, line)) {
        return Err(WireError::NotCanonical);
    }
    head.entry(words, |words| row.event(words))
}

struct LineSeed<'a, 'de, R> {
    head: &'a mut Head<'de>,
    row: &'a mut R,
}

impl<'de, R: Row> DeserializeSeed<'de> for LineSeed<'_, 'de, R> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de, R: Row> Visitor<'de> for LineSeed<'_, 'de, R> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an entry")
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key::<&str>()? {
            if key == "kind" {
                self.take_kind(&mut map)?;
            } else if !self.row.take(key, &mut map)? && !self.head.take(key, &mut map)? {
                return Err(de::Error::custom(format_args!(
                    "the key `{key}` is not known"
                )));
            }
        }
        Ok(())
    }
}

impl<'de, R: Row> LineSeed<'_, 'de, R> {
    fn take_kind<A: MapAccess<'de>>(&mut self, map: &mut A) -> Result<(), A::Error> {
        let kind: &str = map.next_value()?;
        if kind != R::KIND || self.head.kind.replace(R::KIND).is_some() {
            return Err(de::Error::custom("its kind is not clear"));
        }
        Ok(())
    }
}
