//! From the telephone calls to the load behind them, on the demo farm as it was before anybody knew.

use insta::assert_snapshot;
use serde_json::Value;

use crate::dsl::{DEMO_END, TestFarm, refused};

/// The evening of the second call about leaves; the hold and the tests came after it.
const SECOND_CALL: &str = "2026-09-17";

fn json(farm: &TestFarm, line: &str) -> Value {
    let told = farm.on(DEMO_END, line);
    serde_json::from_str(&told).unwrap_or_else(|error| panic!("{error}: {told}"))
}

#[test]
fn two_calls_about_leaves_lead_to_the_load_behind_them() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, &format!("suspects --when {SECOND_CALL}")), @"
    2 complaints of twisted-leaves:
      call-2, 2026-08-06 18:50, run-36 #1: tomato tops curled and cupped like a
      fist, stems twisted
      call-3, 2026-09-17 19:20, run-44 #1: runner beans cupped and twisted, grass in
      the same pot fine
    Usually behind it: weedkiller carried over in manure, straw or green waste
    (aminopyralid, clopyralid).
    It usually shows 121 to 427 days after it went in; days in brackets lie outside
    that.
    378 packs sold, complaints of 2 of them.
    Open, and about something else: call-1.

    What it can have started with, the likeliest first; of the packs sold with it
    and without it, those complained of; p, how often chance alone does as much;
    days from it to the calls:
          lot                        with it   without      p      days  code
       1  horse manure, strawy       2 of 43  0 of 335  0.013    70-171  G26082-01-C
          (manure-2)
       2  spent brewers' grain      2 of 101  0 of 277  0.071  (63-112)  G26147-01-4
          (grain-3)
       3  shredded plain board      2 of 111  0 of 267  0.086  (63-112)  G26139-01-4
          (card-3)
       4  chopped barley straw      2 of 126  0 of 252   0.11  (86-146)  G26104-02-G
          (straw-4)
       5  field trimmings, leek     2 of 137  0 of 241   0.13  (63-133)  G26123-01-V
          and cabbage (trim-3)
       6  chopped barley straw      2 of 141  0 of 237   0.14   141-190  G26067-01-4
          (straw-2)
       7  horse manure (manure-3)   2 of 149  0 of 229   0.15  (63-105)  G26088-01-1
       8  chopped barley straw      2 of 155  0 of 223   0.17   114-183  G26076-01-X
          (straw-3)
       9  spent brewers' grain      2 of 155  0 of 223   0.17  (80-161)  G26095-01-9
          (grain-2)
      10  shredded plain board      2 of 155  0 of 223   0.17  (80-161)  G26095-02-7
          (card-2)
      and 10 more, with `--all`

    1. horse manure, strawy (manure-2): it reached both packs complained of;
    complaints of 4.7% of the packs with it and 0.0% of those without; p 0.013; went
    in 70 to 171 days before the calls, within the usual time.
    2. spent brewers' grain (grain-3): it reached both packs complained of;
    complaints of 2.0% of the packs with it and 0.0% of those without; p 0.071; went
    in 63 to 112 days before the calls, not within the usual time.
    3. shredded plain board (card-3): it reached both packs complained of;
    complaints of 1.8% of the packs with it and 0.0% of those without; p 0.086; went
    in 63 to 112 days before the calls, not within the usual time.

    horse manure, strawy (manure-2) stands out; but 20 were compared, and by chance
    alone the best of so many may look as bad (at most 25.3%): that is a reason to
    hold it and to test it, not a proof.
    The bean test that would tell most: the kept sample of horse manure, strawy
    (manure-2), jar 2; by the complaints alone it has 44.3% of the weight of all
    that can be tested.

    88 lots more upstream, beds, batches and other deliveries, can only have passed
    it on; see them with `--all`.
    ");
}

