//! Version 1 of every kind of stored line, by its exact text. Never edit a text here; add.

use jiff::civil::date;
use rusqlite::Connection;

use super::schema;
use super::wire::{self, WireError, Writer};
use super::words::{Ink, Pen, Reader, Words};
use crate::farm::*;

fn lot(text: &str) -> LotCode {
    text.parse().unwrap()
}

fn new(code: &str, mark: Option<&str>) -> NewLot<Meant> {
    NewLot {
        code: lot(code),
        mark: mark.map(|mark| mark.parse().unwrap()),
    }
}

fn bin(text: &str) -> BinCode {
    text.parse().unwrap()
}

fn word(text: &str) -> Word {
    Word::of(text).unwrap()
}

fn grams(value: u64) -> Amount {
    Amount::Weighed(Quantity::new(value, Unit::Grams))
}

fn draw(code: &str, amount: Amount) -> Draw<Meant> {
    Draw {
        lot: lot(code),
        packs: None,
        amount,
    }
}

fn serials(first: u32, last: u32) -> SerialRange {
    SerialRange::new(Serial::new(first).unwrap(), Serial::new(last).unwrap()).unwrap()
}

fn pick(code: &str, which: Which) -> PackPick<Meant> {
    PackPick {
        run: lot(code),
        which,
    }
}

fn bed_a07() -> BedName<LotCode> {
    BedName::Found {
        bin: bin("A07"),
        bed: lot(BED),
    }
}

const GOODS: &str = "G26061-01-F";
const BED: &str = "B26061-01-B";
const BED_2: &str = "B26090-03-4";
const BATCH: &str = "H26115-02-W";
const RUN: &str = "P26115-07-S";

/// One entry of each kind, and of each form that a kind can take, without what stands around it.
fn events() -> Vec<Event<Meant>> {
    let mut events = rack_events();
    events.extend(goods_events());
    events.extend(pack_events());
    events
}

fn rack_events() -> Vec<Event<Meant>> {
    vec![
        Event::Bin {
            bin: bin("A07"),
            place: "R2/S1/P3".parse().unwrap(),
            facts: Box::new(BinFacts {
                species: Some("Eisenia fetida".into()),
                length_mm: Some(600),
                width_mm: Some(400),
                depth_mm: Some(250),
                material: Some("larch \"offcuts\"\n\u{1}é\u{2028}".into()),
            }),
        },
        Event::Bed {
            lot: new(BED, Some("bed.first")),
            bin: bin("A07"),
            takes: vec![draw(GOODS, grams(4500))],
            species: Some("Eisenia fetida".into()),
        },
        Event::Feed {
            bed: bed_a07(),
            takes: vec![
                draw(GOODS, Amount::Guess(Quantity::new(300, Unit::Grams))),
                Draw {
                    lot: lot(RUN),
                    packs: Some(serials(1, 3)),
                    amount: Amount::Unknown,
                },
            ],
        },
        Event::Skip {
            bed: BedName::Bed(lot(BED)),
            why: word("food left"),
        },
        Event::Check {
            bed: bed_a07(),
            facts: Box::new(CheckFacts {
                feed_left: Some(FeedLeft::Lots),
                squeeze: Some(Squeeze::Drops),
                moisture: Some("78".into()),
                temperature_c: Some("19.5".into()),
                ph: Some("7.0".into()),
                worms: Some("lively".into()),
                cocoons: Some("many".into()),
                smell: Some("earth".into()),
                pests: Some("a few mites".into()),
            }),
        },
        Event::Split {
            bed: bed_a07(),
            share: Portion::new(1, 3).unwrap(),
            to: bin("B03"),
            lot: new(BED_2, None),
        },
        Event::Tip {
            bed: bed_a07(),
            to: TipTo::Empty(bin("B03")),
        },
        Event::Tip {
            bed: bed_a07(),
            to: TipTo::Into(BedName::Found {
                bin: bin("B03"),
                bed: lot(BED_2),
            }),
        },
        Event::Tip {
            bed: BedName::Bed(lot(BED)),
            to: TipTo::Into(BedName::Bed(lot(BED_2))),
        },
        Event::Move {
            bin: bin("A07"),
            place: "R1/S2/P1".parse().unwrap(),
        },
    ]
}

fn goods_events() -> Vec<Event<Meant>> {
    vec![
        Event::Delivery {
            lot: new(GOODS, Some("manure-3")),
            amount: grams(240_000),
            facts: Box::new(delivery()),
        },
        Event::Sieving {
            lot: new(BATCH, Some("cast-9")),
            kind: BatchKind::Castings,
            from: vec![Sieved {
                bed: bed_a07(),
                amount: None,
            }],
            whole: Some(Amount::Weighed(Quantity::new(18_000, Unit::Millilitres))),
            clears: Clears::All,
        },
        Event::Sieving {
            lot: new(BATCH, None),
            kind: BatchKind::Overs,
            from: vec![Sieved {
                bed: BedName::Bed(lot(BED)),
                amount: Some(grams(900)),
            }],
            whole: None,
            clears: Clears::Named(vec![bed_a07()]),
        },
        Event::Sieving {
            lot: new(BATCH, None),
            kind: BatchKind::Worms,
            from: vec![Sieved {
                bed: bed_a07(),
                amount: Some(Amount::Unknown),
            }],
            whole: None,
            clears: Clears::Named(Vec::new()),
        },
        Event::Blend {
            lot: new(BATCH, Some("mix-17")),
            kind: BatchKind::Feed,
            from: vec![draw(GOODS, grams(2000))],
        },
        Event::Test {
            lot: lot(BATCH),
            facts: Box::new(TestFacts {
                test: "bean".into(),
                value: "pass".into(),
                unit: Some("pots".into()),
                method: Some("2:1 with clean mix".into()),
                lab: Some("own bench".into()),
                result: Some("no curl".into()),
            }),
        },
        Event::Count {
            lot: lot(GOODS),
            found: Found::Some(Amount::Guess(Quantity::new(40, Unit::Pieces))),
            why: word("spilt"),
        },
        Event::Count {
            lot: lot(GOODS),
            found: Found::Nothing,
            why: word("spilt"),
        },
        Event::Thrown {
            what: Thrown::Some(draw(BATCH, grams(500))),
            why: word("sour"),
        },
        Event::Thrown {
            what: Thrown::Packs(vec![pick(RUN, Which::Unnumbered(2))]),
            why: word("torn"),
        },
        Event::Thrown {
            what: Thrown::Bed(bed_a07()),
            why: word("dead"),
        },
        Event::Hold {
            lot: lot(GOODS),
            step: HoldStep::Hold(Reach::Parts),
            reason: word("curled leaves"),
        },
        Event::Hold {
            lot: lot(GOODS),
            step: HoldStep::Release,
            reason: word("beans grew straight"),
        },
    ]
}

