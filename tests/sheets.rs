//! Sheets in and out: what an import says and refuses, and an export that makes the same farm again.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm, refused, two_beds};

#[test]
fn an_import_records_every_sheet_and_says_how_much() {
    let farm = TestFarm::new();
    farm.put("in/bins.csv", "bin,place\nA01,R1/S1/P1\n");
    farm.put("in/deliveries.csv", b"\xEF\xBB\xBFwhen;kind;name;supplier;amount;ref\r\n2026-03-01;bedding;straw;a farm;50kg;straw-1\r\n".as_slice());
    farm.put(
        "in/beds.csv",
        b"when,bin,takes,note\n2026-03-02,A01,straw-1 4kg,caf\xE9\n".as_slice(),
    );
    farm.put("in/letter.txt", "dear nursery");
    assert_snapshot!(farm.on("2026-03-03", "import in"), @"
    recorded 3 entries, which made 2 lots
    entry 3
    --- stderr ---
    note: letter.txt is not a diary sheet; it was left alone
    note: beds.csv is not UTF-8; it was read as Windows-1252
    ");
    assert_snapshot!(farm.on("2026-03-03", "--json import in --skip-known"), @r#"
    {
      "entries": 0,
      "lots": 0,
      "skipped": 3,
      "last": null
    }
    --- stderr ---
    note: letter.txt is not a diary sheet; it was left alone
    note: beds.csv is not UTF-8; it was read as Windows-1252
    3 rows were in the diary already
    "#);
}

#[test]
fn a_refused_import_tells_every_problem_and_records_nothing() {
    let farm = two_beds();
    farm.put("in/feeds.csv", "when,bin,takes\n2026-03-04,A01,mix-1 300g\n2026-03-32,A01,mix-1 300g\n2026-03-05,A01,mix-1 0,3kg\n2026-03-06,A01,mix-1 1 bucket\n");
    farm.put("in/skips.csv", "when,bin\n2026-03-04,A02\n");
    assert_snapshot!(refused(&farm, "2026-03-10", "import in"), @"
    --- stderr ---
    error: feeds.csv, row 3, column when: `2026-03-32` is not a date; write one as in `2026-03-02`
    error: feeds.csv, row 4: the row has 4 cells, and the header has 3
    error: feeds.csv, row 5, column takes: `1 bucket` has the unit `bucket`, which is not known; use g, kg, mL, L, none for pieces, or one from [measure]
    error: skips.csv, row 1, column why: this column has to be in the header, and is not
    error: 4 problems; nothing was recorded
    --- exit 2 ---
    ");
    farm.put("in/feeds.csv", "when,bin,takes\n2026-03-04,A01,mix-1 300g\n2026-03-04,A07,mix-1 300g\n2026-03-05,A01,mix-2 300g\n2026-03-06,A02,mix-1 40kg\n");
    std::fs::remove_file(farm.path("in/skips.csv")).expect("it was put there");
    assert_snapshot!(refused(&farm, "2026-03-10", "import in"), @"
    --- stderr ---
    error: feeds.csv, row 3, column bin: bin A07 has no bed in it on 2026-03-04
    error: feeds.csv, row 4, column takes: no lot has the ref `mix-2`
    error: feeds.csv, row 5, column takes: H26062-01-A had 10.7kg left, and 40kg is drawn
    error: 3 problems; nothing was recorded
    hint: if a bed was made up there, record that first: `castlot bed A07 LOT AMOUNT`
    hint: if `mix-1` was meant, look at it with `castlot show mix-1`
    hint: if more is really there, count it first: `castlot record count --lot H26062-01-A --found 40kg --why WHY`
    --- exit 2 ---
    ");
}

#[test]
fn rows_that_the_diary_has_are_refused_or_passed_over() {
    let farm = two_beds();
    farm.put("in/blends.csv", "when,kind,from,ref\n2026-03-03T09:00,feed,manure-1 10kg; straw-1 1kg,mix-1\n2026-03-04,feed,manure-1 5kg,mix-2\n");
    assert_snapshot!(refused(&farm, "2026-03-10", "import in"), @"
    --- stderr ---
    error: blends.csv, row 2: this row is in the diary already, as entry 8
    error: 1 problem; nothing was recorded
    hint: to record only what is new: `castlot import in --skip-known`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-03-10", "import in --skip-known"), @"
    recorded 1 entry, which made 1 lot
    entry 9
    --- stderr ---
    1 row was in the diary already
    ");
}

#[test]
fn many_warnings_of_a_kind_are_counted_and_not_told_one_by_one() {
    let farm = two_beds();
    let rows = (10..30).map(|day| format!("2026-03-{day},A01,mix-1 ~2kg\n"));
    farm.put(
        "in/feeds.csv",
        format!("when,bin,takes\n{}", rows.collect::<String>()),
    );
    assert_snapshot!(farm.on("2026-03-30", "import in"), @"
    recorded 20 entries
    entry 28
    --- stderr ---
    warning: feeds.csv, row 7: H26062-01-A had about 1kg left, and 2kg is drawn
    warning: feeds.csv, row 8: H26062-01-A had about 0g left, and 2kg is drawn
    warning: 13 more of this kind
    ");
}

#[test]
fn an_export_makes_the_same_farm_again() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "export --sheets out"), @"wrote 4,134 rows in 22 sheets to out");
    let again = TestFarm::new();
    let out = farm.path("out");
    assert_snapshot!(again.on(DEMO_END, &format!("import {}", out.display())), @"
    recorded 4,134 entries, which made 919 lots
    entry 4134
    --- stderr ---
    warning: sales.csv, row 44: P26170-03-9 is held; used despite that: they opened and smelt it here, want it for the hedge
    ");
    again.did(DEMO_END, "export --sheets out");
    assert_eq!(farm.inside("out"), again.inside("out"));
    for name in farm.inside("out") {
        let read =
            |farm: &TestFarm| std::fs::read(farm.path("out").join(&name)).expect("it is there");
        assert!(read(&farm) == read(&again), "{name} differs");
    }
}

#[test]
fn an_export_never_overwrites_what_would_be_lost() {
    let farm = two_beds();
    farm.did("2026-03-10", "export --sheets out");
    let told = farm.on("2026-03-11", "export --sheets out");
    assert!(
        told.starts_with("wrote "),
        "an export over an export of the same diary: {told}"
    );
    farm.put("out/skips.csv", "when,bin,why\n2026-03-12,A01,food left\n");
    assert_snapshot!(farm.on("2026-03-12", "export --sheets out"), @"
    --- stderr ---
    error: `out` holds 1 row that the diary does not have
    hint: choose another folder, as in `castlot export --sheets out-2`
    hint: if they are not needed: `castlot export --sheets out --replace`
    --- exit 2 ---
    ");
    assert!(
        farm.on("2026-03-12", "export --sheets out --replace")
            .starts_with("wrote ")
    );
    assert!(!farm.path("out/skips.csv").exists());
    farm.put("out/letter.txt", "dear nursery");
    assert_snapshot!(farm.on("2026-03-12", "export --sheets out"), @"
    --- stderr ---
    error: `out` holds something else: `letter.txt`
    hint: choose another folder, as in `castlot export --sheets out-2`
    --- exit 2 ---
    ");
    assert_eq!(
        farm.inside("."),
        [
            "artwork",
            "castlot.toml",
            "diary.db",
            "out",
            "sheets",
            "templates"
        ]
    );
}
