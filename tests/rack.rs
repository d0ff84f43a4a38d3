//! Rows and the verbs of the rack: what each says, and that a refusal leaves the diary as it was.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm, refused, two_beds};

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
fn a_slip_in_a_code_and_a_bin_that_is_not_there_bring_what_may_have_been_meant() {
    let farm = TestFarm::demo();
    assert_snapshot!(refused(&farm, DEMO_END, "feed A1 mix-110 300g"), @"
    --- stderr ---
    error: bin A1 has no bed in it on 2026-11-01T09:00
    hint: if `A01` was meant, look at it with `castlot show A01`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, DEMO_END, "feed A02 G26082-01-D 300g"), @"
    --- stderr ---
    error: `G26082-01-D` has a slip in it: its last character does not fit the rest
    hint: if `G26082-01-C` was meant, look at it with `castlot show G26082-01-C`
    hint: if `G26081-01-K` was meant, look at it with `castlot show G26081-01-K`
    hint: if `H26082-01-F` was meant, look at it with `castlot show H26082-01-F`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, DEMO_END, "throw sift-93 --why sour"), @"
    --- stderr ---
    error: H26301-02-G is castings; a bed is wanted here
    hint: see what it is with `castlot show H26301-02-G`
    --- exit 2 ---
    ");
}

#[test]
fn what_a_hold_elsewhere_reaches_and_a_day_to_come_are_recorded_with_a_word() {
    let farm = TestFarm::demo();
    assert!(
        refused(&farm, DEMO_END, "sell run-63 all --to 'a garden'")
            .contains("is held because of G26082-01-C")
    );
    assert_snapshot!(farm.on(DEMO_END, "sell run-63 all --to 'a garden' --despite 'for the bean test'"), @"
    entry 4135
    1 pack sold to a garden, 2026-11-01
                                          best by     in store
      run-63 #3  Worm-worked compost 20L  2027-08-21         0  P26233-01-5
    --- stderr ---
    warning: P26233-01-5 is RECALLED for horse manure, strawy (manure-2) since 2026-10-09 10:00 (recall-1)
    warning: P26233-01-5 is ON HOLD for horse manure, strawy (manure-2) since 2026-09-18 16:30: two calls about curled leaves meet in this load; hay was never vouched for
    warning: P26233-01-5 is held; used despite that: for the bean test
    ");
    // Sold before anybody knew: nothing to say.
    assert_snapshot!(farm.on(DEMO_END, "sell run-63 x1 --to 'a garden' --when 2026-08-30"), @"
    entry 4136
    1 pack sold to a garden, 2026-08-30
                                          best by     in store
      run-63 x1  Worm-worked compost 20L  2027-08-21         0  P26233-01-5
    ");
    assert_snapshot!(farm.on(DEMO_END, "skip A02 full --when 2027-03-01"), @"
    entry 4137
    --- stderr ---
    warning: entry 4137 is of 2027-03-01, which is still to come
    ");
}
