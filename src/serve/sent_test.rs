//! Tests of forms that are sent: each is recorded once, whatever breaks off and whenever.

use std::collections::BTreeMap;

use super::*;
use crate::diary::{Book, Pen, RecordError};
use crate::farm::{BinFacts, Draft, Event, Moment, Problem};
use crate::serve::random;

fn start() -> Timestamp {
    "2026-10-31T12:00:00Z".parse().unwrap()
}

fn day(days: i64) -> Timestamp {
    start() + SignedDuration::from_hours(24 * days)
}

/// A diary that only numbers what is written into it.
#[derive(Clone, Debug, Default)]
struct Paper(BTreeMap<EntryNumber, Timestamp>);

impl Paper {
    fn write(&mut self, written: Timestamp) -> Vec<EntryNumber> {
        // A form writes two entries, as a feeding of two beds does.
        let next = self.0.len() as EntryNumber + 1;
        self.0.extend([(next, written), (next + 1, written)]);
        vec![next, next + 1]
    }

    fn look(&self, written: Timestamp) -> Vec<EntryNumber> {
        let found = self.0.iter().filter(|(_, at)| **at == written);
        found.map(|(number, _)| *number).collect()
    }
}

/// Sends a form whose content is its key's.
fn send(sent: &Sent, paper: &mut Paper, key: &FormKey, now: Timestamp) -> Once {
    send_saying(sent, paper, key, &key.to_string(), now)
}

fn send_saying(sent: &Sent, paper: &mut Paper, key: &FormKey, says: &str, now: Timestamp) -> Once {
    let before = paper.clone();
    let look = |written| Ok::<_, PhonesError>(before.look(written));
    let record = |written| Ok(paper.write(written));
    sent.once(key, says, now, look, record).unwrap()
}

#[test]
fn a_form_is_recorded_once_and_told_again() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let (key, mut paper) = (FormKey::new(start()).unwrap(), Paper::default());
    let sent = Sent::open(&phones, start()).unwrap();
    assert_eq!(
        send(&sent, &mut paper, &key, start()),
        Once::Recorded(vec![1, 2])
    );
    assert_eq!(
        send(&sent, &mut paper, &key, day(1)),
        Once::RecordedBefore(vec![1, 2])
    );
    let sent = Sent::open(&phones, day(2)).unwrap();
    assert_eq!(
        send(&sent, &mut paper, &key, day(44)),
        Once::RecordedBefore(vec![1, 2])
    );
    assert_eq!(paper.0.len(), 2);
}

#[test]
fn a_form_with_the_key_of_another_is_not_recorded() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let (key, mut paper) = (FormKey::new(start()).unwrap(), Paper::default());
    let sent = Sent::open(&phones, start()).unwrap();
    send(&sent, &mut paper, &key, start());
    let other = send_saying(&sent, &mut paper, &key, "something else", start());
    assert_eq!(other, Once::OtherContent);
    assert_eq!(
        send(&sent, &mut paper, &key, start()),
        Once::RecordedBefore(vec![1, 2])
    );
    assert_eq!(paper.0.len(), 2);
}

#[test]
fn a_form_that_a_rule_refused_may_be_mended_and_sent_again() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let (key, mut paper) = (FormKey::new(start()).unwrap(), Paper::default());
    let sent = Sent::open(&phones, start()).unwrap();
    let busy = || PhonesError::InUse {
        path: "diary".into(),
    };
    let refused = sent.once(&key, "300 g", start(), |_| Ok(vec![]), |_| Err(busy()));
    assert!(refused.is_err());
    // Where the diary cannot be asked whether it was written, nothing is.
    let unknown = sent.once(
        &key,
        "200 g",
        start(),
        |_| Err(busy()),
        |_| unreachable!("it is not known"),
    );
    assert!(unknown.is_err());
    let mended = send_saying(&sent, &mut paper, &key, "200 g", start());
    assert_eq!(mended, Once::Recorded(vec![1, 2]));
}

#[test]
fn no_two_forms_bear_the_same_instant_even_where_the_clock_stands_or_goes_back() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let mut paper = Paper::default();
    for now in [start(), start(), day(-1), start()] {
        let sent = Sent::open(&phones, now).unwrap();
        for _ in 0..3 {
            let key = FormKey::new(now).unwrap();
            assert!(matches!(
                send(&sent, &mut paper, &key, now),
                Once::Recorded(_)
            ));
        }
    }
    let mut instants: Vec<Timestamp> = paper.0.values().copied().collect();
    instants.sort_unstable();
    instants.dedup();
    assert_eq!(instants.len(), 12);
}

#[test]
fn a_clock_that_was_a_year_ahead_once_does_not_date_what_is_recorded_after_it_was_put_right() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let mut paper = Paper::default();
    for now in [day(365), start(), start()] {
        let sent = Sent::open(&phones, now).unwrap();
        send(&sent, &mut paper, &FormKey::new(now).unwrap(), now);
    }
    let late = day(1);
    assert!(paper.0.values().skip(2).all(|written| *written < late));
}

#[cfg(target_os = "linux")]
#[test]
fn where_the_disk_is_full_nothing_is_recorded_and_the_form_can_come_again() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let (key, mut paper) = (FormKey::new(start()).unwrap(), Paper::default());
    let sent = Sent::open(&phones, start()).unwrap();
    sent.forms().journal.fill();
    let look = |_| Ok::<_, PhonesError>(Vec::new());
    let full = sent.once(&key, "300 g", start(), look, |_| {
        unreachable!("what cannot be noted is not recorded")
    });
    assert!(matches!(full, Err(PhonesError::Io { .. })), "{full:?}");
    drop(sent);
    let sent = Sent::open(&phones, day(1)).unwrap();
    let again = send(&sent, &mut paper, &key, day(1));
    assert_eq!(again, Once::Recorded(vec![1, 2]));
}

