//! The looking commands end to end: trace, show, find, beds, stock and log, on the demo farm and on a small one.

use crate::dsl::TestFarm;

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
    insta::assert_snapshot!(farm.on("2026-05-01", "trace run-1"), @"");
    insta::assert_snapshot!(farm.on("2026-05-01", "trace P26104-01"), @"");
    insta::assert_snapshot!(farm.on("2026-05-01", "trace run-1 --json --min-share 30%"), @"");
}

#[test]
fn a_wrong_code_is_refused_with_the_nearest_ones() {
    let farm = small();
    insta::assert_snapshot!(farm.on("2026-05-01", "show P26104-01-X"), @"");
    insta::assert_snapshot!(farm.on("2026-05-01", "show a1"), @"");
}

#[test]
fn beds_stock_find_log_and_show_print_what_they_are_asked() {
    let farm = small();
    insta::assert_snapshot!(farm.on("2026-05-01", "beds"), @"");
    insta::assert_snapshot!(farm.on("2026-05-01", "stock"), @"");
    insta::assert_snapshot!(farm.on("2026-05-01", "find one oh four --bought nursery"), @"");
    insta::assert_snapshot!(farm.on("2026-05-01", "log --by RB"), @"");
    insta::assert_snapshot!(farm.on("2026-05-01", "show cast-1"), @"");
}

/// The story of the demo farm: the complaint's bag, and the manure behind it.
#[test]
fn the_demo_farms_complaint_leads_to_the_manure_and_that_to_the_people_to_ring() {
    let farm = TestFarm::demo();
    let back = farm.on("2026-11-01", "trace run-36/1");
    let largest = back.lines().find(|line| line.contains('%')).unwrap_or_default();
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
