//! Version 1 of every kind of stored line, by its exact text. Never edit a text here; add.

use rusqlite::Connection;

use super::error::WireError;
use super::ink::{Ink, Pen};
use super::pinned_entries::{GOODS, bin, draw, entries};
use super::schema;
use super::wire::{self, Writer};
use super::words::{Reader, Words};
use crate::farm::*;

/// Writes entries as lines, with salts that count up from 1, and returns the words' table beside them.
pub(super) fn written(entries: &[Entry]) -> (Vec<String>, Words) {
    let conn = Connection::open_in_memory().unwrap();
    schema::fill(&conn).unwrap();
    let mut count = 0;
    let mut pen = Pen::with_salts("Europe/London", move || {
        count += 1;
        [count; 16]
    });
    let words = Words::default();
    let mut ink = Ink::new(&conn, &words, &mut pen);
    let mut writer = Writer::default();
    let lines = entries
        .iter()
        .map(|entry| writer.write(entry, &mut ink).unwrap().to_owned())
        .collect();
    ink.write().unwrap();
    let words = Words::read(&conn).unwrap();
    (lines, words)
}

fn read(line: &str, number: EntryNumber, words: &Words) -> Result<Entry, WireError> {
    let mut reader = Reader::checking(words);
    reader.entry = number;
    wire::read(line, &mut reader, Some(&mut Writer::default()))
}

#[test]
fn version_1_lines_read_for_ever() {
    let pinned = include_str!("pinned.jsonl");
    let entries = entries();
    let (lines, words) = written(&entries);
    assert_eq!(pinned.lines().count(), entries.len());
    for ((pinned, line), entry) in pinned.lines().zip(&lines).zip(&entries) {
        assert_eq!(line, pinned);
        assert_eq!(&read(pinned, entry.number, &words).unwrap(), entry);
    }
}

/// The digests were worked out anew with Python's hashlib, as SHA-256 of 16 equal bytes and the text.
#[test]
fn a_word_is_named_by_its_key_and_the_digest_of_salt_and_text() {
    let (lines, _) = written(&entries());
    let named =
        r#"{"sha256":"b9829b93b755d22962224735db8a84e86ac1af6747327f10171b1abac64be63b","word":1}"#;
    assert!(lines[3].contains(named));
    assert!(lines.iter().all(|line| !line.contains("food left")));
}

#[test]
fn every_kind_of_entry_is_pinned() {
    let entries = entries();
    let events = entries.iter().filter_map(|entry| entry.event.as_ref());
    let pinned: Vec<Noun> = events.map(Event::noun).collect();
    assert_eq!(
        Noun::ALL.into_iter().find(|noun| !pinned.contains(noun)),
        None
    );
}

#[test]
fn every_line_is_canonical_json() {
    let (lines, _) = written(&entries());
    for line in lines {
        let value: serde_json::Value = serde_json::from_str(&line).unwrap();
        assert_eq!(serde_json_canonicalizer::to_string(&value).unwrap(), line);
    }
}

/// Source: RFC 8785, Appendix B and the test data beside it, tests/reference/jcs_numbers.csv.
#[test]
fn the_canonicalizer_that_lines_are_compared_with_writes_numbers_as_published() {
    let table = include_str!("../../tests/reference/jcs_numbers.csv");
    let mut seen = 0;
    for row in table.lines().skip(1) {
        let mut columns = row.split(',');
        let (bits, wanted) = (columns.next().unwrap(), columns.next().unwrap());
        let number = f64::from_bits(u64::from_str_radix(bits, 16).unwrap());
        if number.is_finite() {
            let written = serde_json_canonicalizer::to_string(&number).unwrap();
            assert_eq!(written, wanted, "{bits}");
            seen += 1;
        }
    }
    assert!(seen >= 20, "{seen} rows");
}

/// Source: RFC 8785, section 3.2.3 (sorting of property names); the text is from memory of that section.
#[test]
fn the_canonicalizer_that_lines_are_compared_with_sorts_keys_as_published() {
    let keys = [
        "\u{20ac}",
        "\r",
        "\u{fb33}",
        "1",
        "\u{1f600}",
        "\u{80}",
        "\u{f6}",
    ];
    let object: serde_json::Map<String, serde_json::Value> = keys
        .into_iter()
        .map(|key| (key.to_owned(), 0.into()))
        .collect();
    assert_eq!(
        serde_json_canonicalizer::to_string(&object).unwrap(),
        "{\"\\r\":0,\"1\":0,\"\u{80}\":0,\"\u{f6}\":0,\"\u{20ac}\":0,\"\u{1f600}\":0,\"\u{fb33}\":0}"
    );
}

#[test]
fn a_line_that_says_the_same_in_other_characters_is_told_apart() {
    let (lines, words) = written(&entries());
    let line = &lines[6];
    for other in [
        line.replace(":7,", ": 7,"),
        line.replace("tip", "t\\u0069p"),
        line.replace("A07", "a07"),
        line.replace("\"v\":1,", "")
            .replace("{\"bed\"", "{\"v\":1,\"bed\""),
        line.replace("17:30:00Z", "17:30:00.000Z"),
        line.replace("17:30:00Z", "18:30:00+01:00"),
    ] {
        assert_ne!(&other, line);
        assert!(read(&other, 7, &words).is_err(), "{other}");
    }
}

#[test]
fn a_line_with_a_strange_a_double_or_a_missing_key_is_unreadable() {
    let (lines, words) = written(&entries());
    let plain = |line: &str| {
        let mut reader = Reader::new(&words);
        reader.entry = 7;
        wire::read(line, &mut reader, None)
    };
    let line = &lines[6];
    assert!(plain(line).is_ok());
    for other in [
        line.replace("\"n\":7", "\"colour\":\"red\",\"n\":7"),
        line.replace("\"n\":7", "\"n\":7,\"n\":7"),
        line.replace("\"bed\":\"B26061-01-B\",", ""),
        line.replace("\"to_bin\":\"B03\",", ""),
        line.replace(",\"written\":\"2026-04-25T17:30:00Z\"", ""),
        line.replace("\"kind\":\"tip\"", "\"kind\":\"strike\""),
        line.replace("\"kind\":\"tip\"", "\"kind\":\"tap\""),
        line.replace("B26061-01-B", "B26061-01-C"),
        line.replace("\"n\":7", "\"n\":8"),
        line.replace("\"v\":1", "\"v\":0"),
        format!("{line}x"),
        line[..line.len() - 1].to_owned(),
        String::new(),
        "[]".to_owned(),
    ] {
        assert!(plain(&other).is_err(), "{other}");
    }
    let newer = plain(&line.replace("\"v\":1", "\"v\":2"));
    assert!(matches!(newer, Err(WireError::TooNew { version: 2 })));
}

#[test]
fn a_bin_whose_bed_was_never_looked_up_is_not_written() {
    let conn = Connection::open_in_memory().unwrap();
    let mut pen = Pen::new("Europe/London");
    let words = Words::default();
    let mut ink = Ink::new(&conn, &words, &mut pen);
    let mut entry = entries().remove(2);
    entry.event = Some(Event::Feed {
        bed: BedName::Bin(bin("A07")),
        takes: vec![draw(GOODS, Amount::Unknown)],
    });
    assert!(Writer::default().write(&entry, &mut ink).is_err());
}
