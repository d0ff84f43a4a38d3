//! Lives and cycles of small farms.

use crate::farm::scenario::Scenario;
use crate::farm::{DateOrder, Moment};

use super::{cycles, gaps, lives, weighed_worms};

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
