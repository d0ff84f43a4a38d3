//! `castlot paper` and `castlot drill`: files, exit codes, what is said, and that the same farm gives the same bytes.

use std::fs;
use std::path::Path;

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm};

fn is_pdf(path: &Path) -> bool {
    fs::read(path).is_ok_and(|bytes| bytes.starts_with(b"%PDF-"))
}

#[test]
fn a_trace_file_is_written_with_a_row_for_each_pack() {
    let farm = TestFarm::demo();
    assert_snapshot!(
        farm.on(DEMO_END, "paper trace-file run-36 --csv run-36.csv"),
        @"
        P26170-01-D.trace-file.pdf
        2 rows: run-36.csv
        "
    );
    assert!(is_pdf(&farm.path("P26170-01-D.trace-file.pdf")));
    let rows = fs::read_to_string(farm.path("run-36.csv")).expect("it was just written");
    assert_snapshot!(rows.replace("\r\n", "\n"), @r#"
    code,serial,product,packed,best_by,state,buyer,market,date,relation
    P26170-01-D,0001,"Worm-worked compost, 20L",2026-06-19 13:30,2027-06-19,sold,an allotment society behind the chapel,,2026-06-22 10:30,itself
    P26170-01-D,0002,"Worm-worked compost, 20L",2026-06-19 13:30,2027-06-19,sold,an allotment society behind the chapel,,2026-06-22 10:30,itself
    "#);
}

#[test]
fn the_papers_of_a_recall_are_written_and_say_how_many_they_are() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "paper recall-notice recall-1"), @"
    recall-1.notice.pdf
    --- stderr ---
    5 letters
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper stall-sign recall-1 --market 'Quay market'"), @"
    recall-1.sign.pdf
    --- stderr ---
    1 sign
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper recall-report recall-1 --csv packs.csv"), @"
    recall-1.report.pdf
    61 rows: packs.csv
    ");
    for file in [
        "recall-1.notice.pdf",
        "recall-1.sign.pdf",
        "recall-1.report.pdf",
    ] {
        assert!(is_pdf(&farm.path(file)), "{file}");
    }
    let first = fs::read(farm.path("recall-1.notice.pdf")).expect("it was just written");
    farm.did(DEMO_END, "paper recall-notice recall-1");
    let again = fs::read(farm.path("recall-1.notice.pdf")).expect("it was just written");
    assert_eq!(first, again);
}

#[test]
fn what_there_is_no_paper_for_is_refused_with_what_there_is() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "paper recall-report recall-9"), @"
    --- stderr ---
    error: no recall is called `recall-9`
    hint: see every recall with `castlot recall list`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper recall-notice recall-1 --buyer 'somebody else'"), @"
    --- stderr ---
    error: no buyer called `somebody else` has packs of `recall-1`
    hint: see who has packs with `castlot recall show recall-1`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper stall-sign recall-1 --market 'Moon fair'"), @"
    --- stderr ---
    error: no packs of `recall-1` were sold at `Moon fair`
    hint: see who has packs with `castlot recall show recall-1`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper trace-file P26170-01-X"), @"
    --- stderr ---
    error: `P26170-01-X` has a slip in it: its last character does not fit the rest
    hint: Worm-worked compost 20L (run-36): `castlot paper trace-file P26170-01-D`
    hint: Composting worms, 100 (run-9): `castlot paper trace-file P26100-01-U`
    hint: Dendrobaena bait worms, 50 (run-14): `castlot paper trace-file P26120-01-J`
    --- exit 2 ---
    ");
}

#[test]
fn a_drill_draws_a_lot_writes_its_folder_and_stops_its_clock() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on("2026-11-02T10:00", "drill --seed 7 --out drill-7"), @"
    drill-7/trace-file.pdf
    drill-7/drill-report.pdf
    345 rows: drill-7/back.csv
    2 rows: drill-7/buyers.csv
    2 rows: drill-7/packs.csv
    P26282-01-7
    --- stderr ---
    drawn by seed 7; the clock runs until `castlot drill finish drill-7`
    ");
    assert_snapshot!(farm.on("2026-11-02T10:00", "drill --seed 7 --out drill-7"), @"
    --- stderr ---
    error: `drill-7` holds a drill already
    hint: name another folder with `--out FOLDER`
    --- exit 2 ---
    ");
    let before = fs::read(farm.path("drill-7/drill-report.pdf")).expect("it was written");
    assert_snapshot!(farm.on("2026-11-02T10:47", "drill finish drill-7"), @"
    drill-7/drill-report.pdf
    47 minutes
    ");
    let after = fs::read(farm.path("drill-7/drill-report.pdf")).expect("it was written");
    assert_ne!(before, after, "the report bears the minutes");
    assert!(is_pdf(&farm.path("drill-7/trace-file.pdf")));
    let begun = fs::read_to_string(farm.path("drill-7/drill.json")).expect("it was written");
    assert!(
        begun.contains("\"started\": \"2026-11-02T10:00:00Z\""),
        "{begun}"
    );
}

#[test]
fn a_drill_without_a_seed_draws_the_same_lot_all_day_and_needs_something_to_draw() {
    let farm = TestFarm::demo();
    let first = farm.on("2026-11-02T10:00", "drill --out one");
    let again = farm.on("2026-11-02T16:00", "drill --out two");
    assert_eq!(first.replace("one", "two"), again);
    assert_snapshot!(TestFarm::new().on("2026-03-01", "drill"), @"
    --- stderr ---
    error: there is no lot to draw: nothing was sold, and no delivery used
    --- exit 2 ---
    ");
    assert_snapshot!(TestFarm::new().on("2026-03-01", "drill finish nowhere"), @"
    --- stderr ---
    error: cannot read `nowhere/drill.json`: No such file or directory (os error 2)
    hint: begin a drill with `castlot drill`
    --- exit 2 ---
    ");
}