#[test]
fn the_load_behind_the_leaves_ranks_before_every_other_lot() {
    let farm = TestFarm::demo();
    let told = json(&farm, &format!("suspects --when {SECOND_CALL} --json"));
    let first = &told["suspects"][0];
    assert_eq!(first["ref"], "manure-2");
    assert_eq!(first["tested"], Value::Null, "nothing was known then");
    assert_eq!(first["in_time"], true);
    assert_eq!(
        (&told["verdict"], &told["sign"]),
        (&"leads".into(), &"twisted-leaves".into())
    );
    assert_eq!(
        (&told["test"]["ref"], &told["test"]["kept"]),
        (&"manure-2".into(), &"jar 2".into())
    );
    let calls: Vec<&str> = told["calls"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|call| call["name"].as_str())
        .collect();
    assert_eq!(calls, ["call-2", "call-3"]);
    // Beds and batches are ranked too, behind what the cause can have come with.
    let all = told["suspects"].as_array().expect("a list");
    let kinds: Vec<&str> = all.iter().filter_map(|one| one["kind"].as_str()).collect();
    assert!(kinds.contains(&"bed") && kinds.contains(&"castings") && all.len() > 50);
    let second = all[1]["p"].as_f64().expect("a number");
    assert!(second > 0.05, "the next one is not suspect: {second}");
}

#[test]
fn one_call_is_too_little_and_says_so() {
    let farm = TestFarm::demo();
    let told = json(&farm, "suspects --when 2026-08-06 --json");
    assert_eq!(told["verdict"], "too few");
    assert_eq!(told["complained"], 1);
}

#[test]
fn once_the_test_has_failed_it_is_said_instead_of_asked_for() {
    let farm = TestFarm::demo();
    let told = farm.on(DEMO_END, "suspects");
    assert!(
        told.contains("manure-2): its bean test of 2026-10-09 failed."),
        "{told}"
    );
    assert!(!told.contains("would tell most"), "{told}");
}

#[test]
fn thin_fast_worms_lead_to_the_delivery_by_what_is_alive() {
    let farm = TestFarm::demo();
    for serial in [1, 2] {
        farm.did(
            DEMO_END,
            &format!(
                "complaint take --when 2026-05-30 --sign 'thin fast worms' --pack 'run-19/{serial}'"
            ),
        );
    }
    assert_snapshot!(farm.on(DEMO_END, "suspects call-4 call-5 --when 2026-06-01"), @"
    2 complaints of wrong-species:
      call-4, 2026-05-30, run-19 #1: thin fast worms
      call-5, 2026-05-30, run-19 #2: thin fast worms
    Usually behind it: other worms in the stock.
    It usually shows 1 to 42 days after it went in; days in brackets lie outside
    that.
    106 packs sold, complaints of 2 of them.

    What it can have started with, the likeliest first; of the packs sold with it
    and without it, those complained of; p, how often chance alone does as much;
    days from it to the calls:
         lot                          with it   without      p  days  code
      1  bait worms, large (worms-4)   2 of 4  0 of 102  0.001    17  G26132-02-L

    1. bait worms, large (worms-4): it reached both packs complained of; complaints
    of 50.0% of the packs with it and 0.0% of those without; p 0.001; went in 17
    days before the calls, within the usual time.

    bait worms, large (worms-4) is the only one upstream that it can have started
    with.
    The species test that would tell most: what is left of bait worms, large
    (worms-4); nothing else that leads has a sample to test.
    ");
    let told = json(&farm, "suspects call-4 call-5 --when 2026-06-01 --json");
    assert_eq!(
        (&told["suspects"][0]["ref"], &told["way"]),
        (&"worms-4".into(), &"live".into())
    );
}

#[test]
fn a_sign_that_nobody_knows_and_a_call_that_is_not_there_are_refused() {
    let farm = TestFarm::demo();
    assert_snapshot!(refused(&farm, DEMO_END, "suspects --sign 'purple spots'"), @"
    --- stderr ---
    error: the table of signs has no word of `purple spots`
    hint: its rows: twisted-leaves, poor-breeding, seedlings, flies, sharp-bits, sour-smell, short-measure, dead-worms, wrong-species, mass-crawl, illness
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, DEMO_END, "suspects call-9"), @"
    --- stderr ---
    error: no complaint is called `call-9`
    hint: see every complaint with `castlot complaint list`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, DEMO_END, "suspects --sign glass"), @"
    --- stderr ---
    error: no open complaint is about sharp-bits
    hint: name the complaints that are, as in `castlot suspects call-1 --sign sharp-bits`
    --- exit 2 ---
    ");
}
