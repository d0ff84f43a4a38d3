//! A small farm for the tests of this folder.

use std::path::PathBuf;

use super::book::Book;
use super::error::RecordError;
use super::ink::Pen;
use crate::farm::*;

/// The buyer's word that is forgotten in tests; it stands nowhere else.
pub(super) const BUYER: &str = "Mrs Ottoline Quaverly, 3 Invented Row";

/// A folder with a diary in it.
pub(super) struct Shed {
    // Kept, because the folder goes when it is dropped.
    _folder: tempfile::TempDir,
    pub path: PathBuf,
    pub book: Book,
}

impl Shed {
    /// Makes a folder with an empty diary.
    pub fn empty() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("diary.db");
        let book = Book::create(&path).unwrap();
        Self {
            _folder: folder,
            path,
            book,
        }
    }

    /// Makes a folder with a diary of one entry of nine kinds, and a strike.
    pub fn kept() -> Self {
        let mut shed = Self::empty();
        record(&mut shed.book, drafts());
        let strike = Strike {
            entry: 6,
            why: Word::of("wrong bucket").unwrap(),
        };
        let stamp = Stamp {
            written: written(),
            now: at("2026-05-01T08:00"),
            by: Word::of("MH"),
        };
        shed.book
            .record(&mut pen(), |farm| farm.strike(strike, &stamp))
            .unwrap();
        shed
    }

    /// Opens the same file a second time.
    pub fn again(&self) -> Book {
        Book::open(&self.path).unwrap()
    }

    /// Does what the triggers forbid, as one who knows SQLite might, and puts them back.
    pub fn tamper(&self, sql: &str, values: impl rusqlite::Params) {
        let conn = rusqlite::Connection::open(&self.path).unwrap();
        let mut triggers = conn
            .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
            .unwrap();
        let triggers: Vec<(String, String)> = triggers
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        let tx = conn.unchecked_transaction().unwrap();
        for (name, _) in &triggers {
            tx.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
        }
        tx.execute(sql, values).unwrap();
        for (_, sql) in &triggers {
            tx.execute_batch(sql).unwrap();
        }
        tx.commit().unwrap();
    }
}

/// Returns a pen whose salts count up from the first word.
pub(super) fn pen() -> Pen {
    let mut count = 0_u128;
    Pen::with_salts("Europe/London", move || {
        count += 1;
        // Spread over all bytes, so that a salt is not found among zeros.
        (count * 0x9e37_79b9_7f4a_7c15)
            .to_be_bytes()
            .map(|b| b ^ 0xa5)
    })
}

/// Records drafts, all of which the farm must take.
pub(super) fn record(book: &mut Book, drafts: Vec<Draft>) -> Recording {
    let recorded: Result<Recording, RecordError<Vec<Problem>>> =
        book.record(&mut pen(), |farm| farm.record(drafts, written()));
    recorded.unwrap()
}

pub(super) fn written() -> jiff::Timestamp {
    "2026-05-01T07:00:00Z".parse().unwrap()
}

pub(super) fn at(text: &str) -> Moment {
    Moment::read(text, DateOrder::YearMonthDay, &jiff::tz::TimeZone::UTC).unwrap()
}

pub(super) fn draft(when: &str, event: Event<Typed>) -> Draft {
    Draft {
        when: at(when),
        by: Word::of("MH"),
        note: None,
        event,
    }
}

pub(super) fn a07() -> BedName<LotName> {
    BedName::Bin("A07".parse().unwrap())
}

pub(super) fn mark(text: &str) -> LotName {
    LotName::Mark(text.parse().unwrap())
}

fn new(mark: &str) -> NewLot<Typed> {
    NewLot {
        code: None,
        mark: Some(mark.parse().unwrap()),
    }
}

fn kilos(kilos: u64) -> Amount {
    Amount::Weighed(Quantity::new(kilos * 1000, Unit::Grams))
}

fn draw(lot: &str, amount: Amount) -> Draw<Typed> {
    Draw {
        lot: mark(lot),
        packs: None,
        amount,
    }
}

/// Returns a feed of bin A07.
pub(super) fn feed(when: &str) -> Draft {
    let takes = vec![draw("manure-3", kilos(1))];
    draft(when, Event::Feed { bed: a07(), takes })
}

fn delivery(mark: &str, kind: DeliveryKind) -> Event<Typed> {
    Event::Delivery {
        lot: new(mark),
        amount: kilos(200),
        facts: Box::new(DeliveryFacts {
            kind,
            name: mark.into(),
            supplier: Word::of("a livery yard upriver").unwrap(),
            supplier_lot: None,
            species: None,
            animal: None,
            origin: None,
            age_days: Some(40),
            heat_treated: None,
            hay_from: None,
            hay_sprayed: None,
            wormer: None,
            wormed_on: None,
            said_by: None,
            said_on: None,
            kept_sample: None,
            certificate: None,
        }),
    }
}

/// Returns nine rows: a bin, goods in, a bed, a feed, a wrong feed, a skip, a sieving, a run and a sale.
pub(super) fn drafts() -> Vec<Draft> {
    let bin = || "A07".parse().unwrap();
    let facts = Box::default();
    let place = "R1/S1/P1".parse().unwrap();
    vec![
        draft(
            "2026-03-01",
            Event::Bin {
                bin: bin(),
                place,
                facts,
            },
        ),
        draft("2026-03-01", delivery("worms-1", DeliveryKind::Worms)),
        draft("2026-03-02", delivery("manure-3", DeliveryKind::Manure)),
        draft(
            "2026-03-02T09:00",
            Event::Bed {
                lot: new("bed-1"),
                bin: bin(),
                takes: vec![draw("worms-1", kilos(1)), draw("manure-3", kilos(5))],
                species: None,
            },
        ),
        feed("2026-03-10T09:00"),
        feed("2026-03-10T09:01"),
        draft(
            "2026-03-12",
            Event::Skip {
                bed: a07(),
                why: Word::of("food left").unwrap(),
            },
        ),
        draft(
            "2026-04-20T14:00",
            Event::Sieving {
                lot: new("cast-1"),
                kind: BatchKind::Castings,
                from: vec![Sieved {
                    bed: a07(),
                    amount: Some(kilos(4)),
                }],
                whole: None,
                clears: Clears::All,
            },
        ),
        pack(),
        draft("2026-04-26", sale(BUYER)),
    ]
}

fn pack() -> Draft {
    draft(
        "2026-04-25T10:00",
        Event::Pack {
            lot: new("run-1"),
            product: Box::new(Product {
                key: "bag1".into(),
                name: "Castings".into(),
                kind: PackKind::Bag,
                net: Quantity::new(1000, Unit::Millilitres),
                gtin: None,
                best_by_days: None,
                best_by_month_end: false,
            }),
            count: 4,
            from: vec![draw("cast-1", kilos(3))],
            best_by: None,
            despite: None,
        },
    )
}

/// Returns the sale of one pack.
pub(super) fn sale(buyer: &str) -> Event<Typed> {
    Event::Sale {
        packs: vec![PackPick {
            run: mark("run-1"),
            which: Which::Unnumbered(1),
        }],
        to: Box::new(SaleTo {
            buyer: Word::of(buyer),
            ..SaleTo::default()
        }),
        despite: None,
    }
}
