//! The round, its sheet taken back, the scan loop, and rack cards: what each says, and what each leaves in the diary.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm, refused, two_beds};

#[test]
fn the_round_lists_what_is_due_in_walking_order_with_why() {
    let farm = two_beds();
    farm.did("2026-03-04", "feed A01 mix-1 300g");
    farm.did("2026-03-06", "check A01 --feed-left some");
    assert_snapshot!(farm.on("2026-03-07", "round"), @"
    R1
      bin  days  fed, days ago  left  give         why
      A01     5  3:300g         some  not yet      some left 1 d ago
      A02     5                       1.5kg mix-1  new, day 5

    round 2026-03-07: 1 of 2 beds to feed, 0 to look at; of the others the next on 2026-03-08
    1.5kg of mix-1, of which 10.7kg is left
    ");
    assert_snapshot!(farm.on("2026-03-08", "round --rack r1 --due"), @"
    R1
      bin  days  fed, days ago  left  give         why
      A01     6  4:300g         some  look         some left 2 d ago
      A02     6                       1.5kg mix-1  new, day 6

    round 2026-03-08/R1: 1 of 2 beds to feed, 1 to look at
    1.5kg of mix-1, of which 10.7kg is left
    ");
    // What was known on an earlier day, whatever has come since.
    assert_snapshot!(farm.on("2026-03-08", "round --day 2026-03-03"), @"
    R1
      bin  days  give     why
      A01     1  not yet  new, day 1
      A02     1  not yet  new, day 1

    round 2026-03-03: 0 of 2 beds to feed, 0 to look at; of the others the next on 2026-03-04
    ");
    assert_snapshot!(refused(&farm, "2026-03-08", "round --rack R7"), @"
    --- stderr ---
    error: no bin stands on rack `R7`
    hint: see every bed and its rack with `castlot beds`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-03-08", "--json round"), @r#"
    {
      "round": "2026-03-08",
      "day": "2026-03-08",
      "rack": null,
      "beds": [
        {
          "bin": "A01",
          "place": "R1/S1/P1",
          "code": "B26061-01-B",
          "ref": null,
          "species": null,
          "since": "2026-03-02T09:00",
          "days": 6,
          "feeds": [
            {
              "when": "2026-03-04T09:00",
              "takes": [
                "H26062-01-A 300g"
              ]
            }
          ],
          "left": {
            "when": "2026-03-06",
            "feed_left": "some"
          },
          "warmth": null,
          "every_days": 3,
          "due": "look",
          "why": "some left on 2026-03-06",
          "next": null,
          "give": {
            "lot": "H26062-01-A",
            "ref": "mix-1",
            "amount": "300g",
            "most": 1500
          },
          "held": false
        },
        {
          "bin": "A02",
          "place": "R1/S1/P2",
          "code": "B26061-02-9",
          "ref": null,
          "species": null,
          "since": "2026-03-02T09:00",
          "days": 6,
          "feeds": [],
          "left": null,
          "warmth": null,
          "every_days": 3,
          "due": "feed",
          "why": "new, bedded on 2026-03-02",
          "next": null,
          "give": {
            "lot": "H26062-01-A",
            "ref": "mix-1",
            "amount": "1.5kg",
            "most": 3000
          },
          "held": false
        }
      ]
    }
    "#);
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
    assert_snapshot!(farm.on("2026-03-09", "round --rack R2"), @"
    R2
      bin  species    days  fed, days ago  give       why
      B01  E. fetida     7  5:300g         1kg mix-1  day 5 of 5

    round 2026-03-09/R2: 1 of 1 bed to feed, 0 to look at
    1kg of mix-1, of which 10.7kg is left
    ");
    with("[feeding.\"E. fetida\"]\nevery_days = 0");
    assert_snapshot!(farm.on("2026-03-09", "round"), @"
    --- stderr ---
    error: castlot.toml, line 104: feeding `E. fetida`: every_days is 0; it is 1 to 60
    --- exit 2 ---
    ");
    with("[feeding.\"E. fetida\"]\nrate = 70");
    assert_snapshot!(farm.on("2026-03-09", "round"), @"
    --- stderr ---
    error: castlot.toml, line 104: feeding `E. fetida`: rate is 70; write kilograms of feed to a kilogram of worms and day, up to 2
    --- exit 2 ---
    ");
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
    assert_snapshot!(told, @"
    entry 9
    entry 10
    --- stderr ---
    round 2026-03-05/R1: 2 beds; `?` tells the keys
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    food left: n none, s some, l lots | squeeze: d dry, r drops, t stream | smell: e earth, o sour, a ammonia | worms up the side: u yes, v no | fed: f, f 300, f mix-17 300g | skipped: k and why | @R1/S1/P3 where it was found
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    error: `z` is no key of the sheet; `?` tells them
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    A02 R1/S1/P2 B26061-02-9 feed 1.5kg mix-1, new, bedded on 2026-03-02
    error: 1 row is blank: A02
    hint: `castlot round record 2026-03-05/R1` asks for what is left
    --- exit 1 ---
    ");
    // Only what is left is asked for.
    assert_snapshot!(farm.typed("2026-03-05", "round record 2026-03-05/R1", "s k food left\n"), @"
    entry 11
    entry 12
    --- stderr ---
    round 2026-03-05/R1: 1 bed; `?` tells the keys
    A02 R1/S1/P2 B26061-02-9 feed 1.5kg mix-1, new, bedded on 2026-03-02
    ");
    assert_snapshot!(farm.on("2026-03-05", "round"), @"
    R1
      bin  days  fed, days ago  left  give     why
      A01     3  0:300g         none  not yet  fed today
      A02     3                 some  not yet  some left today

    round 2026-03-05: 0 of 2 beds to feed, 0 to look at; of the others the next on 2026-03-07
    ");
    farm.did("2026-03-06", "export --sheets out");
    let sheets = ["checks", "feeds", "skips"].map(|sheet| {
        std::fs::read_to_string(farm.path(&format!("out/{sheet}.csv"))).expect("it was exported")
    });
    assert_snapshot!(sheets.join("\n"), @"
    when,bin,feed_left,squeeze,moisture,temperature_c,ph,worms,cocoons,smell,pests,by,note
    2026-03-05T09:00,B26061-01-B,none,dry,,,,,,,,,
    2026-03-05T09:00,B26061-02-9,some,,,,,,,,,,

    when,bin,takes,by,note
    2026-03-05T09:00,B26061-01-B,H26062-01-A 300g,,

    when,bin,why,by,note
    2026-03-05T09:00,B26061-02-9,food left,,
    ");
}

#[test]
fn a_round_of_yesterday_is_written_under_its_own_day_and_for_its_own_beds() {
    let farm = two_beds();
    // Since then A01 was sieved and bedded up anew, and must not be fed by the sheet.
    farm.did("2026-03-05T15:00", "sieve A01 --castings 1kg --clears all");
    farm.did("2026-03-06", "bed A01 straw-1 1kg worms-1 100g");
    let told = farm.typed("2026-03-06", "round record 2026-03-04", "f 300\nA02 n f\n");
    assert_snapshot!(told, @"
    entry 11
    entry 12
    entry 13
    --- stderr ---
    round 2026-03-04: 2 beds; `?` tells the keys
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    A02 R1/S1/P2 B26061-02-9 feed 1.5kg mix-1, new, bedded on 2026-03-02
    ");
    assert_snapshot!(farm.on("2026-03-06", "log A01"), @"
    2026-03-01
       1  09:00    bin A01 set up at R1/S1/P1
    2026-03-02
       6  09:00    A01 bedded up from straw-1 4kg, worms-1 1kg: B26061-01-B
    2026-03-04
      11           bed B26061-01-B fed mix-1 300g
    2026-03-05
       9  15:00    1kg of castings taken from A01, all cleared: H26064-01-V
    2026-03-06
      10  09:00    A01 bedded up from straw-1 1kg, worms-1 100g: B26065-01-G
    ");
    assert_snapshot!(farm.on("2026-03-06", "round record 2026-03-09"), @"
    --- stderr ---
    error: round 2026-03-09 is of a day to come
    --- exit 2 ---
    ");
}

#[test]
fn a_round_that_is_given_up_or_refused_leaves_nothing() {
    let farm = two_beds();
    let before = farm.diary();
    assert_snapshot!(farm.typed("2026-03-05", "round record 2026-03-05", "n f 300\nx\n"), @"
    --- stderr ---
    round 2026-03-05: 2 beds; `?` tells the keys
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    A02 R1/S1/P2 B26061-02-9 feed 1.5kg mix-1, new, bedded on 2026-03-02
    error: given up; nothing was recorded
    --- exit 2 ---
    ");
    // What cannot be is asked again; here it is left blank.
    assert_snapshot!(farm.typed("2026-03-05", "round record 2026-03-05", "f mix-9 300\nf 90kg\n\n\n"), @"
    --- stderr ---
    round 2026-03-05: 2 beds; `?` tells the keys
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    error: no lot has the ref `mix-9`
    hint: if `mix-1` was meant, look at it with `castlot show mix-1`
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    error: H26062-01-A had 11kg left, and 90kg is drawn
    hint: if more is really there, count it first: `castlot record count --lot H26062-01-A --found 90kg --why WHY`
    A01 R1/S1/P1 B26061-01-B feed 750g mix-1, new, bedded on 2026-03-02
    A02 R1/S1/P2 B26061-02-9 feed 1.5kg mix-1, new, bedded on 2026-03-02
    error: 2 rows are blank: A01 and A02
    hint: `castlot round record 2026-03-05` asks for what is left
    --- exit 1 ---
    ");
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
    assert_snapshot!(told, @"
    entry 10
    entry 11
    entry 12
    entry 13
    entry 14
    --- stderr ---
    round 2026-03-07: 2 beds; `?` tells the keys
    A01 R1/S1/P1 B26061-01-B feed 300g mix-1, fed on 2026-03-04, every 3 days
    A01 R1/S1/P1 B26061-01-B feed 300g mix-1, fed on 2026-03-04, every 3 days
    A02 R1/S1/P2 B26061-02-9 feed 1.5kg mix-1, new, bedded on 2026-03-02
    warning: entry 10: R1/S1/P1 is where bin A01 stands; bin A02 is put there too
    ");
    assert_snapshot!(farm.on("2026-03-08", "round"), @"
    R1
      bin  days  fed, days ago  give     why
      A02     6  1:500g         not yet  day 1 of 3

    R2
      bin  days  fed, days ago  left  give     why
      A01     6  1:200g 4:300g  none  not yet  day 1 of 3

    round 2026-03-08: 0 of 2 beds to feed, 0 to look at; of the others the next on 2026-03-10
    ");
}

#[test]
fn a_sheet_filled_in_as_csv_is_taken_whole_or_not_at_all() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-03-05", "paper round-sheet --csv round.csv"), @"
    round-2026-03-05.pdf
    2 rows: round.csv
    ");
    let empty = std::fs::read_to_string(farm.path("round.csv")).expect("it was written");
    assert_snapshot!(empty, @"
    bin,feed_left,squeeze,fed,skipped,smell,worms,place,note
    A01,,,,,,,R1/S1/P1,
    A02,,,,,,,R1/S1/P2,
    ");
    assert_snapshot!(farm.on("2026-03-05", "round record 2026-03-05 --sheet round.csv"), @"
    --- stderr ---
    error: 2 rows are blank: A01 and A02
    hint: `castlot round record 2026-03-05` asks for what is left
    --- exit 1 ---
    ");
    farm.put(
        "round.csv",
        "bin,feed_left,fed,skipped\nA01,plenty,300g,\nA09,,yes,\nA02,none,yes,rain\n",
    );
    assert_snapshot!(refused(&farm, "2026-03-05", "round record 2026-03-05 --sheet round.csv"), @"
    --- stderr ---
    error: round.csv, row 2: `plenty` is not known here; write `none`, `some`, or `lots`
    error: round.csv, row 3: no bed is in `A09`
    error: round.csv, row 4: A02 is fed and skipped in one row
    hint: see every bed with `castlot beds`
    --- exit 2 ---
    ");
    farm.put(
        "round.csv",
        "bin;fed;feed_left;worms;note\nA01;yes;none;yes;\nB26061-02-9;mix-1 250g;some;;thin\n",
    );
    assert_snapshot!(farm.on("2026-03-05", "round record 2026-03-05 --sheet round.csv"), @"
    entry 9
    entry 10
    entry 11
    entry 12
    ");
    assert_snapshot!(farm.on("2026-03-05", "log"), @"
    2026-03-01
       3  09:00    50kg of straw (bedding) came from a farm, as straw-1: G26060-01-N
       4  09:00    5kg of worms (worms) came from a breeder, as worms-1: G26060-02-L
       5  09:00    100kg of horse manure (manure) came from a livery yard, as
                   manure-1: G26060-03-J
       1  09:00    bin A01 set up at R1/S1/P1
       2  09:00    bin A02 set up at R1/S1/P2
    2026-03-02
       6  09:00    A01 bedded up from straw-1 4kg, worms-1 1kg: B26061-01-B
       7  09:00    A02 bedded up from straw-1 8kg, worms-1 2kg: B26061-02-9
    2026-03-03
       8  09:00    feed mixed from manure-1 10kg, straw-1 1kg, as mix-1: H26062-01-A
    2026-03-05
      10  09:00    bed B26061-01-B (in A01) fed mix-1 750g
      12  09:00    bed B26061-02-9 (in A02) fed mix-1 250g [thin]
       9  09:00    bed B26061-01-B (in A01) looked at: none of the feed left, worms
                   up the side
      11  09:00    bed B26061-02-9 (in A02) looked at: some of the feed left [thin]
    ");
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
    assert_snapshot!(farm.typed(DEMO_END, "scan", lines), @"
    no: no bin is at hand; scan one
    using feed (mix-109), 2.805kg left
    A07: E. fetida, 12 days, feed 660g mix-110, fed on 2026-10-29, every 3 days, B26293-03-R
    A07: fed mix-109 300g: entry 4135
    no: A07 is not due (fed on 2026-11-01); say how much, as in `f 300`
    entry 4135 is struck out
    A08: E. fetida, 12 days, feed 660g mix-110, none left on 2026-10-31, B26293-04-P
    A08: skipped, food left: entry 4137
    A08: check some, dry, up the side: entry 4138
    at R1/S1/P1: scan the bin that stands here
    A05: E. fetida, 12 days, feed 660g mix-110, fed on 2026-10-29, every 3 days, B26293-01-V; it is noted at R1/S2/P1: `m R1/S1/P1` puts it here
    A05: moved to R1/S1/P9: entry 4139
    entry 4139 is struck out
    A11: E. fetida, 25 days, feed 660g mix-110, fed on 2026-10-29, every 3 days, B26280-02-W
    A11: E. fetida, 25 days, feed 660g mix-110, fed on 2026-10-29, every 3 days, B26280-02-W
    no: `1t` has the unit `t`, which is not known; use g, kg, mL, L, none for pieces, or one from [measure]
    no: no lot, bin or rack is called `mix-999`
    no: `nonsense here` is not a lot code; one looks like `P26115-07-S`
    rack R2: due B01, B02, B03, B04, B05, B06, B07, B08, B09, B10, B11, B12
    entry 4138 is struck out
    entry 4137 is struck out
    no: nothing of this loop is left to undo
    no: nothing of this loop is left to undo
    scan a bin; f, f 300, f mix-17 300g | s why | c n d | m R2/S1/P3 | ? shows it | use mix-17 | R2/S1/P3: where you stand | undo | q
    ");
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
    assert_snapshot!(farm.on(DEMO_END, "paper rack-card r3"), @"rack-R3.pdf");
    assert_snapshot!(farm.on(DEMO_END, "paper rack-card R3 --a5 --out small.pdf"), @"small.pdf");
    assert_snapshot!(farm.on(DEMO_END, "paper rack-card R9"), @"
    --- stderr ---
    error: no bin stands on rack `R9`
    hint: see every bed and its rack with `castlot beds`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper round-sheet --rack R2"), @"round-2026-11-01-R2.pdf");
    let first = std::fs::read(farm.path("round-2026-11-01-R2.pdf")).expect("it was written");
    farm.did(DEMO_END, "paper round-sheet --rack R2 --out again.pdf");
    let again = std::fs::read(farm.path("again.pdf")).expect("it was written");
    assert!(first == again && first.starts_with(b"%PDF"));
    let empty = TestFarm::new();
    assert_snapshot!(empty.on("2026-03-01", "paper round-sheet"), @"
    --- stderr ---
    error: there is no bed to go round to
    hint: see what stands where with `castlot beds`
    --- exit 2 ---
    ");
}
