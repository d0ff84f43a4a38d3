//! Events of the tests' farms, each by the few words in which they differ.

use jiff::civil::{DateTime, date};

use crate::farm::{
    Amount, BatchKind, BedName, Clears, DeliveryFacts, DeliveryKind, Draft, Draw, Event, Farm,
    HoldStep, LotName, Measures, Moment, NewLot, PackKind, PackPick, Product, Quantity, Reach,
    RecallStep, SaleTo, SerialRange, Sieved, TestFacts, Typed, Unit, Which, Word,
};

/// Returns a time of day in March 2026.
pub fn at(day: i8, hour: i8) -> Moment {
    Moment::minute_of(DateTime::from_parts(
        date(2026, 3, day),
        jiff::civil::time(hour, 0, 0, 0),
    ))
}

pub fn said(text: &str) -> Word {
    Word::of(text).expect("a word of the tests is not empty")
}

/// Writes an event down, by a worker and with a remark that no page may show.
pub fn draft(when: Moment, event: Event<Typed>) -> Draft {
    Draft {
        when,
        by: Some(said("Humphrey")),
        note: Some(said("Lavinia looked on")),
        event,
    }
}

pub fn named(mark: &str) -> LotName {
    LotName::Mark(mark.parse().expect("a mark of the tests is well formed"))
}

fn made(mark: &str) -> NewLot<Typed> {
    NewLot {
        code: None,
        mark: Some(mark.parse().expect("a mark of the tests is well formed")),
    }
}

fn amount(text: &str) -> Amount {
    Amount::read(text, &Measures::new()).expect("an amount of the tests is well formed")
}

fn draws(takes: &str) -> Vec<Draw<Typed>> {
    let draw = |text: &str| {
        let (lot, much) = text.trim().split_once(' ').expect("a lot and an amount");
        Draw {
            lot: named(lot),
            packs: None,
            amount: amount(much),
        }
    };
    takes.split(';').map(draw).collect()
}

pub fn delivery(kind: DeliveryKind, much: &str, mark: &str) -> Event<Typed> {
    let mut facts = DeliveryFacts::of(
        kind,
        "Wilhelmina's <script>alert(1)</script>",
        "Zebedee Quill",
    );
    facts.species = (kind == DeliveryKind::Worms).then(|| "Eisenia <b>fetida</b>".into());
    facts.animal = (kind == DeliveryKind::Manure).then(|| "horse & donkey".into());
    facts.origin = Some("Quill's yard".into());
    facts.hay_from = Some("Cuthbert".into());
    facts.said_by = Some(said("Ottoline"));
    facts.kept_sample = Some("KEPT-7".into());
    Event::Delivery {
        lot: made(mark),
        amount: amount(much),
        facts: Box::new(facts),
    }
}

pub fn bed(bin: &str, takes: &str, mark: &str) -> Event<Typed> {
    Event::Bed {
        lot: made(mark),
        bin: bin.parse().expect("a bin of the tests is well formed"),
        takes: draws(takes),
        species: Some("Eisenia <b>fetida</b>".into()),
    }
}

pub fn feed(bed: &str, takes: &str) -> Event<Typed> {
    Event::Feed {
        bed: BedName::Bed(named(bed)),
        takes: draws(takes),
    }
}

pub fn sieving(
    kind: BatchKind,
    beds: &[(&str, &str)],
    clears: Clears<Typed>,
    mark: &str,
) -> Event<Typed> {
    let sieved = |(bed, much): &(&str, &str)| Sieved {
        bed: BedName::Bed(named(bed)),
        amount: Some(amount(much)),
    };
    Event::Sieving {
        lot: made(mark),
        kind,
        from: beds.iter().map(sieved).collect(),
        whole: None,
        clears,
    }
}

pub fn pack(kind: PackKind, count: u32, from: &str, mark: &str) -> Event<Typed> {
    let (net, gtin) = match kind {
        PackKind::Bag => (Quantity::new(5000, Unit::Millilitres), "09520123456788"),
        PackKind::Tub => (Quantity::new(50, Unit::Pieces), "09520123456795"),
        PackKind::Bottle => (Quantity::new(500, Unit::Millilitres), "09520123456801"),
    };
    Event::Pack {
        lot: made(mark),
        product: Box::new(Product {
            key: "p".into(),
            name: "Compost & <Co>".into(),
            kind,
            net,
            gtin: gtin.parse().ok(),
            best_by_days: Some(365),
            best_by_month_end: false,
        }),
        count,
        from: draws(from),
        best_by: None,
        despite: None,
    }
}

pub fn test(lot: &str) -> Event<Typed> {
    Event::Test {
        lot: named(lot),
        facts: Box::new(TestFacts {
            test: "cress <i>test</i>".into(),
            value: "31".into(),
            unit: Some("seedlings".into()),
            method: Some("by Thackeray".into()),
            lab: Some("Barnaby & Co".into()),
            result: Some("pass".into()),
        }),
    }
}

pub fn sale(run: &str, serials: (u32, u32)) -> Event<Typed> {
    Event::Sale {
        packs: vec![pick(run, serials)],
        to: Box::new(SaleTo {
            buyer: Some(said("Peregrine Quill")),
            market: None,
            contact: Some(said("01632 960777")),
            document: Some("tuppence-1".into()),
        }),
        despite: None,
    }
}

fn pick(run: &str, (first, last): (u32, u32)) -> PackPick<Typed> {
    let serial = |number| crate::farm::Serial::new(number).expect("serials count from 1");
    let range = SerialRange::new(serial(first), serial(last)).expect("first before last");
    PackPick {
        run: named(run),
        which: Which::Serials(range),
    }
}

pub fn hold(lot: &str, step: HoldStep) -> Event<Typed> {
    Event::Hold {
        lot: named(lot),
        step,
        reason: said("heap-of-secrets: Peregrine rang"),
    }
}

pub const PARTS: HoldStep = HoldStep::Hold(Reach::Parts);

pub fn recall(step: RecallStep, lot: &str, packs: Option<(u32, u32)>) -> Event<Typed> {
    Event::Recall {
        recall: "recall-1".into(),
        step,
        lots: vec![named(lot)],
        packs: packs
            .map(|serials| pick(lot, serials))
            .into_iter()
            .collect(),
        buyer: None,
        why: Some(said("heap-of-secrets")),
    }
}

/// Records more on top of a farm.
pub fn more(farm: &Farm, drafts: Vec<Draft>) -> Farm {
    let written = "2026-04-01T10:00:00Z".parse().expect("an instant");
    match farm.record(drafts, written) {
        Ok(recording) => recording.farm,
        Err(problems) => panic!("the tests' farm is refused: {problems:?}"),
    }
}