/// What the server does for a form, step by step: a line, the diary, a line. It may be killed after any byte.
#[test]
fn a_kill_at_any_byte_neither_loses_a_form_nor_records_it_twice() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let keys: Vec<FormKey> = (0..3).map(|_| FormKey::new(start()).unwrap()).collect();
    let (mut paper, sent) = (Paper::default(), Sent::open(&phones, start()).unwrap());
    for key in &keys {
        send(&sent, &mut paper, key, start());
    }
    let whole = phones.read(FILE).unwrap().unwrap();
    let (mut killed, mut told) = (0, 0);
    for cut in 0..=whole.len() {
        let lines = whole[..cut].iter().filter(|byte| **byte == b'\n').count();
        // Lines come in pairs; behind the first of a pair the diary may or may not have been written.
        let (begun, done) = (lines.div_ceil(2), lines / 2);
        for forms in done..=begun {
            phones.replace(FILE, &whole[..cut]).unwrap();
            let mut left = paper.clone();
            left.0.retain(|number, _| *number as usize <= 2 * forms);
            for _ in 0..2 {
                let sent = Sent::open(&phones, start()).unwrap();
                for key in &keys {
                    told += usize::from(matches!(
                        send(&sent, &mut left, key, start()),
                        Once::RecordedBefore(_)
                    ));
                }
                assert_eq!(
                    left.0.len(),
                    paper.0.len(),
                    "cut at {cut}, with {forms} written"
                );
            }
            killed += 1;
        }
    }
    assert!(killed > whole.len() && told > killed, "{killed} {told}");
}

#[test]
fn a_panic_while_it_is_written_leaves_it_to_the_diary() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let sent = Sent::open(&phones, start()).unwrap();
    let (key, mut paper) = (FormKey::new(start()).unwrap(), Paper::default());
    let says = key.to_string();
    let broken = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        let record = |written| -> Result<Vec<EntryNumber>, PhonesError> {
            paper.write(written);
            panic!("after it was written");
        };
        sent.once(&key, &says, start(), |_| Ok(vec![]), record)
    }));
    assert!(broken.is_err());
    assert_eq!(
        send(&sent, &mut paper, &key, start()),
        Once::RecordedBefore(vec![1, 2])
    );
}

#[test]
fn keys_are_dropped_when_no_phone_can_send_their_forms_any_more() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let (key, mut paper) = (FormKey::new(start()).unwrap(), Paper::default());
    send(
        &Sent::open(&phones, start()).unwrap(),
        &mut paper,
        &key,
        start(),
    );
    Sent::open(&phones, day(59)).unwrap();
    assert!(!phones.read(FILE).unwrap().unwrap().is_empty());
    Sent::open(&phones, day(60)).unwrap();
    assert!(phones.read(FILE).unwrap().unwrap().is_empty());
    assert!(
        key.is_too_old(day(60)),
        "by then the form is refused for its age"
    );
}

/// A diary in a file, written as the server writes it.
fn note_a_bin(book: &mut Book, written: Timestamp, by: &Word) -> Vec<EntryNumber> {
    let draft = Draft {
        when: Moment::minute_of(jiff::civil::date(2026, 10, 31).at(12, 0, 0, 0)),
        by: Some(by.clone()),
        note: None,
        event: Event::Bin {
            bin: "A07".parse().unwrap(),
            place: "R1/S1/P1".parse().unwrap(),
            facts: Box::new(BinFacts::default()),
        },
    };
    let written: Result<_, RecordError<Vec<Problem>>> = book.record(&mut Pen::new("UTC"), |farm| {
        farm.record(vec![draft], written)
    });
    let entries = written.unwrap();
    entries.entries().iter().map(|entry| entry.number).collect()
}

#[test]
fn the_diary_tells_by_the_instant_and_the_worker_what_was_written() {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let path = farm.path().join("diary.db");
    let mut book = Book::create(&path).unwrap();
    let by = Word::of("MV").unwrap();
    let other = Word::of("RB").unwrap();
    note_a_bin(&mut book, start(), &other);
    let key = FormKey::new(start()).unwrap();
    let content = random::digest(&[b"bin"]);
    let look = |written| -> Result<_, PhonesError> {
        let entries = Book::open(&path).unwrap().entries().unwrap();
        Ok(entries_written(&entries, written, &by))
    };
    let sent = Sent::open(&phones, start()).unwrap();
    // Killed right behind the diary: nobody is told, and the second line of the form is never written.
    let killed = sent.once(&key, &content, start(), look, |written| {
        note_a_bin(&mut book, written, &by);
        Err(PhonesError::InUse {
            path: "killed".into(),
        })
    });
    assert!(killed.is_err());
    drop(sent);
    let sent = Sent::open(&phones, start()).unwrap();
    let again = sent.once(&key, &content, day(1), look, |_| {
        unreachable!("it was written")
    });
    assert_eq!(again.unwrap(), Once::RecordedBefore(vec![2]));
    let entries = book.entries().unwrap();
    assert_eq!(entries.len(), 2);
    // Another's entry bears the same instant, as it might on a computer with a coarse clock.
    assert_eq!(entries[0].written, entries[1].written);
    assert_eq!(entries_written(&entries, start(), &by), [2]);
    assert_eq!(entries_written(&entries, start(), &other), [1]);
}
