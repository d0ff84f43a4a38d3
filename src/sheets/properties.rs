//! What holds of every sheet, whatever is in it: nothing panics, and what goes out comes in again the same.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use super::column::columns;
use super::export::{export, file, file_name, tests::sum_of};
use super::fixture::{Files, import};
use super::random_farm::{farm_of, read, step};
use super::read::tests::FULL;
use super::row::Row;
use super::table::Table;
use super::write::row_of_draft;
use crate::farm::{Farm, Noun};

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
        let mut cells: Vec<String> = cells.split('|').map(str::to_owned).collect();
        for (at, text) in bends {
            let at = at.index(cells.len());
            cells[at] = text;
        }
        Row::of(noun, cells.into_iter().map(Into::into).collect())
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

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
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

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
