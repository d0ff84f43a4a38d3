//! The entries whose stored lines are pinned: one of each kind, and of each form that a kind can take.

use jiff::civil::date;

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

pub(super) fn bin(text: &str) -> BinCode {
    text.parse().unwrap()
}

fn word(text: &str) -> Word {
    Word::of(text).unwrap()
}

fn grams(value: u64) -> Amount {
    Amount::Weighed(Quantity::new(value, Unit::Grams))
}

pub(super) fn draw(code: &str, amount: Amount) -> Draw<Meant> {
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

pub(super) const GOODS: &str = "G26061-01-F";
const BED: &str = "B26061-01-B";
const BED_2: &str = "B26090-03-4";
const BATCH: &str = "H26115-02-W";
const RUN: &str = "P26115-07-S";

/// One entry of each kind, and of each form that a kind can take, without what stands around it.
pub(super) fn events() -> Vec<Event<Meant>> {
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
                best_by_month_end: false,
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
                name: None,
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

/// A complaint with a name, and its settling: kinds of lines that came later.
fn complaint_events() -> Vec<Event<Meant>> {
    let name: Mark = "call-1".parse().unwrap();
    vec![
        Event::Complaint {
            pack: None,
            facts: Box::new(ComplaintFacts {
                name: Some(name.clone()),
                sign: word("sour smell"),
                heard: None,
                product: None,
                bought_at: None,
                bought_about: None,
                contact: None,
            }),
        },
        Event::Settlement {
            complaint: name,
            why: word("aired and dried"),
        },
    ]
}

/// All of them as entries, after them a strike and a correction, and then what came later.
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
    let later = (next + 2..).zip(complaint_events());
    entries.extend(later.map(|(number, event)| plain(number, Some(event))));
    entries
}
