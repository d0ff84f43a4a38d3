//! Tests of the book: what is written, what is refused, two writers, strange files.

use std::time::Duration;

use super::sample::{BUYER, Shed, at, draft, drafts, feed, pen, record, sale, written};
use super::words::Words;
use super::{Book, DiaryError, RecordError, Seal, WhichWord};
use crate::farm::{Entry, Event, Farm, Problem, Recording, Stamp, Strike, Word};

type Recorded = Result<Recording, RecordError<Vec<Problem>>>;

#[test]
fn a_new_diary_is_empty_and_its_seal_is_64_zeros() {
    let shed = Shed::empty();
    assert_eq!(shed.book.farm().unwrap().entries(), []);
    assert_eq!(shed.book.seal().unwrap(), Seal::START);
}

#[test]
fn what_is_recorded_is_read_by_whoever_opens_the_file_next() {
    let mut shed = Shed::empty();
    let recording = record(&mut shed.book, drafts());
    let seal = shed.book.seal().unwrap();
    let book = shed.again();
    assert_eq!(book.entries().unwrap(), recording.entries());
    assert_eq!(book.farm().unwrap().flows(), recording.farm.flows());
    assert_eq!(book.seal().unwrap(), seal);
    assert_ne!(seal, Seal::START);
}

#[test]
fn the_same_writing_gives_the_same_seal() {
    let seals = [Shed::kept(), Shed::kept()].map(|shed| shed.book.seal().unwrap());
    assert_eq!(seals[0], seals[1]);
}

#[test]
fn many_entries_are_read_by_two_threads_as_by_one() {
    let mut shed = Shed::empty();
    let mut many = drafts();
    let place = |n: usize| format!("R1/S{}/P{}", n % 7, n % 9).parse().unwrap();
    many.extend((0..5000).map(|n| {
        let bin = "A07".parse().unwrap();
        draft(
            "2026-05-01",
            Event::Move {
                bin,
                place: place(n),
            },
        )
    }));
    let recording = record(&mut shed.book, many);
    assert_eq!(recording.entries().len(), 5010);
    assert_eq!(shed.book.entries().unwrap(), recording.entries());
}

#[test]
fn nothing_is_written_on_top_of_a_diary_that_was_changed() {
    let mut shed = Shed::kept();
    let sql = "UPDATE entries SET line = replace(line, '1000', '9000') WHERE n = ?1";
    shed.tamper(sql, [5]);
    let before = shed.book.entries().unwrap().len();
    let refused: Recorded = shed.book.record(&mut pen(), |farm| {
        farm.record(vec![feed("2026-03-11")], written())
    });
    let found = match refused {
        Err(RecordError::Diary { source }) => source,
        other => panic!("{other:?}"),
    };
    assert!(
        matches!(found, DiaryError::Damaged { entry: Some(5), .. }),
        "{found:?}"
    );
    assert_eq!(shed.book.entries().unwrap().len(), before);
}

#[test]
fn a_refusal_writes_nothing() {
    let mut shed = Shed::kept();
    let before = (shed.book.entries().unwrap(), shed.book.seal().unwrap());
    let mut rows = vec![draft("2026-05-02", sale("a new buyer"))];
    rows.extend(vec![feed("2026-02-01")]);
    let refused: Recorded = shed
        .book
        .record(&mut pen(), |farm| farm.record(rows, written()));
    assert!(matches!(refused, Err(RecordError::Refused { why }) if why.len() == 1));
    let after = (shed.book.entries().unwrap(), shed.book.seal().unwrap());
    assert_eq!(after, before);
    assert_eq!(Words::read(&shed.book.conn).unwrap().count(), 5);
}

#[test]
fn a_recording_on_another_farm_is_not_written() {
    let mut shed = Shed::kept();
    let other: Recorded = shed
        .book
        .record(&mut pen(), |_| Farm::default().record(drafts(), written()));
    let error = other.map(|_| ()).unwrap_err();
    assert!(matches!(
        error,
        RecordError::Diary {
            source: DiaryError::OtherFarm { entries: 11 }
        }
    ));
}

