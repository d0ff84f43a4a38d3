//! A small farm with odd names for the tests of pages, built through the farm's own rules.

use crate::farm::{
    BatchKind, Clears, DeliveryKind, Draft, Event, Farm, LotId, PackKind, QrForm, Settings,
};

use super::makings::{at, bed, delivery, draft, feed, more, pack, sale, sieving, test};

/// Words that name somebody, or are a grower's own: none may stand on a page.
pub const PRIVATE: &[&str] = &[
    "Zebedee",
    "Quill",
    "Wilhelmina",
    "Ottoline",
    "Peregrine",
    "Humphrey",
    "Lavinia",
    "Cuthbert",
    "Thackeray",
    "Barnaby",
    "mark-of-",
    "tuppence",
    "960777",
    "heap-of-secrets",
    "KEPT-7",
];

pub const SEAL: &str = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";

pub fn settings(form: QrForm) -> Settings {
    Settings {
        address: vec!["1 \"Quay\" Lane".into()],
        phone: Some("01632 960123".into()),
        form,
        base: Some("https://lots.marlhythe.example".into()),
        ..Settings::of("Worms & <Sons>", "GB", jiff::tz::TimeZone::UTC)
    }
}

/// Two beds fed with manure, sieved; a run of bags, a run of tubs, and worms bedded up again.
pub fn farm() -> Farm {
    more(&Farm::default(), drafts())
}

/// What is recorded of them.
pub fn drafts() -> Vec<Draft> {
    let place = |text: &str| text.parse().expect("a place of the tests is well formed");
    let bin = |code: &str, at: &str| Event::Bin {
        bin: code.parse().expect("a bin of the tests is well formed"),
        place: place(at),
        facts: Box::default(),
    };
    let events = vec![
        (1, 8, bin("A01", "R1/S1/P1")),
        (1, 8, bin("A02", "R1/S1/P2")),
        (1, 8, bin("A03", "R2/S1/P1")),
        (
            1,
            9,
            delivery(DeliveryKind::Manure, "40kg", "mark-of-manure"),
        ),
        (
            1,
            9,
            delivery(DeliveryKind::Bedding, "30kg", "mark-of-straw"),
        ),
        (1, 9, delivery(DeliveryKind::Worms, "3kg", "mark-of-worms")),
        (1, 9, delivery(DeliveryKind::Packing, "200", "mark-of-bags")),
        (
            1,
            9,
            delivery(DeliveryKind::Packing, "20kg", "mark-of-coir"),
        ),
        (
            1,
            9,
            delivery(DeliveryKind::Feedstock, "20kg", "mark-of-greens"),
        ),
        (
            2,
            9,
            bed(
                "A01",
                "mark-of-straw 4kg; mark-of-worms 1kg",
                "mark-of-bed-1",
            ),
        ),
        (
            2,
            9,
            bed(
                "A02",
                "mark-of-straw 4kg; mark-of-worms 1kg",
                "mark-of-bed-2",
            ),
        ),
        (
            3,
            9,
            feed("mark-of-bed-1", "mark-of-manure 3kg; mark-of-greens 1kg"),
        ),
        (4, 9, feed("mark-of-bed-2", "mark-of-greens 4kg")),
        (
            20,
            9,
            sieving(
                BatchKind::Castings,
                &[("mark-of-bed-1", "4kg")],
                Clears::All,
                "mark-of-cast",
            ),
        ),
        (
            20,
            9,
            sieving(
                BatchKind::Worms,
                &[("mark-of-bed-2", "900g")],
                Clears::Named(Vec::new()),
                "mark-of-sw",
            ),
        ),
        (20, 12, test("mark-of-cast")),
        (
            21,
            9,
            pack(
                PackKind::Bag,
                12,
                "mark-of-cast 3kg; mark-of-bags 12",
                "mark-of-run",
            ),
        ),
        (
            21,
            10,
            pack(
                PackKind::Tub,
                3,
                "mark-of-sw 300g; mark-of-coir 1kg",
                "mark-of-tubs",
            ),
        ),
        (
            21,
            11,
            bed("A03", "mark-of-straw 4kg; mark-of-sw 500g", "mark-of-bed-3"),
        ),
        (22, 9, sale("mark-of-run", (1, 4))),
    ];
    let drafts = events
        .into_iter()
        .map(|(day, hour, event)| draft(at(day, hour), event));
    drafts.collect()
}

pub fn lot(farm: &Farm, mark: &str) -> LotId {
    let mark = mark.parse().expect("a mark of the tests is well formed");
    farm.marked(&mark).expect("the farm of the tests has it")
}
