//! The recording commands, end to end: what each says, and that a refusal leaves the diary as it was.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm, demo_lots};

/// Two beds, what went into them, and a bucket of feed.
const TWO_BEDS: &[&str] = &[
    "2026-03-01 record bin --bin A01 --place R1/S1/P1",
    "2026-03-01 record bin --bin A02 --place R1/S1/P2",
    "2026-03-01 record delivery --kind bedding --name straw --supplier 'a farm' --amount 50kg --ref straw-1",
    "2026-03-01 record delivery --kind worms --name worms --supplier 'a breeder' --amount 5kg --ref worms-1",
    "2026-03-01 record delivery --kind manure --name 'horse manure' --supplier 'a livery yard' --amount 100kg --ref manure-1",
    "2026-03-02 bed A01 straw-1 4kg worms-1 1kg",
    "2026-03-02 bed A02 straw-1 8kg worms-1 2kg",
    "2026-03-03 blend feed manure-1 10kg straw-1 1kg --ref mix-1",
];

/// The same beds, sieved and packed.
const PACKED: &[&str] = &[
    "2026-04-01 sieve A01 A02 --castings 6kg --worms 2kg --clears all --ref castings=cast-1",
    "2026-04-02 record test --lot cast-1 --test density --value 600 --unit g/L",
    "2026-04-03 pack bag5 2 --from cast-1:5.9kg --ref run-1",
    "2026-04-04 sell run-1/1 --to 'a nursery' --contact '01632 960111'",
];

fn two_beds() -> TestFarm {
    TestFarm::with(TWO_BEDS)
}

fn packed() -> TestFarm {
    TestFarm::with(&[TWO_BEDS, PACKED].concat())
}

/// Runs a command that has to be refused, and checks that it left the diary byte for byte as it was.
fn refused(farm: &TestFarm, when: &str, line: &str) -> String {
    let before = farm.diary();
    let told = farm.on(when, line);
    assert!(told.ends_with("--- exit 2 ---\n"), "{told}");
    assert!(farm.diary() == before, "{line} changed the diary");
    told
}

