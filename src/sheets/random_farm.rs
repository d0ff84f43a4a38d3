//! Random farms for the tests of this folder: rows, strikes and corrections, as far as the rules let them pass.

use proptest::prelude::*;
use proptest::sample::select;

use super::fixture::{Files, folder, import, moment, settings};
use super::known::Known;
use super::read::Reader;
use super::row::Row;
use super::write::row_of;
use crate::farm::{Draft, Farm, Noun, Stamp, Strike, Word};

/// Reads a row for a farm, if it is sound.
pub fn read(row: &Row, farm: &Farm) -> Option<Draft> {
    let settings = settings();
    let known = Known::of(farm);
    let reader = Reader::new(&settings, &known, moment("2026-02-01"));
    reader.read(row).ok()
}

/// What is done to a random farm: a row, a strike, or a correction.
#[derive(Clone, Debug)]
pub enum Step {
    Row(Noun, Vec<(&'static str, String)>),
    Strike(prop::sample::Index),
    Correct(prop::sample::Index, u32),
}

fn row_step() -> impl Strategy<Value = Step> {
    let numbers = (
        0_u32..10,
        0_u32..4,
        0_u32..3,
        0_u32..3,
        1_u32..60,
        0_u32..50,
    );
    (select(&ROWS[..]), numbers).prop_map(|(noun, (day, hour, bin, lot, much, mark))| {
        let day = format!("2026-03-{:02}", day + 1);
        let when = match hour {
            0 => day,
            _ => format!("{day}T1{hour}:00"),
        };
        Step::Row(noun, row_cells(noun, when, [bin, lot, much, mark]))
    })
}

/// Kinds of rows that move something, and those of complaints; the commoner more than once.
const ROWS: [Noun; 19] = [
    Noun::Delivery,
    Noun::Delivery,
    Noun::Bed,
    Noun::Bed,
    Noun::Bed,
    Noun::Feed,
    Noun::Feed,
    Noun::Split,
    Noun::Tip,
    Noun::Sieving,
    Noun::Sieving,
    Noun::Blend,
    Noun::Pack,
    Noun::Sale,
    Noun::Return,
    Noun::Count,
    Noun::Thrown,
    Noun::Complaint,
    Noun::Settlement,
];

fn row_cells(noun: Noun, when: String, numbers: [u32; 4]) -> Vec<(&'static str, String)> {
    let [bin, lot, much, mark] = numbers;
    let (a, b) = (format!("A0{bin}"), format!("A0{}", (bin + much) % 3));
    let (d, h) = (format!("d-{lot}"), format!("h-{lot}"));
    let mut cells = match noun {
        Noun::Delivery => vec![
            ("kind", "bedding".into()),
            ("name", "straw".into()),
            ("supplier", "a farm".into()),
            ("amount", "40kg".into()),
            ("ref", d),
        ],
        Noun::Bed => vec![("bin", a), ("takes", format!("{d} {much}kg"))],
        Noun::Feed => vec![("bin", a), ("takes", format!("{d} {much}g"))],
        Noun::Split => vec![
            ("bin", a),
            ("share", format!("1 of {}", much + 1)),
            ("to_bin", b),
        ],
        Noun::Tip => vec![("bin", a), ("to_bin", b)],
        Noun::Sieving => {
            let clears = if much % 2 == 0 { "all" } else { "" };
            let both = if a == b { a } else { format!("{a}; {b}") };
            vec![
                ("kind", "castings".into()),
                ("from", both),
                ("amount", format!("{much}kg")),
                ("clears", clears.into()),
                ("ref", h),
            ]
        }
        Noun::Blend => vec![
            ("kind", "feed".into()),
            ("from", format!("{d} {much}kg; {h} ~1kg")),
            ("ref", format!("h-{}", mark % 6)),
        ],
        Noun::Pack => vec![
            ("product", "bag20".into()),
            ("count", much.to_string()),
            ("from", format!("{h} {much}kg")),
            ("ref", format!("r-{lot}")),
        ],
        Noun::Sale => vec![
            (
                "packs",
                format!("r-{lot} #1-{}; r-{bin} x{bin}", much % 9 + 1),
            ),
            ("market", "Quay market".into()),
        ],
        Noun::Return => vec![
            ("packs", format!("r-{lot} #{}", much % 9 + 1)),
            ("state", "unsold".into()),
        ],
        Noun::Complaint => {
            let name = if much % 3 == 0 {
                format!("call-{}", mark % 4 + 1)
            } else {
                String::new()
            };
            vec![
                ("sign", "leaves curled".into()),
                ("pack", format!("r-{lot} #{}", much % 9 + 1)),
                ("complaint", name),
            ]
        }
        Noun::Settlement => vec![
            ("complaint", format!("call-{}", mark % 4 + 1)),
            ("why", "only damp".into()),
        ],
        Noun::Count => vec![
            ("lot", d),
            ("found", format!("{much}kg")),
            ("why", "mice".into()),
        ],
        _ => vec![
            (
                "what",
                if much % 5 == 0 {
                    a
                } else {
                    format!("{d} {much}g")
                },
            ),
            ("why", "old".into()),
        ],
    };
    cells.push(("when", when));
    cells
}

/// A row mostly, a strike or a correction now and then.
pub fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        18 => row_step(),
        1 => any::<prop::sample::Index>().prop_map(Step::Strike),
        2 => (any::<prop::sample::Index>(), 1_u32..60).prop_map(|(at, much)| Step::Correct(at, much)),
    ]
}

