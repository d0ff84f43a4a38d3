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
    assert_snapshot!(farm.on("2026-01-01", "new shed --name \"Marlhythe Wormery\""), @"");
    assert_snapshot!(farm.inside("shed").join("\n"), @"");
    assert_snapshot!(farm.inside("shed/sheets").join(" "), @"");
    assert_snapshot!(farm.on("2026-01-01", "--farm shed verify"), @"");
    assert_snapshot!(farm.on("2026-01-01", "--farm shed import shed/sheets"), @"");
}

#[test]
fn a_farm_is_never_started_over_something_else() {
    let farm = TestFarm::new();
    let before = farm.diary();
    assert_snapshot!(farm.on("2026-01-01", "new ."), @"");
    assert_eq!(farm.diary(), before);
    farm.put("papers/letter.txt", "dear nursery");
    assert_snapshot!(farm.on("2026-01-01", "new papers"), @"");
    assert_eq!(farm.inside("papers"), ["letter.txt"]);
    assert_snapshot!(farm.on("2026-01-01", "new shed --timezone Europe/Marlhythe"), @"");
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
    assert_snapshot!(farm.on("2026-03-03", "import in"), @"");
    assert_snapshot!(farm.on("2026-03-03", "--json import in --skip-known"), @"");
}

#[test]
fn a_refused_import_tells_every_problem_and_records_nothing() {
    let farm = two_beds();
    farm.put("in/feeds.csv", "when,bin,takes\n2026-03-04,A01,mix-1 300g\n2026-03-32,A01,mix-1 300g\n2026-03-05,A01,mix-1 0,3kg\n2026-03-06,A01,mix-1 1 bucket\n");
    farm.put("in/skips.csv", "when,bin\n2026-03-04,A02\n");
    assert_snapshot!(refused(&farm, "2026-03-10", "import in"), @"");
    farm.put("in/feeds.csv", "when,bin,takes\n2026-03-04,A01,mix-1 300g\n2026-03-04,A07,mix-1 300g\n2026-03-05,A01,mix-2 300g\n2026-03-06,A02,mix-1 40kg\n");
    std::fs::remove_file(farm.path("in/skips.csv")).expect("it was put there");
    assert_snapshot!(refused(&farm, "2026-03-10", "import in"), @"");
}

#[test]
fn rows_that_the_diary_has_are_refused_or_passed_over() {
    let farm = two_beds();
    farm.put("in/blends.csv", "when,kind,from,ref\n2026-03-03T09:00,feed,manure-1 10kg; straw-1 1kg,mix-1\n2026-03-04,feed,manure-1 5kg,mix-2\n");
    assert_snapshot!(refused(&farm, "2026-03-10", "import in"), @"");
    assert_snapshot!(farm.on("2026-03-10", "import in --skip-known"), @"");
}

#[test]
fn many_warnings_of_a_kind_are_counted_and_not_told_one_by_one() {
    let farm = two_beds();
    let rows = (10..30).map(|day| format!("2026-03-{day},A01,mix-1 ~2kg\n"));
    farm.put(
        "in/feeds.csv",
        format!("when,bin,takes\n{}", rows.collect::<String>()),
    );
    assert_snapshot!(farm.on("2026-03-30", "import in"), @"");
}

#[test]
fn an_export_makes_the_same_farm_again() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "export --sheets out"), @"");
    let again = TestFarm::new();
    let out = farm.path("out");
    assert_snapshot!(again.on(DEMO_END, &format!("import {}", out.display())), @"");
    let _ = again.on(DEMO_END, "export --sheets out");
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
    let _ = farm.on("2026-03-10", "export --sheets out");
    let told = farm.on("2026-03-11", "export --sheets out");
    assert!(
        told.starts_with("wrote "),
        "an export over an export of the same diary: {told}"
    );
    farm.put("out/skips.csv", "when,bin,why\n2026-03-12,A01,food left\n");
    assert_snapshot!(farm.on("2026-03-12", "export --sheets out"), @"");
    assert!(
        farm.on("2026-03-12", "export --sheets out --replace")
            .starts_with("wrote ")
    );
    assert!(!farm.path("out/skips.csv").exists());
    farm.put("out/letter.txt", "dear nursery");
    assert_snapshot!(farm.on("2026-03-12", "export --sheets out"), @"");
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
    assert_snapshot!(farm.on("2026-03-01", "--by NT record delivery --kind bedding --name straw --supplier 'a farm' --amount 50kg"), @"");
    assert_snapshot!(farm.on("2026-03-01", "record feed --bin A01 --takes 'straw 4kg'"), @"");
    assert_snapshot!(farm.on("2026-03-01", "record feed --bin A01"), @"");
    assert_snapshot!(farm.on("2026-03-01", "record check --bin A01 --feed-left heaps --ph sour"), @"");
    assert_snapshot!(farm.on("2026-03-01", "record pack --product bag50 --count 3 --from 'straw-1 1kg'"), @"");
}

