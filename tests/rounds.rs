//! The round, its sheet taken back, the scan loop, and rack cards: what each says, and what each leaves in the diary.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm, refused, two_beds};

#[test]
fn the_round_lists_what_is_due_in_walking_order_with_why() {
    let farm = two_beds();
    farm.did("2026-03-04", "feed A01 mix-1 300g");
    farm.did("2026-03-06", "check A01 --feed-left some");
    assert_snapshot!(farm.on("2026-03-07", "round"), @"");
    assert_snapshot!(farm.on("2026-03-08", "round --rack r1 --due"), @"");
    // What was known on an earlier day, whatever has come since.
    assert_snapshot!(farm.on("2026-03-08", "round --day 2026-03-03"), @"");
    assert_snapshot!(refused(&farm, "2026-03-08", "round --rack R7"), @"");
    assert_snapshot!(farm.on("2026-03-08", "--json round"), @"");
}

#[test]
fn a_farms_own_interval_and_rate_go_before_ours_and_a_wrong_one_is_refused_with_its_line() {
    let farm = two_beds();
    farm.did(
        "2026-03-01",
        "record bin --bin B01 --place R2/S1/P1 --species 'Eisenia fetida'",
    );
    farm.did("2026-03-02", "bed B01 straw-1 4kg worms-1 1kg");
    farm.did("2026-03-04", "feed B01 mix-1 300g");
    let settings = std::fs::read_to_string(farm.path("castlot.toml")).expect("it is there");
    let with = |table: &str| farm.put("castlot.toml", format!("{settings}\n{table}\n"));
    with("[feeding.\"E. fetida\"]\nevery_days = 5\nrate = 0.2");
    assert_snapshot!(farm.on("2026-03-09", "round --rack R2"), @"");
    with("[feeding.\"E. fetida\"]\nevery_days = 0");
    assert_snapshot!(farm.on("2026-03-09", "round"), @"");
    with("[feeding.\"E. fetida\"]\nrate = 70");
    assert_snapshot!(farm.on("2026-03-09", "round"), @"");
    with("[round]\nlook_days = 3\nlook = 2");
    assert!(
        farm.on("2026-03-09", "round")
            .contains("unknown field `look`")
    );
}

#[test]
fn a_sheet_is_taken_back_key_by_key_and_what_is_blank_is_named() {
    let farm = two_beds();
    let told = farm.typed(
        "2026-03-05",
        "round record 2026-03-05/R1",
        "?\nz\nn d f 300\n\n",
    );
    assert_snapshot!(told, @"");
    // Only what is left is asked for.
    assert_snapshot!(farm.typed("2026-03-05", "round record 2026-03-05/R1", "s k food left\n"), @"");
    assert_snapshot!(farm.on("2026-03-05", "round"), @"");
    farm.did("2026-03-06", "export --sheets out");
    let sheets = ["checks", "feeds", "skips"].map(|sheet| {
        std::fs::read_to_string(farm.path(&format!("out/{sheet}.csv"))).expect("it was exported")
    });
    assert_snapshot!(sheets.join("\n"), @"");
}

#[test]
fn a_round_of_yesterday_is_written_under_its_own_day_and_for_its_own_beds() {
    let farm = two_beds();
    // Since then A01 was sieved and bedded up anew, and must not be fed by the sheet.
    farm.did("2026-03-05T15:00", "sieve A01 --castings 1kg --clears all");
    farm.did("2026-03-06", "bed A01 straw-1 1kg worms-1 100g");
    let told = farm.typed("2026-03-06", "round record 2026-03-04", "f 300\nA02 n f\n");
    assert_snapshot!(told, @"");
    assert_snapshot!(farm.on("2026-03-06", "log --bed A01"), @"");
    assert_snapshot!(farm.on("2026-03-06", "round record 2026-03-09"), @"");
}

#[test]
fn a_round_that_is_given_up_or_refused_leaves_nothing() {
    let farm = two_beds();
    let before = farm.diary();
    assert_snapshot!(farm.typed("2026-03-05", "round record 2026-03-05", "n f 300\nx\n"), @"");
    // What cannot be is asked again; here it is left blank.
    assert_snapshot!(farm.typed("2026-03-05", "round record 2026-03-05", "f mix-9 300\nf 90kg\n\n\n"), @"");
    assert!(farm.diary() == before, "nothing was to be recorded");
}