fn delivery() -> DeliveryFacts {
    DeliveryFacts {
        kind: DeliveryKind::Manure,
        name: "horse manure".into(),
        supplier: word("a livery yard upriver"),
        supplier_lot: Some("heap 4".into()),
        species: Some("none".into()),
        animal: Some("horse".into()),
        origin: Some("north field".into()),
        age_days: Some(40),
        heat_treated: Some(HeatTreated::No),
        hay_from: Some("bought in".into()),
        hay_sprayed: Some(HaySprayed::SaidNo),
        wormer: Some("ivermectin".into()),
        wormed_on: Some(date(2026, 1, 20)),
        said_by: Some(word("the yard's manager")),
        said_on: Some(date(2026, 3, 2)),
        kept_sample: Some("jar 12".into()),
        certificate: Some("none".into()),
    }
}

fn pack_events() -> Vec<Event<Meant>> {
    let buyer = Some(word("a garden shop"));
    vec![
        Event::Pack {
            lot: new(RUN, Some("run-7")),
            product: Box::new(Product {
                key: "bag20".into(),
                name: "Worm-worked compost".into(),
                kind: PackKind::Bag,
                net: Quantity::new(20_000, Unit::Millilitres),
                gtin: Some("09520123456788".parse().unwrap()),
                best_by_days: Some(365),
            }),
            count: 40,
            from: vec![draw(BATCH, grams(800_000))],
            best_by: Some(date(2027, 4, 25)),
            despite: Some("tested since".into()),
        },
        Event::Weighing {
            run: lot(RUN),
            values: vec![Quantity::new(20_100, Unit::Millilitres)],
            tare: Some(Quantity::new(90, Unit::Grams)),
        },
        Event::Sale {
            packs: vec![
                pick(RUN, Which::Serials(serials(1, 12))),
                pick(RUN, Which::All),
            ],
            to: Box::new(SaleTo {
                buyer: buyer.clone(),
                market: None,
                contact: Some(word("01632 960144")),
                document: Some("note 31".into()),
            }),
            despite: Some("asked for".into()),
        },
        Event::Return {
            packs: vec![pick(RUN, Which::Serials(serials(5, 5)))],
            state: ReturnState::Unsold,
            buyer: None,
            market: Some(word("Quay market")),
        },
        Event::Complaint {
            pack: Some(PackName {
                run: lot(RUN),
                serial: Serial::new(12),
            }),
            facts: Box::new(ComplaintFacts {
                sign: word("curled leaves"),
                heard: Some(word("07-S, twelve")),
                product: Some("the big bag".into()),
                bought_at: Some("Quay market".into()),
                bought_about: Some("2026-05".into()),
                contact: Some(word("01632 960155")),
            }),
        },
        Event::Recall {
            recall: "spring".into(),
            step: RecallStep::Told,
            lots: vec![lot(GOODS), lot(BATCH)],
            packs: vec![pick(RUN, Which::All)],
            buyer,
            why: Some(word("curled leaves")),
        },
        Event::Print {
            packs: vec![pick(RUN, Which::All)],
            facts: Box::new(PrintFacts {
                template: "bag-front".into(),
                printer: "bench".into(),
                printed: 40,
                spoiled: 1,
                digest: "0a".repeat(32).into(),
                why: Some("first sheet jammed".into()),
            }),
        },
    ]
}

/// All of them as entries, and after them a strike and a correction.
pub(super) fn entries() -> Vec<Entry> {
    let minute = Moment::minute_of(date(2026, 4, 25).at(10, 5, 0, 0));
    let plain = |number, event| Entry {
        number,
        when: Moment::day_only(date(2026, 4, 25)),
        written: "2026-04-25T17:30:00Z".parse().unwrap(),
        by: None,
        note: None,
        strikes: None,
        event,
    };
    let mut entries: Vec<Entry> = (1..)
        .zip(events())
        .map(|(number, event)| plain(number, Some(event)))
        .collect();
    let next = entries.len() as u32 + 1;
    let strike = |entry| Strike {
        entry,
        why: word("wrong bin"),
    };
    entries.push(Entry {
        when: minute,
        by: Some(word("MH")),
        strikes: Some(strike(3)),
        ..plain(next, None)
    });
    entries.push(Entry {
        when: minute,
        written: "2026-04-25T17:30:00.25Z".parse().unwrap(),
        by: Some(word("MH")),
        note: Some(word("the second bucket")),
        strikes: Some(strike(4)),
        ..plain(next + 1, rack_events().into_iter().nth(3))
    });
    entries
}

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
    let pinned: Vec<Noun> = events().iter().map(Event::noun).collect();
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