#[test]
fn the_help_of_a_row_lists_its_columns() {
    assert_snapshot!(TestFarm::nowhere().on("2026-03-01", "record feed --help"), @"");
}

#[test]
fn beds_are_fed_alike_or_share_a_bucket_by_weight() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-03-04", "feed A01..A02 mix-1 300g"), @"");
    assert_snapshot!(farm.on("2026-03-05", "feed A01 A02 mix-1 --shared 1.5kg"), @"");
    let _ = farm.on("2026-03-06", "export --sheets out");
    let feeds = std::fs::read_to_string(farm.path("out/feeds.csv")).expect("it was exported");
    // Bed A01 holds 4 kg of straw and A02 8 kg (worms count nothing), and each has had 300 g of feed.
    assert_snapshot!(feeds, @"");
}

#[test]
fn a_feed_that_cannot_be_is_refused_with_the_next_thing_to_do() {
    let farm = two_beds();
    for (line, _) in [
        ("feed A01..A03 mix-1 300g", ()),
        ("feed A01 mix-9 300g", ()),
        ("feed A01 mix-1", ()),
        ("feed mix-1 300g A01", ()),
    ] {
        let _ = refused(&farm, "2026-03-04", line);
    }
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01..A03 mix-1 300g"), @"");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 mix-2 300g"), @"");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 mix-1"), @"");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 mix-1 20kg"), @"");
    assert_snapshot!(refused(&farm, "2026-03-01", "feed A01 mix-1 300g"), @"");
    assert_snapshot!(refused(&farm, "2026-03-04", "feed A01 H26062-01-A 300g"), @"");
}

#[test]
fn what_is_seen_and_done_at_the_rack_is_recorded_in_a_line() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-03-05", "skip A01 A02 'food left'"), @"");
    assert_snapshot!(refused(&farm, "2026-03-05", "skip A01 A02"), @"");
    assert_snapshot!(farm.on("2026-03-06", "check A01 --feed-left some --temp 17.5 --smell earth"), @"");
    assert_snapshot!(farm.on("2026-03-07", "split A02 A03 '1 of 3' --ref half"), @"");
    assert_snapshot!(farm.on("2026-03-08", "tip A03 A01"), @"");
    assert_snapshot!(farm.on("2026-03-09", "move A03 R1/S1/P2"), @"");
    assert_snapshot!(farm.on("2026-03-10", "throw A02 --why 'gone sour'"), @"");
}

#[test]
fn one_sieving_makes_a_batch_of_each_kind_and_clears_the_beds_once() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-04-01", "sieve A01..A02 --castings 6kg --worms 2kg --overs 1kg --clears all --ref castings=cast-1"), @"");
    assert_snapshot!(refused(&farm, "2026-04-02", "feed A01 mix-1 300g"), @"");
    let _ = farm.on("2026-04-03", "export --sheets out");
    let sheet = std::fs::read_to_string(farm.path("out/sievings.csv")).expect("it was exported");
    assert_snapshot!(sheet, @"");
}

#[test]
fn a_sieving_that_is_half_said_is_refused() {
    let farm = two_beds();
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01"), @"");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve --castings 6kg"), @"");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 6kg --worms 1kg --ref cast-1"), @"");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 6kg --clears A02"), @"");
}

#[test]
fn packs_are_filled_sold_and_taken_back() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "sell run-1 '#2' --market 'Quay market' --note 'slow day'"), @"");
    assert_snapshot!(farm.on("2026-04-06", "return run-1/2 --market 'Quay market'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1 --to 'a nursery'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1 x3 --to 'a nursery'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1/7 --to 'a nursery'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-07", "pack bag20 1 --from cast-1:12kg"), @"");
}

