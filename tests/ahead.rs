//! What is ahead: how beds live, when cocoons hatch, and what is to be expected in the weeks to come.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm};

/// A farm with two beds, one of them in a shallow box, and no cycle that is over.
fn young() -> TestFarm {
    TestFarm::with(&[
        "2026-03-01 record bin --bin A01 --place R1/S1/P1 --length-mm 600 --width-mm 400 --depth-mm 150",
        "2026-03-01 record bin --bin A02 --place R1/S1/P2 --length-mm 600 --width-mm 400",
        "2026-03-01 record bin --bin A03 --place R1/S1/P3",
        "2026-03-01 record delivery --kind bedding --name straw --supplier someone --amount 50kg --ref straw",
        "2026-03-01 record delivery --kind manure --name 'horse manure' --supplier someone --amount 60kg --ref manure",
        "2026-03-01 record delivery --kind worms --name worms --supplier someone --amount 9kg --ref worms --species 'Eisenia fetida'",
        "2026-03-02 bed A01 'straw 4kg' 'worms 1kg' --species 'Eisenia fetida'",
        "2026-03-02 bed A02 'straw 4kg' 'worms 300g' --species 'Eisenia fetida'",
        "2026-03-02 bed A03 'straw 4kg' 'worms ?' --species 'Eisenia fetida'",
    ])
}

#[test]
fn beds_of_a_young_farm_go_by_the_rule_of_thumb_and_are_crowded_or_thin() {
    let farm = young();
    farm.did("2026-03-10", "check A01 --temp 31 --squeeze dry");
    farm.did("2026-03-10", "check A02 --temp 13 --moisture 55");
    assert_snapshot!(farm.on("2026-03-12", "bed-life"), @"");
}

#[test]
fn a_check_that_weighed_the_worms_goes_before_the_book() {
    let farm = young();
    farm.did("2026-03-20", "check A02 --worms 1.7kg");
    let told = farm.on("2026-03-21", "bed-life A02");
    let row = told.lines().find(|line| line.contains("A02"));
    assert_snapshot!(row.unwrap_or_default(), @"");
    assert!(told.contains("1 bed crowded: split"), "{told}");
}

#[test]
fn a_bed_that_has_run_longer_than_all_past_cycles_is_due_now() {
    let told = young().on("2026-04-20", "bed-life A01");
    assert!(told.contains("now: longer than any past cycle"), "{told}");
}

#[test]
fn beds_of_the_demo_farm_go_by_its_own_past() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "bed-life A08..A10"), @"");
    assert_snapshot!(farm.on(DEMO_END, "bed-life C12 --json"), @"");
    assert_snapshot!(farm.on(DEMO_END, "bed-life straw-1"), @"");
}

#[test]
fn hatcheries_are_told_source_by_source_and_narrowed_by_what_was_seen() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "hatchery"), @"");
    assert_snapshot!(farm.on(DEMO_END, "hatchery hatch-2 --json"), @"");
    assert_snapshot!(farm.on(DEMO_END, "hatchery A01"), @"");
}

#[test]
fn a_hatch_that_was_seen_to_end_is_over() {
    let farm = young();
    farm.did("2026-03-20", "sieve A01 --cocoons 200g");
    let batch = "H26079-01-W";
    let said = farm.on("2026-03-20", "hatchery");
    assert!(said.contains("not put into a bed yet"), "{said}");
    let code = said.split_whitespace().find(|word| word.starts_with('H'));
    let code = code.unwrap_or(batch).to_owned();
    farm.did("2026-03-20", &format!("bed A09 'straw 1kg' '{code} 200g'"));
    farm.did("2026-04-20", "check A09 --worms 0 --cocoons 12 --temp 17");
    farm.did("2026-05-20", "check A09 --worms 20 --cocoons 0 --temp 19");
    assert_snapshot!(farm.on("2026-05-21", "hatchery").replace(&code, "CODE"), @"");
}

#[test]
fn the_outlook_of_the_demo_farm() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "outlook"), @"");
}

#[test]
fn an_outlook_writes_its_chart_and_its_paper_the_same_each_time() {
    let farm = TestFarm::demo();
    let told = farm.on(DEMO_END, "outlook --weeks 2 --svg a.svg --out a.pdf");
    let talk = told.split_once("--- stderr ---").map(|(_, talk)| talk);
    assert_eq!(talk.map(str::trim), Some("chart: a.svg\npaper: a.pdf"));
    farm.did(DEMO_END, "outlook --weeks 2 --svg b.svg --out b.pdf");
    let read = |name: &str| std::fs::read(farm.path(name)).expect("it was written");
    assert!(read("a.pdf").starts_with(b"%PDF"));
    assert_eq!(read("a.pdf"), read("b.pdf"));
    assert_eq!(read("a.svg"), read("b.svg"));
    let svg = String::from_utf8(read("a.svg")).expect("SVG is text");
    assert_snapshot!(svg, @"");
}

#[test]
fn a_young_farm_has_an_outlook_by_the_rule_of_thumb_and_an_empty_one_none() {
    assert_snapshot!(young().on("2026-03-12", "outlook --weeks 4"), @"");
    assert_snapshot!(young().on("2026-03-12", "outlook --weeks 1 --json"), @"");
    assert_snapshot!(TestFarm::new().on("2026-03-12", "outlook"), @"");
    assert_snapshot!(TestFarm::new().on("2026-03-12", "bed-life"), @"");
    assert_snapshot!(TestFarm::new().on("2026-03-12", "hatchery"), @"");
    assert_snapshot!(TestFarm::new().on("2026-03-12", "outlook --weeks 0"), @"");
}
