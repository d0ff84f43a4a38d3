//! Example words for each built-in template, from an invented farm.

use super::field::{Content, Field};
use super::said::Said;
use super::words_of_packs::say_advice;
use crate::farm::{PackKind, Wording};

/// The words of one label of a template; all fields that it may have.
pub fn content(template: &str) -> Content {
    let fields: &[(Field, &str)] = match template {
        "bag-front" | "bag-back" | "bag-small" => &BAG,
        "tub" | "tub-lid" => &TUB,
        "bottle" => &BOTTLE,
        "bin" => &BIN,
        "rack" => &[(Field::Rack, "R1"), (Field::Place, "Bins A01 to A12"), FARM],
        "delivery" => &DELIVERY,
        "batch" => &BATCH,
        _ => &HOLD,
    };
    let named = |field| fields.iter().find(|(known, _)| *known == field);
    let name = [Field::Code, Field::Lot, Field::Bin, Field::Rack]
        .into_iter()
        .find_map(named);
    let mut content = Content {
        name: name.map_or(template, |(_, name)| name).to_owned(),
        fields: fields
            .iter()
            .map(|&(field, text)| (field, text.to_owned()))
            .collect(),
        blanks: Said::default(),
        qr: Some(qr(template).to_owned()),
        gtin: "09520123456788".parse().ok(),
    };
    let own = |content: &mut Content, kind| say_advice(content, kind, "GB", &Wording::default());
    match template {
        "bag-front" | "bag-back" | "bag-small" => own(&mut content, PackKind::Bag),
        "tub" | "tub-lid" => own(&mut content, PackKind::Tub),
        "bottle" => own(&mut content, PackKind::Bottle),
        _ => {}
    }
    content
}

fn qr(template: &str) -> &'static str {
    match template {
        "bin" => "HTTP://192.168.1.20:8080/BIN/A07",
        "rack" => "HTTP://192.168.1.20:8080/RACK/R1",
        "bag-front" | "bag-back" | "bag-small" => {
            "P26115-07-S/0012 Worm-worked compost 20 L, packed 2026-04-25, Marlhythe Wormery \
             01632 960123"
        }
        _ => "HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S?0012",
    }
}

const FARM: (Field, &str) = (Field::Farm, "Marlhythe Wormery");
const ADDRESS: (Field, &str) = (Field::Address, "The Old Drying Shed, Quay Lane, Marlhythe");
const PHONE: (Field, &str) = (Field::Phone, "01632 960123");
const LOT: (Field, &str) = (Field::Lot, "P26115-07-S");
const CODE: (Field, &str) = (Field::Code, "P26115-07-S/0012");
const SERIAL: (Field, &str) = (Field::Serial, "0012");
const PACKED: (Field, &str) = (Field::Packed, "2026-04-25");

const BAG: [(Field, &str); 11] = [
    FARM,
    ADDRESS,
    PHONE,
    LOT,
    CODE,
    SERIAL,
    PACKED,
    (Field::Product, "Worm-worked compost"),
    (Field::Statement, "SOIL IMPROVER"),
    (Field::Net, "20 L"),
    (
        Field::MadeFrom,
        "Horse manure on straw, 61\u{A0}%; leaf mould, 22\u{A0}%; coffee grounds, 12\u{A0}%; \
         shredded cardboard, 5\u{A0}%. By weight as recorded.",
    ),
];

const TUB: [(Field, &str); 13] = [
    FARM,
    ADDRESS,
    PHONE,
    LOT,
    CODE,
    SERIAL,
    PACKED,
    (Field::BestBy, "2026-05-09"),
    (Field::Product, "Bait worms"),
    (Field::Statement, "LIVE WORMS"),
    (Field::Species, "Dendrobaena worms"),
    (Field::Latin, "Dendrobaena veneta"),
    (Field::Count, "50 worms"),
];

const BOTTLE: [(Field, &str); 11] = [
    FARM,
    ADDRESS,
    PHONE,
    LOT,
    CODE,
    SERIAL,
    PACKED,
    (Field::BestBy, "2026-04-26"),
    (Field::Product, "Castings extract"),
    (Field::Statement, "SOIL IMPROVER"),
    (Field::Net, "1 L"),
];

const BIN: [(Field, &str); 5] = [
    FARM,
    (Field::Bin, "A07"),
    (Field::Place, "R1/S2/P3"),
    (Field::Bedded, "2026-03-02"),
    (Field::Species, "Eisenia fetida"),
];

const DELIVERY: [(Field, &str); 16] = [
    FARM,
    (Field::Lot, "G26061-01-F"),
    (Field::Ref, "manure-3"),
    (Field::Kind, "Manure"),
    (Field::Name, "Horse manure on straw"),
    (Field::Received, "2026-03-02"),
    (Field::Amount, "480 kg"),
    (Field::Animal, "Horse, on straw"),
    (Field::HayFrom, "The meadow behind the weir"),
    (Field::HaySprayed, "said no"),
    (Field::Wormer, "Ivermectin, 2026-01-14"),
    (Field::Age, "21 days"),
    (Field::Heated, "not known"),
    (Field::Said, "the yard's groom, 2026-03-02"),
    (Field::Sample, "Jar 3, shelf by the door"),
    (Field::Hold, "ON HOLD since 2026-06-18"),
];

const BATCH: [(Field, &str); 8] = [
    FARM,
    (Field::Lot, "H26115-02-W"),
    (Field::Ref, "cast-9"),
    (Field::Kind, "Castings"),
    (Field::Made, "2026-04-25"),
    (Field::Amount, "10.4 kg"),
    (Field::From, "A01, A02, A03, A04, A05"),
    (Field::Hold, "ON HOLD since 2026-06-18"),
];

const HOLD: [(Field, &str); 6] = [
    FARM,
    (Field::Lot, "G26061-01-F"),
    (Field::Ref, "manure-3"),
    (Field::HoldOn, "Delivery: horse manure on straw"),
    (Field::HoldSince, "2026-06-18"),
    (
        Field::HoldReason,
        "Two buyers report curled leaves; bean test under way.",
    ),
];