/// What a random farm starts with.
fn stocked() -> Files {
    let delivery = |n| format!("2026-02-28,bedding,straw,a farm,40kg,d-{n}\n");
    let deliveries: String = (0..3).map(delivery).collect();
    let deliveries = format!("when,kind,name,supplier,amount,ref\n{deliveries}");
    let blends = "when,kind,from,ref\n2026-02-28,castings,d-0 20kg; d-1 ?,h-0\n2026-02-28,feed,d-2 9kg,h-1\n";
    folder(&[
        ("deliveries.csv", &deliveries),
        ("blends.csv", blends),
        (
            "beds.csv",
            "when,bin,takes\n2026-02-28,A00,d-0 2kg\n2026-02-28,A01,d-1 2kg\n",
        ),
        (
            "packs.csv",
            "when,product,count,from,ref\n2026-02-28,bag20,20,h-0 10kg,r-0\n",
        ),
    ])
}

/// Does what may be done, and passes over what the rules refuse.
pub fn farm_of(steps: &[Step]) -> Farm {
    let stamp = Stamp {
        written: jiff::Timestamp::UNIX_EPOCH,
        now: moment("2026-03-20"),
        by: None,
    };
    let strike = |farm: &Farm, at: &prop::sample::Index| {
        let entry = u32::try_from(at.index(farm.entries().len().max(1)) + 1).expect("few");
        let why = Word::of("a slip").expect("a word");
        Strike { entry, why }
    };
    let mut farm = import(&stocked(), &Farm::default()).expect("sound sheets");
    for (step, minute) in steps.iter().zip(0..) {
        let done = match step {
            Step::Row(noun, cells) => {
                let mut row = Row::new(*noun);
                for (column, text) in cells {
                    row.set(column, text.clone()).expect("the column is there");
                }
                // Of rows of one moment that stand in two sheets of the day's rest, sheets cannot tell the first.
                if noun.rank() == Noun::Count.rank() {
                    let minute = format!("{}T20:{minute:02}", &row.cell("when")[..10]);
                    row.set("when", minute).expect("every sheet has it");
                }
                read(&row, &farm).and_then(|draft| farm.record(vec![draft], stamp.written).ok())
            }
            Step::Strike(at) => farm.strike(strike(&farm, at), &stamp).ok(),
            Step::Correct(at, much) => {
                let strike = strike(&farm, at);
                let row = farm
                    .entry(strike.entry)
                    .and_then(|entry| row_of(&farm, entry));
                let changed = row.and_then(|mut row| {
                    let amount = if row.noun() == Noun::Count {
                        "found"
                    } else {
                        "amount"
                    };
                    row.set(amount, format!("{much}kg")).ok()?;
                    read(&row, &farm)
                });
                changed.and_then(|draft| farm.correct(strike, draft, &stamp).ok())
            }
        };
        farm = done.map_or(farm, |recording| recording.farm);
    }
    farm
}
