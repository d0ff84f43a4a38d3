//! Tests of recording on a farm in memory: the same is written as otherwise, and what others did meanwhile is seen.

use std::cell::Cell;

use super::sample::{BUYER, Shed, draft, drafts, feed, pen, record, sale, written};
use super::stand::Stand;
use super::{Book, Damage, DiaryError, RecordError, WhichWord};
use crate::farm::{Farm, Problem, Recording};

type Recorded = Result<(Recording, Stand), RecordError<Vec<Problem>>>;

/// Feeds on a day; says too how many entries the farm had each time the rule was asked.
fn feed_on(book: &mut Book, known: (&Farm, Stand), day: &str) -> (Recorded, Vec<usize>) {
    let asked = Cell::new(Vec::new());
    let recorded = book.record_on(known, &mut pen(), |farm| {
        let mut lengths = asked.take();
        lengths.push(farm.entries().len());
        asked.set(lengths);
        farm.record(vec![feed(day)], written())
    });
    (recorded, asked.into_inner())
}

#[test]
fn the_same_is_written_as_by_whoever_reads_everything_first() {
    let (mut shed, mut other) = (Shed::kept(), Shed::kept());
    let (farm, stand) = shed.book.standing_farm().unwrap();
    let (recorded, asked) = feed_on(&mut shed.book, (&farm, stand), "2026-03-11");
    let (recording, stand) = recorded.unwrap();
    assert_eq!(asked, [11]);
    assert_eq!(recording.farm.entries(), shed.again().entries().unwrap());
    // And on top of what was written just now, without anything being read again.
    let (recorded, asked) = feed_on(&mut shed.book, (&recording.farm, stand), "2026-03-12");
    let (recording, stand) = recorded.unwrap();
    assert_eq!(asked, [12]);
    assert!(shed.book.still_stands(&stand).unwrap());
    assert_eq!(recording.farm.entries(), shed.again().entries().unwrap());

    record(&mut other.book, vec![feed("2026-03-11")]);
    record(&mut other.book, vec![feed("2026-03-12")]);
    assert_eq!(stand.seal(), other.book.seal().unwrap());
    assert_eq!(shed.book.verify().unwrap(), other.book.verify().unwrap());
}

#[test]
fn what_another_wrote_meanwhile_is_read_and_the_rule_asked_again() {
    let mut shed = Shed::kept();
    let (farm, stand) = shed.book.standing_farm().unwrap();
    record(&mut shed.again(), vec![feed("2026-03-11")]);
    assert!(!shed.book.still_stands(&stand).unwrap());
    let (recorded, asked) = feed_on(&mut shed.book, (&farm, stand), "2026-03-12");
    let (recording, stand) = recorded.unwrap();
    assert_eq!(asked, [11, 12]);
    assert_eq!(recording.entries()[0].number, 13);
    assert!(shed.book.still_stands(&stand).unwrap());
    assert_eq!(shed.book.verify().unwrap().entries, 13);
}

#[test]
fn what_was_wrong_before_another_wrote_may_be_right_now() {
    let mut shed = Shed::empty();
    let (farm, stand) = shed.book.standing_farm().unwrap();
    record(&mut shed.again(), drafts());
    let (recorded, asked) = feed_on(&mut shed.book, (&farm, stand), "2026-03-11");
    assert_eq!(asked, [0, 10]);
    assert_eq!(recorded.unwrap().0.entries()[0].number, 11);
}

#[test]
fn a_word_that_was_forgotten_meanwhile_is_not_written_again() {
    let mut shed = Shed::kept();
    let (farm, stand) = shed.book.standing_farm().unwrap();
    shed.again().forget(WhichWord::Text(BUYER)).unwrap();
    assert!(!shed.book.still_stands(&stand).unwrap());
    let (recorded, _) = feed_on(&mut shed.book, (&farm, stand), "2026-03-11");
    let farm = recorded.unwrap().0.farm;
    assert!(!format!("{:?}", farm.entries()).contains(BUYER));
}

#[test]
fn nothing_is_written_on_top_of_a_diary_that_was_changed() {
    let sql = "UPDATE entries SET line = replace(line, '1000', '9000') WHERE n = 5";
    let refused = |mut book: Book, known: (&Farm, Stand)| {
        let found = feed_on(&mut book, known, "2026-03-12").0.map(|_| ());
        assert!(
            matches!(
                &found,
                Err(RecordError::Diary {
                    source: DiaryError::Damaged {
                        entry: Some(5),
                        damage: Damage::Digest
                    }
                })
            ),
            "{found:?}"
        );
    };
    // Before its farm was read: the lines read well, and only the chain tells.
    let shed = Shed::kept();
    shed.tamper(sql, []);
    let (farm, stand) = shed.book.standing_farm().unwrap();
    refused(shed.book, (&farm, stand));
    // After the chain was followed.
    let mut shed = Shed::kept();
    let (farm, stand) = shed.book.standing_farm().unwrap();
    let (recorded, _) = feed_on(&mut shed.book, (&farm, stand), "2026-03-11");
    let (recording, stand) = recorded.unwrap();
    shed.tamper(sql, []);
    refused(shed.book, (&recording.farm, stand));
}

#[test]
fn a_refusal_writes_nothing() {
    let mut shed = Shed::kept();
    let (farm, stand) = shed.book.standing_farm().unwrap();
    let refused: Recorded = shed.book.record_on((&farm, stand), &mut pen(), |farm| {
        let rows = vec![draft("2026-05-02", sale("a new buyer")), feed("2026-02-01")];
        farm.record(rows, written())
    });
    assert!(matches!(refused, Err(RecordError::Refused { why }) if why.len() == 1));
    assert!(shed.book.still_stands(&stand).unwrap());
    assert_eq!(shed.book.verify().unwrap().entries, 11);
}