#[test]
fn a_bin_in_the_wrong_place_is_found_by_the_round_and_takes_its_bed_along() {
    let farm = two_beds();
    farm.did("2026-03-04", "feed A01 mix-1 300g");
    let told = farm.typed(
        "2026-03-07",
        "round record 2026-03-07",
        "at R1/S1/P1 A02\n@R2/S1/P1 n f 200\nf 500\n",
    );
    assert_snapshot!(told, @"");
    assert_snapshot!(farm.on("2026-03-08", "round"), @"");
}

#[test]
fn a_sheet_filled_in_as_csv_is_taken_whole_or_not_at_all() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-03-05", "paper round-sheet --csv round.csv"), @"");
    let empty = std::fs::read_to_string(farm.path("round.csv")).expect("it was written");
    assert_snapshot!(empty, @"");
    assert_snapshot!(farm.on("2026-03-05", "round record 2026-03-05 --sheet round.csv"), @"");
    farm.put(
        "round.csv",
        "bin,feed_left,fed,skipped\nA01,plenty,300g,\nA09,,yes,\nA02,none,yes,rain\n",
    );
    assert_snapshot!(refused(&farm, "2026-03-05", "round record 2026-03-05 --sheet round.csv"), @"");
    farm.put(
        "round.csv",
        "bin;fed;feed_left;worms;note\nA01;yes;none;yes;\nB26061-02-9;mix-1 250g;some;;thin\n",
    );
    assert_snapshot!(farm.on("2026-03-05", "round record 2026-03-05 --sheet round.csv"), @"");
    assert_snapshot!(farm.on("2026-03-05", "log"), @"");
}

#[test]
fn a_scanner_feeds_skips_moves_and_undoes_a_line_at_a_time() {
    let farm = TestFarm::demo();
    let lines = "\
        f 300\n\
        use mix-109\n\
        HTTP://192.168.1.20:8080/BIN/A07\n\
        f 300\n\
        f\n\
        undo\n\
        B26293-04-P\n\
        s food left\n\
        c s d u\n\
        R1/S1/P1\n\
        A05\n\
        m R1/S1/P9\n\
        undo\n\
        a11\n\
        ?\n\
        f manure-1 1t\n\
        use mix-999\n\
        nonsense here\n\
        HTTP://192.168.1.20:8080/RACK/R2\n\
        undo\nundo\nundo\nundo\n\
        h\nq\nA01\n";
    assert_snapshot!(farm.typed(DEMO_END, "scan", lines), @"");
}

#[test]
fn a_scanner_may_type_anything_and_ends_nothing() {
    let farm = two_beds();
    let before = farm.diary();
    let lines = "\u{feff}\n\t\nm\nA01\nm nowhere\ns\nc\nc zz\nf x y z\nf -3\nf 99999999999999999999\nuse\nuse a b\nat\nundo\né f\n";
    let told = farm.typed("2026-03-05", "scan", lines);
    assert!(farm.diary() == before, "{told}");
    assert!(!told.contains("--- "), "{told}");
    let answers = told.lines().count();
    // Every line but the empty ones is answered in one.
    assert_eq!(
        answers,
        lines.lines().filter(|line| !line.trim().is_empty()).count(),
        "{told}"
    );
}

#[test]
fn a_card_shows_a_rack_and_a_sheet_is_the_same_bytes_again() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "paper rack-card r3"), @"");
    assert_snapshot!(farm.on(DEMO_END, "paper rack-card R3 --a5 --out small.pdf"), @"");
    assert_snapshot!(farm.on(DEMO_END, "paper rack-card R9"), @"");
    assert_snapshot!(farm.on(DEMO_END, "paper round-sheet --rack R2"), @"");
    let first = std::fs::read(farm.path("round-2026-11-01-R2.pdf")).expect("it was written");
    farm.did(DEMO_END, "paper round-sheet --rack R2 --out again.pdf");
    let again = std::fs::read(farm.path("again.pdf")).expect("it was written");
    assert!(first == again && first.starts_with(b"%PDF"));
    let empty = TestFarm::new();
    assert_snapshot!(empty.on("2026-03-01", "paper round-sheet"), @"");
}
