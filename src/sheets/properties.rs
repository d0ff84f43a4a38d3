//! What holds of every sheet, whatever is in it: nothing panics, and what goes out comes in again the same.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use super::column::columns;
use super::export::{export, file, file_name, tests::sum_of};
use super::fixture::{Files, folder, import, moment, settings};
use super::known::Known;
use super::read::{Reader, tests::FULL};
use super::row::Row;
use super::table::Table;
use super::write::row_of_draft;
use crate::farm::{Draft, Farm, Noun, Stamp, Strike, Word};

/// Scraps that cells are made of, and some that they should not be.
const SCRAPS: [&str; 38] = [
    "A01",
    "a01",
    "mix-1",
    "run-7",
    "#",
    "/",
    "-",
    "1",
    "12",
    "x3",
    "all",
    "kg",
    "g",
    "L",
    " ",
    "; ",
    ";",
    ":",
    "~",
    "?",
    ".",
    ",",
    "P26115-07-S",
    "p26115 07 s",
    "é",
    "\"",
    "\n",
    "\r\n",
    "2026-02-02",
    "T10:00",
    "%",
    " of ",
    "0",
    "999999999999",
    "HTTPS://LOTS.MARLHYTHE.EXAMPLE/",
    "forgotten-1",
    "\u{FEFF}",
    "–",
];

fn scrap_text() -> impl Strategy<Value = String> {
    vec(select(&SCRAPS[..]), 0..6).prop_map(|scraps| scraps.concat())
}

/// Header and rows of a sheet, some cells sound and some of scraps, or any bytes at all.
fn sheet_bytes() -> impl Strategy<Value = (Noun, Vec<u8>)> {
    let bytes = vec(any::<u8>(), 0..200);
    let text = vec(select(&SCRAPS[..]), 0..40).prop_map(|scraps| scraps.concat().into_bytes());
    let noun = select(&Noun::ALL[..]);
    (noun, any::<bool>(), prop_oneof![bytes, text]).prop_map(|(noun, headed, body)| {
        let names: Vec<&str> = columns(noun).iter().map(|column| column.name).collect();
        let head = if headed {
            names.join(",") + "\n"
        } else {
            String::new()
        };
        (noun, [head.into_bytes(), body].concat())
    })
}

/// A sound row with some of its cells put wrong.
fn bent_row() -> impl Strategy<Value = Row<'static>> {
    let bends = vec((any::<prop::sample::Index>(), scrap_text()), 0..3);
    (select(&FULL[..]), bends).prop_map(|((noun, cells), bends)| {
        let mut cells: Vec<String> = cells.iter().map(|cell| (*cell).to_owned()).collect();
        for (at, text) in bends {
            let at = at.index(cells.len());
            cells[at] = text;
        }
        Row::of(noun, cells.into_iter().map(Into::into).collect())
    })
}

fn read(row: &Row, farm: &Farm) -> Option<Draft> {
    let settings = settings();
    let known = Known::of(farm);
    let reader = Reader::new(&settings, &known, moment("2026-02-01"));
    reader.read(row).ok()
}

/// What is done to a random farm: a row, a strike, or a correction.
#[derive(Clone, Debug)]
enum Step {
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
        // The rest of a day's rows have no order among sheets unless they are timed.
        let when = match (noun, hour) {
            (Noun::Return | Noun::Count | Noun::Thrown, _) => format!("{day}T20:{mark:02}"),
            (_, 0) => day,
            _ => format!("{day}T1{hour}:00"),
        };
        Step::Row(noun, row_cells(noun, when, [bin, lot, much, mark]))
    })
}

/// Kinds of rows that move something, the commoner more than once.
const ROWS: [Noun; 17] = [
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

fn step() -> impl Strategy<Value = Step> {
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
fn farm_of(steps: &[Step]) -> Farm {
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
    for step in steps {
        let done = match step {
            Step::Row(noun, cells) => {
                let mut row = Row::new(*noun);
                for (column, text) in cells {
                    row.set(column, text.clone()).expect("the column is there");
                }
                read(&row, &farm).and_then(|draft| farm.record(vec![draft], stamp.written).ok())
            }
            Step::Strike(at) => farm.strike(strike(&farm, at), &stamp).ok(),
            Step::Correct(at, much) => {
                let strike = strike(&farm, at);
                let row = farm.entry(strike.entry).and_then(super::write::row_of);
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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn no_bytes_of_any_sheet_panic((noun, bytes) in sheet_bytes()) {
        let files = [(file_name(noun), bytes)].into();
        let farm = import(&files, &Farm::default());
        prop_assert!(farm.is_ok() || farm.is_err_and(|told| !told.is_empty()));
    }

    #[test]
    fn a_row_that_is_read_and_written_reads_the_same(row in bent_row()) {
        let farm = Farm::default();
        if let Some(draft) = read(&row, &farm) {
            let written = row_of_draft(&draft);
            prop_assert_eq!(read(&written, &farm), Some(draft.clone()));
            let bytes = file(row.noun(), &[written]);
            let tabled = Table::read("a.csv", row.noun(), &bytes);
            prop_assert_eq!(&tabled.problems, &[]);
            prop_assert_eq!(read(&tabled.table.row(0), &farm), Some(draft));
        }
    }

    #[test]
    fn an_export_of_any_farm_imported_is_the_same_farm(steps in vec(step(), 0..60)) {
        let farm = farm_of(&steps);
        let files = export(&farm);
        let again = import(&files, &Farm::default());
        prop_assert_eq!(again.as_ref().map(sum_of), Ok(sum_of(&farm)));
        prop_assert_eq!(again.map(|again| lines(&export(&again))), Ok(lines(&files)));
    }
}

/// Every line of every file; an import puts rows that were recorded late into the order of the days.
fn lines(files: &Files) -> Vec<String> {
    let line = |(file, bytes): (&String, &Vec<u8>)| {
        let text = String::from_utf8_lossy(bytes).into_owned();
        let lines: Vec<String> = text.lines().map(|line| format!("{file}: {line}")).collect();
        lines
    };
    let mut lines: Vec<String> = files.iter().flat_map(line).collect();
    lines.sort();
    lines
}

#[test]
fn random_farms_have_flows_strikes_and_corrections_in_them() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let (mut flows, mut struck, mut moved) = (0, 0, 0);
    for _ in 0..60 {
        let steps = vec(step(), 60)
            .new_tree(&mut runner)
            .expect("steps")
            .current();
        let farm = farm_of(&steps);
        flows += farm.flows().len();
        struck += farm
            .entries()
            .iter()
            .filter(|entry| entry.strikes.is_some())
            .count();
        moved += farm.lots().filter(|(_, lot)| lot.stays.len() > 1).count();
    }
    assert!(
        flows > 300 && struck > 20 && moved > 5,
        "{flows} {struck} {moved}"
    );
}