#[test]
fn a_new_farm_has_settings_a_diary_and_empty_sheets() {
    let farm = TestFarm::nowhere();
    assert_snapshot!(farm.on("2026-01-01", "new shed --name \"Marlhythe Wormery\""), @"
    a farm is started in shed
    --- stderr ---
    next: read shed/castlot.toml
    then fill the sheets in shed/sheets, and `castlot --farm shed import shed/sheets`
    ");
    assert_snapshot!(farm.inside("shed").join("\n"), @"
    artwork
    castlot.toml
    diary.db
    sheets
    templates
    ");
    assert_snapshot!(farm.inside("shed/sheets").join(" "), @"beds.csv bins.csv blends.csv checks.csv complaints.csv counts.csv deliveries.csv feeds.csv holds.csv moves.csv packs.csv prints.csv recalls.csv returns.csv sales.csv sievings.csv skips.csv splits.csv tests.csv thrown.csv tips.csv weighings.csv");
    assert_snapshot!(farm.on("2026-01-01", "--farm shed verify"), @"
    0 entries, as they were written
    seal DIGEST
    ");
    assert_snapshot!(farm.on("2026-01-01", "--farm shed import shed/sheets"), @"recorded 0 entries");
}

#[test]
fn a_farm_is_never_started_over_something_else() {
    let farm = TestFarm::new();
    let before = farm.diary();
    assert_snapshot!(farm.on("2026-01-01", "new ."), @"
    --- stderr ---
    error: `.` holds a farm already
    hint: use it as it is, as in `castlot --farm . beds`
    --- exit 2 ---
    ");
    assert_eq!(farm.diary(), before);
    farm.put("papers/letter.txt", "dear nursery");
    assert_snapshot!(farm.on("2026-01-01", "new papers"), @"
    --- stderr ---
    error: `papers` is not empty
    hint: start the farm in a folder of its own, as in `castlot new papers/farm`
    --- exit 2 ---
    ");
    assert_eq!(farm.inside("papers"), ["letter.txt"]);
    assert_snapshot!(farm.on("2026-01-01", "new shed --timezone Europe/Marlhythe"), @"
    --- stderr ---
    error: `Europe/Marlhythe` is not a time zone; write one as in `Europe/London`
    --- exit 2 ---
    ");
    assert!(!farm.path("shed").exists());
}

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
    error: feeds.csv, row 4, column takes: no lot has the ref `mix-2`
    error: 1 problem; nothing was recorded
    hint: if `mix-1` was meant, look at it with `castlot show mix-1`
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

#[test]
fn a_row_is_recorded_and_its_lot_gets_a_code() {
    let farm = TestFarm::new();
    assert_snapshot!(farm.on("2026-03-01", "--by NT record delivery --kind bedding --name straw --supplier 'a farm' --amount 50kg"), @"entry 1: G26060-01-N");
    assert_snapshot!(farm.on("2026-03-01", "record feed --bin A01 --takes 'straw 4kg'"), @"
    --- stderr ---
    error: no lot has the ref `straw`
    hint: look for it with `castlot find straw`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-03-01", "record feed --bin A01"), @"
    --- stderr ---
    error: the following required arguments were not provided:
      --takes <LOT AMOUNT>

    Usage: castlot record feed --bin <BED> --takes <LOT AMOUNT>

    For more information, try '--help'.
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-03-01", "record check --bin A01 --feed-left heaps --ph sour"), @"
    --- stderr ---
    error: --feed-left: `heaps` is not known here; write `none`, `some`, or `lots`
    error: --ph: `sour` is not a number; write one as in `21` or `6.8`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-03-01", "record pack --product bag50 --count 3 --from 'straw-1 1kg'"), @"
    --- stderr ---
    error: --product: castlot.toml has no product `bag50`; it has `bag20`, `bag5`, `bottle500`, `tub100`, or `tub50`
    hint: add it to castlot.toml, under a heading `[product.bag50]`
    --- exit 2 ---
    ");
}

#[test]
fn the_help_of_a_row_lists_its_columns() {
    assert_snapshot!(TestFarm::nowhere().on("2026-03-01", "record feed --help"), @r#"
    Feed a bed

    Usage: castlot record feed [OPTIONS] --bin <BED> --takes <LOT AMOUNT>

    Options:
          --when <WHEN>         When it happened: a day, or a day and a minute; now, where nothing is
                                said
          --bin <BED>           The bin whose bed it is, or the bed's code or ref
          --takes <LOT AMOUNT>  What goes in: a lot and an amount. May be given several times
          --note <TEXT>         A remark
          --by <INITIALS>       Who records, or whose entries are asked for: initials. `CASTLOT_BY` says
                                who records where this does not
          --farm <DIR>          The farm's folder [env: CASTLOT_FARM=] [default: .]
          --json                Print data as one JSON object
      -h, --help                Print help

    Example: `castlot record feed --bin A01 --takes "mix-109 300g"`
    "#);
}

#[test]
fn beds_are_fed_alike_or_share_a_bucket_by_weight() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-03-04", "feed A01..A02 mix-1 300g"), @"
    entry 9
    entry 10
    ");
    assert_snapshot!(farm.on("2026-03-05", "feed A01 A02 mix-1 --shared 1.5kg"), @"
    entry 11
    entry 12
    ");
    farm.did("2026-03-06", "export --sheets out");
    let feeds = std::fs::read_to_string(farm.path("out/feeds.csv")).expect("it was exported");
    // Bed A01 holds 4 kg of straw and A02 8 kg (worms count nothing), and each has had 300 g of feed.
    assert_snapshot!(feeds, @"
    when,bin,takes,by,note
    2026-03-04T09:00,B26061-01-B,H26062-01-A 300g,,
    2026-03-04T09:00,B26061-02-9,H26062-01-A 300g,,
    2026-03-05T09:00,B26061-01-B,H26062-01-A ~512g,,
    2026-03-05T09:00,B26061-02-9,H26062-01-A ~988g,,
    ");
}

#[test]
fn a_bucket_is_shared_alike_where_nobody_knows_what_a_bed_weighs() {
    let farm = two_beds();
    farm.did("2026-03-04", "feed A01 mix-1 ?");
    assert_snapshot!(farm.on("2026-03-05", "feed A01 A02 mix-1 --shared 1kg"), @"
    entry 10
    entry 11
    --- stderr ---
    note: what the beds weigh is not known of all; each gets the same
    ");
    farm.did("2026-03-06", "export --sheets out");
    let feeds = std::fs::read_to_string(farm.path("out/feeds.csv")).expect("it was exported");
    assert_snapshot!(feeds, @"
    when,bin,takes,by,note
    2026-03-04T09:00,B26061-01-B,H26062-01-A ?,,
    2026-03-05T09:00,B26061-01-B,H26062-01-A ~500g,,
    2026-03-05T09:00,B26061-02-9,H26062-01-A ~500g,,
    ");
    assert_snapshot!(refused(&farm, "2026-03-06", "feed A01 A02 mix-1 300g --shared 1kg"), @"
    --- stderr ---
    error: `mix-1 300g` has an amount, and so has `--shared`
    hint: give one of them, as in `castlot feed A01..A12 mix-17 --shared 6kg`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-06", "feed A01 A02 mix-1 --shared 1g"), @"
    --- stderr ---
    note: what the beds weigh is not known of all; each gets the same
    error: 1g is too little to divide over 2 beds
    --- exit 2 ---
    ");
}

#[test]
fn what_was_recorded_is_told_to_programs_too() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-04-01", "--json sieve A01 --castings 2kg --worms 500g"), @r#"
    {
      "entries": [
        {
          "entry": 9,
          "kind": "sieving",
          "code": "H26091-01-7"
        },
        {
          "entry": 10,
          "kind": "sieving",
          "code": "H26091-02-5"
        }
      ]
    }
    "#);
}

#[test]
fn a_feed_that_cannot_be_is_refused_with_the_next_thing_to_do() {
    let farm = two_beds();
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01..A03 mix-1 300g"), @"
    --- stderr ---
    error: bin A03 has no bed in it on 2026-03-04T09:00
    hint: if a bed was made up there, record that first: `castlot bed A03 LOT AMOUNT`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 mix-2 300g"), @"
    --- stderr ---
    error: no lot has the ref `mix-2`
    hint: if `mix-1` was meant, look at it with `castlot show mix-1`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 mix-1"), @"
    --- stderr ---
    error: nothing is said of how much of `mix-1`
    hint: write the lot and the amount, as in `mix-1 300g`, or `mix-1 '?'` where nobody knows
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 mix-1 20kg"), @"
    --- stderr ---
    error: H26062-01-A had 11kg left, and 20kg is drawn
    hint: if more is really there, count it first: `castlot record count --lot H26062-01-A --found 20kg --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-01", "feed A01 mix-1 300g"), @"
    --- stderr ---
    error: bin A01 has no bed in it on 2026-03-01T09:00
    hint: if a bed was made up there, record that first: `castlot bed A01 LOT AMOUNT`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 H26062-05-2 300g"), @"
    --- stderr ---
    error: no lot has the code H26062-05-2
    hint: if H26062-01-A was meant, look at it with `castlot show H26062-01-A`
    --- exit 2 ---
    ");
}

#[test]
fn what_is_seen_and_done_at_the_rack_is_recorded_in_a_line() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-03-05", "skip A01 A02 'food left'"), @"
    entry 9
    entry 10
    ");
    assert_snapshot!(refused(&farm, "2026-03-05", "skip A01 A02"), @r#"
    --- stderr ---
    error: `A02` is a bed; nothing is said of why
    hint: say why, in quotes, as in `castlot skip A02 "food left"`
    --- exit 2 ---
    "#);
    assert_snapshot!(farm.on("2026-03-06", "check A01 --feed-left some --temp 17.5 --smell earth"), @"entry 11");
    assert_snapshot!(farm.on("2026-03-07", "split A02 A03 '1 of 3' --ref half"), @"
    entry 12: B26066-01-8
    --- stderr ---
    warning: bin A03 has not been set up; if it is new, record it with its place
    ");
    assert_snapshot!(farm.on("2026-03-08", "tip A03 A01"), @"entry 13");
    assert_snapshot!(farm.on("2026-03-09", "move A03 R1/S1/P2"), @"
    entry 14
    --- stderr ---
    warning: R1/S1/P2 is where bin A02 stands; bin A03 is put there too
    ");
    assert_snapshot!(farm.on("2026-03-10", "throw A02 --why 'gone sour'"), @"entry 15");
}

#[test]
fn one_sieving_makes_a_batch_of_each_kind_and_clears_the_beds_once() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-04-01", "sieve A01..A02 --castings 6kg --worms 2kg --overs 1kg --clears all --ref castings=cast-1"), @"
    entry 9: H26091-01-7
    entry 10: H26091-02-5
    entry 11: H26091-03-3
    ");
    assert_snapshot!(refused(&farm, "2026-04-02", "feed A01 mix-1 300g"), @"
    --- stderr ---
    error: bin A01 has no bed in it on 2026-04-02T10:00
    hint: if a bed was made up there, record that first: `castlot bed A01 LOT AMOUNT`
    --- exit 2 ---
    ");
    farm.did("2026-04-03", "export --sheets out");
    let sheet = std::fs::read_to_string(farm.path("out/sievings.csv")).expect("it was exported");
    assert_snapshot!(sheet, @"
    when,kind,from,amount,clears,ref,code,by,note
    2026-04-01T10:00,castings,B26061-01-B; B26061-02-9,6kg,all,cast-1,H26091-01-7,,
    2026-04-01T10:00,worms,B26061-01-B; B26061-02-9,2kg,,,H26091-02-5,,
    2026-04-01T10:00,overs,B26061-01-B; B26061-02-9,1kg,,,H26091-03-3,,
    ");
}

#[test]
fn a_sieving_that_is_half_said_is_refused() {
    let farm = two_beds();
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01"), @"
    --- stderr ---
    error: nothing is said of what came of the sieving
    hint: say how much of each kind, as in `castlot sieve A05 --castings 2.1kg --worms 500g`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve --castings 6kg"), @"
    --- stderr ---
    error: nothing is said of which beds were sieved
    hint: name them first, as in `castlot sieve A01..A05 --castings 10kg`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 6kg --worms 1kg --ref cast-1"), @"
    --- stderr ---
    error: `cast-1` could be the ref of any of these batches
    hint: say of which, as in `--ref castings=cast-1`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 6kg --clears A02"), @"
    --- stderr ---
    error: bin A02 is cleared but not sieved in this row
    hint: to clear every bed that is sieved, say `--clears all`
    --- exit 2 ---
    ");
}

#[test]
fn packs_are_filled_sold_and_taken_back() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "sell run-1 '#2' --market 'Quay market' --note 'slow day'"), @"entry 14");
    assert_snapshot!(farm.on("2026-04-06", "return run-1/2 --market 'Quay market'"), @"entry 15");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1 --to 'a nursery'"), @"
    --- stderr ---
    error: nothing is said of which packs of `run-1`
    hint: say which, as in `run-1 '#1-12'` with the quotes, `run-1/1-12`, `run-1 x31` or `run-1 all`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1 x3 --to 'a nursery'"), @"
    --- stderr ---
    error: P26093-01-Q has 1 pack there, and 3 are taken
    hint: if more is really there, count it first: `castlot record count --lot P26093-01-Q --found 3 --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1/7 --to 'a nursery'"), @"
    --- stderr ---
    error: P26093-01-Q has 2 packs; there is no #7
    hint: see what it is with `castlot show P26093-01-Q`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-07", "pack bag20 1 --from cast-1:12kg"), @"
    --- stderr ---
    error: H26091-01-7 had 100g left, and 12kg is drawn
    hint: if more is really there, count it first: `castlot record count --lot H26091-01-7 --found 12kg --why WHY`
    --- exit 2 ---
    ");
}

#[test]
fn a_held_lot_goes_nowhere_without_a_reason() {
    let farm = packed();
    farm.did(
        "2026-04-05",
        "record hold --lot run-1 --state hold --reason 'flies reported'",
    );
    assert_snapshot!(refused(&farm, "2026-04-06", "sell run-1/2 --to 'a nursery'"), @"
    --- stderr ---
    error: P26093-01-Q has been held since 2026-04-05T10:00
    hint: if it is clear, release it: `castlot record hold --lot P26093-01-Q --state release --reason WHY`
    hint: if it has to be, say why, as in `--despite WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-04-06", "sell run-1/2 --to 'a nursery' --despite 'they want it for the hedge'"), @"
    entry 15
    --- stderr ---
    warning: P26093-01-Q is held; used despite that: they want it for the hedge
    ");
}

#[test]
fn an_entry_is_struck_but_not_while_others_name_its_lot() {
    let farm = two_beds();
    farm.did("2026-03-04", "feed A01 mix-1 300g");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 8 --why 'wrong bucket'"), @"
    --- stderr ---
    error: entry 8 made H26062-01-A, which later entries name: 9
    hint: strike those first, from the last: `castlot strike 9 --why WHY`
    hint: or put it right and leave them: `castlot correct 8 --set COLUMN=VALUE --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-03-05", "strike 9 --why 'wrong bed'"), @"entry 10");
    assert_snapshot!(farm.on("2026-03-05", "strike 8 --why 'wrong bucket'"), @"entry 11");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 8 --why again"), @"
    --- stderr ---
    error: entry 8 was struck out by entry 11
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 99 --why 'no such entry'"), @"
    --- stderr ---
    error: there is no entry 99
    hint: read the last entries with `castlot log`
    --- exit 2 ---
    ");
}

#[test]
fn a_correction_keeps_the_code_and_everything_that_names_it() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "--by NT correct 9 --set amount=6.5kg --set note='scales were off' --why 'weighed again'"), @"entry 14: H26091-01-7");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 9 --set amount=6kg --why 'struck already'"), @"
    --- stderr ---
    error: entry 9 was struck out by entry 14
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 14 --set amount=2kg --why 'weighed again'"), @"
    --- stderr ---
    error: entry 12 would then be wrong: H26091-01-7 had 2kg left, and 5.9kg is drawn
    hint: if entry 12 is wrong, strike it first: `castlot strike 12 --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 8 --set weight=2kg --why 'weighed again'"), @"
    --- stderr ---
    error: there is no column `weight` in this sheet; it has `when`, `kind`, `from`, `ref`, `code`, `by`, or `note`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 8 --set code=H26062-02-8 --why 'weighed again'"), @"
    --- stderr ---
    error: a lot keeps its code, whatever is put right
    --- exit 2 ---
    ");
}

#[test]
fn a_correction_leaves_the_product_as_it_was_packed_and_works_its_best_by_out_again() {
    let farm = packed();
    let settings =
        std::fs::read_to_string(farm.path("castlot.toml")).expect("the farm has settings");
    farm.put(
        "castlot.toml",
        settings
            .replace("best_by_days = 365", "best_by_days = 30")
            .replace("net = \"5L\"", "net = \"6L\""),
    );
    farm.did(
        "2026-04-05",
        "correct 12 --set when=2026-04-02T10:00 --why 'a day too late'",
    );
    farm.did("2026-04-06", "export --sheets out");
    let packs = std::fs::read_to_string(farm.path("out/packs.csv")).expect("it was exported");
    assert_snapshot!(packs, @"
    when,product,count,from,best_by,despite,ref,code,by,note
    2026-04-02T10:00,bag5,2,H26091-01-7 5.9kg,2027-04-02,,run-1,P26093-01-Q,,
    ");
}

#[test]
fn undo_strikes_the_last_entry_of_the_same_initials() {
    let farm = two_beds();
    farm.did("2026-03-04", "--by NT feed A01 mix-1 300g");
    farm.did("2026-03-04", "--by RB feed A02 mix-1 300g");
    assert_snapshot!(farm.on("2026-03-04", "--by NT undo"), @"
    entry 11
    --- stderr ---
    entry 9 is struck out
    ");
    assert_snapshot!(refused(&farm, "2026-03-04", "--by NT undo"), @"
    --- stderr ---
    error: there is no entry by `NT` to take back
    hint: say whose entry, as in `castlot undo --by NT`
    --- exit 2 ---
    ");
}

#[test]
fn a_buyer_is_forgotten_and_the_packs_still_trace_to_somebody() {
    let farm = packed();
    assert_snapshot!(refused(&farm, "2026-04-10", "forget 'a nursery'"), @r#"
    --- stderr ---
    error: `a nursery` stands in 1 sale, the last on 2026-04-04; packs of it could then not be recalled by name
    hint: if it has to be forgotten all the same: `castlot forget "a nursery" --yes`
    --- exit 2 ---
    "#);
    assert_snapshot!(farm.on("2026-04-10", "forget 'a nursery' --yes"), @"
    it stands as forgotten-4 from now on
    --- stderr ---
    warning: `a nursery` stands in 1 sale, the last on 2026-04-04; packs of it could then not be recalled by name
    ");
    assert_snapshot!(farm.on("2026-04-10", "verify"), @"
    13 entries, as they were written
    seal DIGEST
    ");
    assert_snapshot!(refused(&farm, "2026-04-10", "forget 'a nursery'"), @"
    --- stderr ---
    error: no name or remark in the diary is that
    hint: write it exactly as it stands, as `castlot log` shows it
    --- exit 2 ---
    ");
    let bytes = farm.diary();
    assert!(
        !bytes.windows(9).any(|window| window == b"a nursery"),
        "the name is left in the file"
    );
    // Put right afterwards, the sale is still to the one who was forgotten.
    farm.did(
        "2026-04-11",
        "correct 13 --set document=inv-1 --why 'number added'",
    );
    farm.did("2026-04-11", "export --sheets out");
    let sales = std::fs::read_to_string(farm.path("out/sales.csv")).expect("it was exported");
    assert_snapshot!(sales, @"
    when,packs,buyer,market,contact,document,despite,by,note
    2026-04-04T10:00,P26093-01-Q #1,forgotten-4,,01632 960111,inv-1,,,
    ");
    assert_snapshot!(farm.on("2026-04-11", "verify"), @"
    14 entries, as they were written
    seal DIGEST
    ");
}

#[test]
fn a_changed_diary_is_found_and_the_first_bad_entry_named() {
    let farm = two_beds();
    let mut bytes = farm.diary();
    let at = bytes
        .windows(12)
        .position(|window| window == b"horse manure")
        .expect("entry 5 says so");
    bytes[at] = b'H';
    farm.put("diary.db", &bytes);
    assert_snapshot!(farm.on("2026-03-10", "verify"), @"
    --- stderr ---
    error: entry 5 is damaged: its digest does not fit its line and the digest before it
    --- exit 3 ---
    ");
    assert_snapshot!(farm.on("2026-03-10", "verify --json"), @r#"
    {
      "sound": false,
      "first_bad_entry": 5,
      "damage": "its digest does not fit its line and the digest before it"
    }
    --- stderr ---
    error: entry 5 is damaged: its digest does not fit its line and the digest before it
    --- exit 3 ---
    "#);
    farm.put(
        "diary.db",
        "not a diary at all, but long enough to be looked at as one by a careless reader",
    );
    assert_snapshot!(farm.on("2026-03-10", "verify"), @"
    --- stderr ---
    error: `./diary.db` is not a castlot diary
    --- exit 3 ---
    ");
}

#[test]
fn a_folder_without_a_farm_says_how_to_start_one() {
    assert_snapshot!(TestFarm::nowhere().on("2026-03-10", "feed A01 mix-1 300g"), @"
    --- stderr ---
    error: cannot read `./castlot.toml`: No such file or directory (os error 2)
    hint: start a farm with `castlot new DIR`, or name its folder with `--farm DIR` (tried `.`)
    --- exit 2 ---
    ");
    assert_snapshot!(TestFarm::nowhere().on("2026-03-10", "verify"), @"
    --- stderr ---
    error: there is no diary at `./diary.db`
    hint: start a farm with `castlot new DIR`, or name its folder with `--farm DIR`
    --- exit 2 ---
    ");
}

#[test]
fn the_order_within_a_minute_can_be_put_right() {
    let farm = two_beds();
    farm.did("2026-04-01", "skip A01 'about to be sieved'");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 2kg --clears all"), @"
    --- stderr ---
    error: entry 9 would then be wrong: bin A01 has no bed in it on 2026-04-01T10:00
    hint: if entry 9 is wrong, strike it first: `castlot strike 9 --why WHY`
    hint: entry 9 is of the same minute; if this came after it, say so with `--when 2026-04-01T10:01`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-04-01", "sieve A01 --castings 2kg --clears all --when 2026-04-01T10:01"), @"entry 10: H26091-01-7");
}

#[test]
fn every_example_in_the_help_runs_on_the_demo_farm() {
    let commands = [
        "bed", "blend", "check", "correct", "export", "feed", "forget", "import", "move", "new",
        "pack", "record", "return", "sell", "sieve", "skip", "split", "strike", "throw", "tip",
        "undo", "verify",
    ];
    let record = castlot_nouns()
        .into_iter()
        .map(|noun| format!("record {noun}"));
    for command in commands.map(str::to_owned).into_iter().chain(record) {
        let farm = TestFarm::demo();
        let help = farm.on(DEMO_END, &format!("{command} --help"));
        let joined = help.split_whitespace().collect::<Vec<_>>().join(" ");
        let example = joined
            .split("Example: `castlot ")
            .nth(1)
            .and_then(|rest| rest.split('`').next());
        let example = example.unwrap_or_else(|| panic!("{command} has no example:\n{help}"));
        let done = farm.on(DEMO_END, example);
        assert!(!done.contains("--- exit"), "castlot {example}\n{done}");
        // Every bin of the demo farm is full, so that a new bed takes a bin that nobody has set up.
        let warned = done.lines().filter(|line| line.starts_with("warning: "));
        let only_new_bins = warned
            .into_iter()
            .all(|line| line.contains("has not been set up"));
        assert!(only_new_bins, "castlot {example}\n{done}");
    }
}

/// Returns the nouns of the sheets, from the demo farm's folder of them.
fn castlot_nouns() -> Vec<String> {
    let help = TestFarm::nowhere().on("2026-03-10", "record --help");
    let nouns = help.lines().skip_while(|line| *line != "Nouns:").skip(1);
    let nouns = nouns.take_while(|line| line.starts_with("  "));
    let nouns: Vec<String> = nouns
        .filter_map(|line| line.split_whitespace().next())
        .map(str::to_owned)
        .filter(|noun| noun != "help")
        .collect();
    let sheets = std::fs::read_dir(demo_lots()).expect("the demo farm has sheets");
    let sheets = sheets
        .flatten()
        .filter(|found| found.path().extension().is_some_and(|end| end == "csv"));
    assert_eq!(nouns.len(), sheets.count(), "a noun for each sheet");
    nouns
}