#[test]
fn a_second_writer_who_cannot_wait_is_told_that_the_diary_is_busy() {
    let mut shed = Shed::kept();
    let mut second = shed.again();
    second.wait_at_most(Duration::ZERO).unwrap();
    let first: Recorded = shed.book.record(&mut pen(), |farm| {
        let busy: Recorded = second.record(&mut pen(), |farm| {
            farm.record(vec![feed("2026-03-11")], written())
        });
        let busy = busy.map(|_| ()).unwrap_err();
        assert!(matches!(
            busy,
            RecordError::Diary {
                source: DiaryError::Busy
            }
        ));
        assert_eq!(second.entries().unwrap().len(), 11, "reading goes on");
        farm.record(vec![feed("2026-03-11")], written())
    });
    assert_eq!(first.unwrap().entries()[0].number, 12);
}

#[test]
fn a_second_writer_waits_and_then_sees_what_the_first_wrote() {
    let mut shed = Shed::kept();
    let mut second = shed.again();
    let waiting = std::sync::Mutex::new(None);
    let first: Recorded = shed.book.record(&mut pen(), |farm| {
        let other = std::thread::spawn(move || -> Recorded {
            second.record(&mut pen(), |farm| {
                farm.record(vec![feed("2026-03-11")], written())
            })
        });
        *waiting.lock().unwrap() = Some(other);
        farm.record(vec![feed("2026-03-11")], written())
    });
    let second = waiting.into_inner().unwrap().unwrap().join().unwrap();
    assert_eq!(first.unwrap().entries()[0].number, 12);
    assert_eq!(second.unwrap().entries()[0].number, 13);
    assert_eq!(shed.book.verify().unwrap().entries, 13);
}

#[test]
fn a_file_that_is_no_diary_is_told_apart() {
    let shed = Shed::kept();
    let folder = shed.path.parent().unwrap();
    let file = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    };
    assert!(matches!(
        Book::open(&folder.join("none.db")),
        Err(DiaryError::NoDiary { .. })
    ));
    let garbage = [b'x'; 5000];
    for path in [
        file("text.db", b"not a diary"),
        file("empty.db", b""),
        file("garbage.db", &garbage),
        folder.to_owned(),
    ] {
        let opened = Book::open(&path);
        assert!(
            matches!(opened, Err(DiaryError::NotADiary { .. })),
            "{path:?}"
        );
    }
    assert!(matches!(
        Book::create(&shed.path),
        Err(DiaryError::Exists { .. })
    ));
    shed.book
        .conn
        .pragma_update(None, "user_version", 2)
        .unwrap();
    assert!(matches!(
        Book::open(&shed.path),
        Err(DiaryError::TooNew { version: 2 })
    ));
}

#[test]
fn a_line_that_cannot_be_read_is_named_in_normal_use() {
    let shed = Shed::kept();
    shed.tamper(
        "UPDATE entries SET line = replace(line, 'A07', '??') WHERE n >= 5",
        [],
    );
    let error = shed.book.farm().unwrap_err();
    assert!(matches!(error, DiaryError::Damaged { entry: Some(5), .. }));
    assert!(
        error.to_string().starts_with("entry 5 is damaged: "),
        "{error}"
    );
}

#[test]
fn a_correction_may_name_a_word_that_was_forgotten() {
    let mut shed = Shed::kept();
    shed.book.forget(WhichWord::Text(BUYER)).unwrap();
    let forgotten = Word::Forgotten(4);
    let stamp = Stamp {
        written: written(),
        now: at("2026-05-02"),
        by: None,
    };
    let strike = Strike {
        entry: 10,
        why: Word::of("two packs").unwrap(),
    };
    let mut sale = sale("somebody");
    if let Event::Sale { to, .. } = &mut sale {
        to.buyer = Some(forgotten.clone());
    }
    let corrected: Recorded = shed.book.record(&mut pen(), |farm| {
        farm.correct(strike, draft("2026-04-26", sale), &stamp)
    });
    corrected.unwrap();
    let entries = shed.book.entries().unwrap();
    let buyer = |entry: &Entry| match &entry.event {
        Some(Event::Sale { to, .. }) => to.buyer.clone(),
        _ => None,
    };
    assert_eq!(buyer(&entries[9]), Some(forgotten.clone()));
    assert_eq!(buyer(&entries[11]), Some(forgotten));
    assert_eq!(shed.book.verify().unwrap().entries, 12);
}