#[test]
fn a_held_lot_goes_nowhere_without_a_reason() {
    let farm = packed();
    let _ = farm.on(
        "2026-04-05",
        "record hold --lot run-1 --state hold --reason 'flies reported'",
    );
    assert_snapshot!(refused(&farm, "2026-04-06", "sell run-1/2 --to 'a nursery'"), @"");
    assert_snapshot!(farm.on("2026-04-06", "sell run-1/2 --to 'a nursery' --despite 'they want it for the hedge'"), @"");
}

#[test]
fn an_entry_is_struck_but_not_while_others_name_its_lot() {
    let farm = two_beds();
    let _ = farm.on("2026-03-04", "feed A01 mix-1 300g");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 8 --why 'wrong bucket'"), @"");
    assert_snapshot!(farm.on("2026-03-05", "strike 9 --why 'wrong bed'"), @"");
    assert_snapshot!(farm.on("2026-03-05", "strike 8 --why 'wrong bucket'"), @"");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 8 --why again"), @"");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 99 --why 'no such entry'"), @"");
}

#[test]
fn a_correction_keeps_the_code_and_everything_that_names_it() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "--by NT correct 11 --set amount=6.5kg --set note='scales were off' --why 'weighed again'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 9 --set amount=2kg --why 'weighed again'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 8 --set weight=2kg --why 'weighed again'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 8 --set code=H26062-02-8 --why 'weighed again'"), @"");
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
    let _ = farm.on(
        "2026-04-05",
        "correct 13 --set when=2026-04-02T10:00 --why 'a day too late'",
    );
    let _ = farm.on("2026-04-06", "export --sheets out");
    let packs = std::fs::read_to_string(farm.path("out/packs.csv")).expect("it was exported");
    assert_snapshot!(packs, @"");
}

#[test]
fn undo_strikes_the_last_entry_of_the_same_initials() {
    let farm = two_beds();
    let _ = farm.on("2026-03-04", "--by NT feed A01 mix-1 300g");
    let _ = farm.on("2026-03-04", "--by RB feed A02 mix-1 300g");
    assert_snapshot!(farm.on("2026-03-04", "--by NT undo"), @"");
    assert_snapshot!(refused(&farm, "2026-03-04", "--by NT undo"), @"");
}

#[test]
fn a_buyer_is_forgotten_and_the_packs_still_trace_to_somebody() {
    let farm = packed();
    assert_snapshot!(refused(&farm, "2026-04-10", "forget 'a nursery'"), @"");
    assert_snapshot!(farm.on("2026-04-10", "forget 'a nursery' --yes"), @"");
    assert_snapshot!(farm.on("2026-04-10", "verify"), @"");
    assert_snapshot!(refused(&farm, "2026-04-10", "forget 'a nursery'"), @"");
    let bytes = farm.diary();
    assert!(
        !bytes.windows(9).any(|window| window == b"a nursery"),
        "the name is left in the file"
    );
    // Put right afterwards, the sale is still to the one who was forgotten.
    let _ = farm.on(
        "2026-04-11",
        "correct 14 --set document=inv-1 --why 'number added'",
    );
    let _ = farm.on("2026-04-11", "export --sheets out");
    let sales = std::fs::read_to_string(farm.path("out/sales.csv")).expect("it was exported");
    assert_snapshot!(sales, @"");
    assert_snapshot!(farm.on("2026-04-11", "verify"), @"");
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
    assert_snapshot!(farm.on("2026-03-10", "verify"), @"");
    assert_snapshot!(farm.on("2026-03-10", "verify --json"), @"");
    farm.put(
        "diary.db",
        "not a diary at all, but long enough to be looked at as one by a careless reader",
    );
    assert_snapshot!(farm.on("2026-03-10", "verify"), @"");
}

#[test]
fn a_folder_without_a_farm_says_how_to_start_one() {
    assert_snapshot!(TestFarm::nowhere().on("2026-03-10", "feed A01 mix-1 300g"), @"");
    assert_snapshot!(TestFarm::nowhere().on("2026-03-10", "verify"), @"");
}

#[test]
fn the_order_within_a_minute_can_be_put_right() {
    let farm = two_beds();
    let _ = farm.on("2026-04-01", "skip A01 'about to be sieved'");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 2kg --clears all"), @"");
    assert_snapshot!(farm.on("2026-04-01", "sieve A01 --castings 2kg --clears all --when 2026-04-01T10:01"), @"");
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
        assert!(!done.contains("warning: "), "castlot {example}\n{done}");
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
