//! The looking commands end to end: trace, show, find, beds, stock and log, on the demo farm and on a small one.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm};

/// A farm with one bed, one batch and one run.
fn small() -> TestFarm {
    TestFarm::with(&[
        "2026-03-01 record bin --bin A01 --place R1/S1/P1 --species 'Eisenia fetida'",
        "2026-03-01 record delivery --kind bedding --name straw --supplier 'a farm' --amount 20kg --ref straw-1",
        "2026-03-01 record delivery --kind manure --name 'horse manure' --supplier 'a livery yard' --amount 30kg --ref manure-1",
        "2026-03-02 record bed --bin A01 --takes 'straw-1 6kg'",
        "2026-03-05 record feed --bin A01 --takes 'manure-1 2kg' --by NT",
        "2026-03-09 record feed --bin A01 --takes 'manure-1 1kg' --by RB",
        "2026-04-10 record sieving --kind castings --from A01 --amount 4kg --ref cast-1",
        "2026-04-14 record pack --product bag5 --count 3 --from 'cast-1 3kg' --ref run-1",
        "2026-04-18 record sale --packs 'run-1 #1' --buyer 'a nursery' --contact '01632 960214'",
        "2026-04-19 strike 6 --why 'wrong bin'",
    ])
}

#[test]
fn a_trace_tells_what_is_in_a_bag_and_who_has_it() {
    let farm = small();
    insta::assert_snapshot!(farm.on("2026-05-01", "trace run-1"), @"
        Worm-worked compost 5L (run-1), 3 packs filled 2026-04-14 10:00, 2 in store:
        P26104-01-R

        What is in it, by weight as recorded:
          75.0%  straw (straw-1)          a farm         G26060-01-N
          25.0%  horse manure (manure-1)  a livery yard  G26060-02-L

        Beds it was sieved or drawn from:
          bin  species    lived          taken       bed
          A01  E. fetida  2026-03-02 on  2026-04-10  B26061-01-B

        Who has packs of it, or had them:
          a nursery, 01632 960214
            2026-04-18  run-1 #1

        Who else has packs from these deliveries (out: with buyers):
                    runs  packs  out  in store  gone  see all with
          straw-1      1      3    1         2     0  castlot trace G26060-01-N
          manure-1     1      3    1         2     0  castlot trace G26060-02-L
        ");
    insta::assert_snapshot!(farm.on("2026-05-01", "trace P26104-01"), @"
        --- stderr ---
        error: `P26104-01` has a slip in it: its last character does not fit the rest
        hint: Worm-worked compost 5L (run-1): `castlot trace P26104-01-R`
        --- exit 2 ---
        ");
    insta::assert_snapshot!(farm.on("2026-05-01", "trace run-1 --json --min-share 30%"), @r#"
        {
          "subject": {
            "code": "P26104-01-R",
            "ref": "run-1",
            "kind": "pack run",
            "serial": null,
            "when": "2026-04-14T10:00"
          },
          "back": [
            {
              "code": "G26060-01-N",
              "ref": "straw-1",
              "kind": "bedding",
              "name": "straw",
              "supplier": "a farm",
              "relation": "part",
              "share": 0.75,
              "basis": "weighed",
              "first": "2026-03-02T09:00",
              "last": "2026-03-02T09:00"
            },
            {
              "code": "B26061-01-B",
              "ref": null,
              "kind": "bed",
              "name": null,
              "supplier": null,
              "relation": "part",
              "share": null,
              "basis": null,
              "first": "2026-04-10T10:00",
              "last": "2026-04-10T10:00"
            },
            {
              "code": "H26100-01-G",
              "ref": "cast-1",
              "kind": "castings",
              "name": null,
              "supplier": null,
              "relation": "part",
              "share": null,
              "basis": null,
              "first": "2026-04-14T10:00",
              "last": "2026-04-14T10:00"
            }
          ],
          "buyers": [
            {
              "buyer": "a nursery",
              "market": null,
              "contact": "01632 960214",
              "packs": [
                "P26104-01-R/0001"
              ],
              "unnumbered": 0,
              "when": "2026-04-18T10:00"
            }
          ]
        }
        --- stderr ---
        1 part under 30% left out
        "#);
}

#[test]
fn a_wrong_code_is_refused_with_the_nearest_ones() {
    let farm = small();
    insta::assert_snapshot!(farm.on("2026-05-01", "show P26104-01-X"), @"
        --- stderr ---
        error: `P26104-01-X` has a slip in it: its last character does not fit the rest
        hint: Worm-worked compost 5L (run-1): `castlot show P26104-01-R`
        --- exit 2 ---
        ");
    insta::assert_snapshot!(farm.on("2026-05-01", "show a1"), @"
        --- stderr ---
        error: no bin or rack is called `A1`
        hint: bin A01: `castlot show A01`
        --- exit 2 ---
        ");
}

#[test]
fn beds_stock_find_log_and_show_print_what_they_are_asked() {
    let farm = small();
    insta::assert_snapshot!(farm.on("2026-05-01", "beds"), @"
        R1
          bin  species    since       last fed                 bed
          A01  E. fetida  2026-03-02  2026-03-05 manure-1 2kg  B26061-01-B

        1 bed
        ");
    insta::assert_snapshot!(farm.on("2026-05-01", "stock"), @"
    2 packs in store, oldest first

    bag5: Worm-worked compost
             age  made  sold  store
      run-1   17     3     1      2  P26104-01-R

    What is left, oldest first (~ rests on a guess, ? nobody knows)

    Deliveries
                made  used  left
      straw-1   20kg   6kg  14kg  G26060-01-N
      manure-1  30kg   2kg  28kg  G26060-02-L

    Castings
              made  used  left
      cast-1   4kg   3kg   1kg  H26100-01-G
    ");
    insta::assert_snapshot!(farm.on("2026-05-01", "find one oh four --bought nursery"), @"
        Worm-worked compost 5L (run-1), packed 2026-04-14 10:00: P26104-01-R
          its code has 104 in it
          sold to a nursery on 2026-04-18
        ");
    insta::assert_snapshot!(farm.on("2026-05-01", "log --by RB"), @"
        2026-03-09
          6  09:00  RB  ~A01 fed manure-1 1kg~
                        struck by 10: wrong bin
        ");
    insta::assert_snapshot!(farm.on("2026-05-01", "show cast-1"), @"
        castings (cast-1): H26100-01-G
        taken 2026-04-10 10:00
        4kg, 1kg left

        2026-04-10
          7  10:00    4kg of castings taken from A01, as cast-1: H26100-01-G
        2026-04-14
          8  10:00    3 bags of Worm-worked compost 5L packed from cast-1 3kg, as run-1,
                      best by 2027-04-14: P26104-01-R
        ");
}

/// The story of the demo farm: the complaint's bag, and the manure behind it.
#[test]
fn the_demo_farms_complaint_leads_to_the_manure_and_that_to_the_people_to_ring() {
    let farm = TestFarm::demo();
    let back = farm.on("2026-11-01", "trace run-36/1");
    let largest = back
        .lines()
        .find(|line| line.contains('%'))
        .unwrap_or_default();
    assert!(largest.contains("horse manure, strawy"), "{back}");
    let forward = farm.on("2026-11-01", "trace manure-2");
    for line in [
        "a school garden on the hill, 01632 960342",
        "2026-06-22  run-36 #1-2",
        "2026-07-11  Quay market",
    ] {
        assert!(forward.contains(line), "{line}\n{forward}");
    }
}

/// Every page keeps to the width of a terminal, on a farm with long names.
#[test]
fn no_page_is_wider_than_a_terminal() {
    let farm = TestFarm::demo();
    for command in [
        "trace run-36",
        "trace manure-2",
        "trace run-81",
        "show manure-2",
        "show A07",
        "beds",
        "stock",
        "log 2026-04-14",
        "find 135 --bought 'Quay market' --about may",
    ] {
        let page = farm.on("2026-11-01", command);
        let wide = page.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "castlot {command}");
    }
}

#[test]
fn a_mark_in_capitals_an_address_of_another_and_a_bin_with_a_hyphen_are_understood() {
    let farm = TestFarm::demo();
    let plain = farm.on(DEMO_END, "show run-36");
    assert_eq!(farm.on(DEMO_END, "show RUN-36"), plain);
    let pack = farm.on(DEMO_END, "show run-36/1");
    assert_eq!(farm.on(DEMO_END, "show 'RUN-36#1'"), pack);
    assert_snapshot!(farm.on(DEMO_END, "show https://elsewhere.example/P26170-01-D?0001"), @"
    --- stderr ---
    error: `https://elsewhere.example` is no address of this farm
    hint: if labels carry it, add it to `old_bases` in castlot.toml
    hint: the code in it: `castlot show P26170-01-D`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "show A-07"), @"
    --- stderr ---
    error: no bin or rack is called `A-07`
    hint: bin A07: `castlot show A07`
    --- exit 2 ---
    ");
}
