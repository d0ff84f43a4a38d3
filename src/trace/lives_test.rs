//! Lives and cycles of small farms.

use crate::farm::scenario::Scenario;
use crate::farm::{DateOrder, Moment};

use super::{cycles, fed, gaps, lives, weighed_worms};

fn farm() -> Scenario {
    Scenario::of(&[
        "2026-03-01 delivery straw bedding 50kg",
        "2026-03-01 delivery stock worms 5kg",
        "2026-03-02 bed b1 A01 straw=4kg stock=1kg",
        "2026-03-02 bed b2 A02 straw=4kg stock=1kg",
        "2026-03-12 split b3 A02 1/4 A03",
        "2026-03-30 sieve c1 castings - - A01=2kg",
        "2026-03-30 sieve w1 worms - A01 A01=1.1kg",
        "2026-04-02 bed b4 A01 straw=4kg w1=500g",
    ])
}

#[test]
fn a_cycle_runs_from_bedding_up_to_the_clearing() {
    let farm = farm().farm;
    let over = cycles(&farm, &lives(&farm));
    let told: Vec<_> = over
        .iter()
        .map(|c| (c.days(), c.castings, c.worms_in, c.worms_out))
        .collect();
    assert_eq!(told, [(28, Some(2_000), Some(1_000), Some(1_100))]);
    assert_eq!(gaps(&farm), [3]);
}

#[test]
fn a_split_takes_its_share_of_the_worms_and_its_age_along() {
    let scenario = farm();
    let lives = lives(&scenario.farm);
    let of = |mark| &lives[&scenario.id(mark)];
    assert_eq!(of("b2").worms_now(), Some(750));
    assert_eq!(of("b3").worms_now(), Some(250));
    assert_eq!(of("b3").since, of("b2").since);
    assert_eq!(of("b1").worms_now(), Some(0));
}

#[test]
fn a_check_that_weighed_the_worms_goes_before_the_book() {
    let scenario = farm();
    let lives = lives(&scenario.farm);
    let zone = jiff::tz::TimeZone::UTC;
    let day = |text| Moment::read(text, DateOrder::YearMonthDay, &zone).expect("a day");
    let bed = &lives[&scenario.id("b2")];
    assert_eq!(bed.worms_since(day("2026-03-20"), 1_300), Some(1_300));
    assert_eq!(bed.worms_since(day("2026-03-05"), 1_300), Some(1_050));
    assert_eq!(weighed_worms("1.3kg"), Some(1_300));
    assert_eq!(weighed_worms("14"), None);
    assert_eq!(weighed_worms("lively"), None);
}

#[test]
fn only_feeds_count_as_feed() {
    let scenario = Scenario::of(&[
        "2026-03-01 delivery straw bedding 50kg",
        "2026-03-01 delivery dung manure 50kg",
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-09 feed A01 dung=2kg straw=500g",
        "2026-03-10 feed A01 dung=?",
    ]);
    let amounts: Vec<Option<i64>> = fed(&scenario.farm)
        .iter()
        .map(|(_, grams)| *grams)
        .collect();
    assert_eq!(amounts, [Some(2_000), Some(500), None]);
}

#[test]
fn a_split_off_half_and_a_bed_without_worms_are_no_cycles() {
    let mut scenario = farm();
    for row in [
        "2026-04-20 sieve c2 castings - all A03=1kg",
        "2026-04-21 bed b5 A03 straw=4kg",
        "2026-05-20 sieve c3 castings - all A03=1kg",
    ] {
        assert_eq!(scenario.try_row(row), Ok(()), "{row}");
    }
    let lives = lives(&scenario.farm);
    assert_eq!(cycles(&scenario.farm, &lives).len(), 1);
    assert!(!lives[&scenario.id("b5")].has_worms());
    assert_eq!(lives[&scenario.id("b3")].castings, Some(1_000));
}
