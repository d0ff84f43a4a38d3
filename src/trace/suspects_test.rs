//! Tests of the line-up: farms of a few lots, worked out by hand.

use super::*;
use crate::farm::scenario::Scenario;
use crate::farm::{DateOrder, DeliveryKind};
use crate::trace::Verdict;

/// Two loads in three beds: the bad one in A01 and A02, both sieved after it; A03 clean. Six packs of each are sold.
fn farm() -> Scenario {
    Scenario::of(&[
        "2026-03-01 delivery straw bedding 90kg",
        "2026-03-01 delivery bad manure 50kg",
        "2026-03-01 delivery good manure 50kg",
        "2026-03-01 delivery reds worms 9kg",
        "2026-03-02 bed b1 A01 straw=4kg reds=1kg",
        "2026-03-02 bed b2 A02 straw=4kg reds=1kg",
        "2026-03-02 bed b3 A03 straw=4kg reds=1kg",
        "2026-03-10 feed A01 bad=2kg good=2kg",
        "2026-03-10 feed A02 bad=2kg",
        "2026-03-10 feed A03 good=2kg",
        "2026-04-01 sieve c1 castings 3kg all A01",
        "2026-04-01 sieve c2 castings 3kg all A02",
        "2026-04-01 sieve c3 castings 3kg all A03",
        "2026-04-02 pack p1 8 c1=2kg",
        "2026-04-02 pack p2 8 c2=2kg",
        "2026-04-02 pack p3 20 c3=2kg",
        "2026-04-03 sale p1/1-6",
        "2026-04-03 sale p2/x6",
        "2026-04-03 sale p3/1-18",
    ])
}

fn day(text: &str) -> Moment {
    Moment::read(text, DateOrder::YearMonthDay, &jiff::tz::TimeZone::UTC).expect("a day")
}

fn known(scenario: &Scenario, run: &str, serial: Option<u32>, when: &str) -> Complained {
    Complained {
        when: day(when),
        pack: Pack::Known(scenario.id(run), serial.and_then(Serial::new)),
    }
}

fn comes_with_a_load(sort: LotSort) -> bool {
    matches!(
        sort,
        LotSort::Delivery(DeliveryKind::Manure | DeliveryKind::Bedding)
    )
}

fn lineup(scenario: &Scenario, calls: &[Complained]) -> Lineup {
    suspects(
        &scenario.farm,
        &Charge {
            calls,
            way: Way::Part,
            lag: Some((30, 90)),
            can_start: &comes_with_a_load,
        },
    )
}

fn names(scenario: &Scenario, lineup: &Lineup) -> Vec<String> {
    let lots = lineup.suspects.iter().map(|suspect| suspect.lot);
    lots.map(|lot| {
        let lot = scenario.farm.lot(lot);
        lot.mark.as_ref().expect("every lot has one").to_string()
    })
    .collect()
}

#[test]
fn the_load_behind_the_complaints_ranks_before_what_it_passed_through() {
    let scenario = farm();
    let calls = [
        known(&scenario, "p1", Some(1), "2026-05-01"),
        known(&scenario, "p1", Some(2), "2026-05-02"),
        known(&scenario, "p2", None, "2026-05-03"),
    ];
    let lineup = lineup(&scenario, &calls);
    assert_eq!((lineup.sold, lineup.complained), (30, 3));
    assert_eq!(
        names(&scenario, &lineup),
        ["bad", "straw", "good", "b1", "c1", "b2", "c2"]
    );
    let bad = &lineup.suspects[0];
    let odds = Odds {
        exposed_complained: 3,
        exposed_other: 9,
        unexposed_complained: 0,
        unexposed_other: 18,
    };
    assert_eq!(bad.odds, odds);
    // 12 choose 3 of 30 choose 3: 220 of 4060.
    assert!((bad.p - 220.0 / 4060.0).abs() < 1e-12, "{}", bad.p);
    assert_eq!(bad.days, Some((52, 54)));
    assert!(bad.explains_all() && bad.is_in_time());
    assert_eq!(lineup.verdict(), Verdict::TooFew);
    assert_eq!(lineup.suspects[2].odds.exposed_complained, 2);
}

#[test]
fn two_calls_about_one_pack_are_one_pack() {
    let scenario = farm();
    let calls = [
        known(&scenario, "p1", Some(1), "2026-05-01"),
        known(&scenario, "p1", Some(1), "2026-05-09"),
    ];
    assert_eq!(lineup(&scenario, &calls).complained, 1);
}

#[test]
fn packs_that_came_back_unsold_are_not_sold_and_one_never_sold_is_if_somebody_has_it() {
    let mut scenario = farm();
    assert_eq!(scenario.try_row("2026-04-05 return p1/1-2"), Ok(()));
    let other = known(&scenario, "p2", None, "2026-05-01");
    assert_eq!(lineup(&scenario, &[other]).sold, 28);
    let rows = ["2026-04-06 return p2/x6"];
    assert_eq!(scenario.try_rows(&rows), Ok(()));
    let other = known(&scenario, "p2", None, "2026-05-01");
    assert_eq!(lineup(&scenario, &[other]).sold, 4 + 1 + 18);
}

#[test]
fn a_call_whose_run_is_not_known_counts_as_perhaps() {
    let scenario = farm();
    let maybe = |runs: &[&str]| Complained {
        when: day("2026-05-01"),
        pack: Pack::OneOf(runs.iter().map(|run| scenario.id(run)).collect()),
    };
    let calls = [
        known(&scenario, "p1", Some(1), "2026-05-01"),
        maybe(&["p1", "p2"]),
        maybe(&["p1", "p3"]),
    ];
    let told = lineup(&scenario, &calls);
    assert_eq!((told.complained, told.perhaps), (1, 2));
    let bad = told
        .suspects
        .iter()
        .find(|one| one.lot == scenario.id("bad"));
    assert_eq!(bad.map(|bad| bad.perhaps), Some((1, 2)));
    // Where no run is known at all, what fits every call however it is meant ranks first.
    let told = lineup(&scenario, &calls[1..]);
    assert_eq!(told.verdict(), Verdict::NoPack);
    assert_eq!(names(&scenario, &told)[..2], ["straw", "bad"]);
    assert_eq!(told.suspects[0].p, 1.0);
}

#[test]
fn what_cannot_be_told_apart_is_said_together() {
    let mut scenario = farm();
    let rows = [
        "2026-03-01 delivery twin manure 50kg",
        "2026-03-10 feed A01 twin=1kg",
        "2026-03-10 feed A02 twin=1kg",
    ];
    assert_eq!(scenario.try_rows(&rows), Ok(()));
    let calls: Vec<Complained> = (1..=4)
        .map(|serial| known(&scenario, "p1", Some(serial), "2026-05-01"))
        .chain([known(&scenario, "p2", None, "2026-05-01")])
        .collect();
    let lineup = lineup(&scenario, &calls);
    let alike = vec![scenario.id("bad"), scenario.id("twin")];
    assert_eq!(lineup.verdict(), Verdict::Alike(alike));
    let same: Vec<LotId> = lineup
        .same_as(&lineup.suspects[0])
        .map(|one| one.lot)
        .collect();
    assert_eq!(same, [scenario.id("twin")]);
}

#[test]
fn worms_are_sought_by_what_is_alive() {
    let mut scenario = farm();
    let rows = [
        "2026-04-01 sieve w1 worms 300g - A01",
        "2026-04-02 pack t1 5 w1=100g",
        "2026-04-03 sale t1/1-4",
    ];
    assert_eq!(scenario.try_rows(&rows), Ok(()));
    let calls = [known(&scenario, "t1", Some(1), "2026-04-05")];
    let can_start = |sort| sort == LotSort::Delivery(DeliveryKind::Worms);
    let told = suspects(
        &scenario.farm,
        &Charge {
            calls: &calls,
            way: Way::Live,
            lag: None,
            can_start: &can_start,
        },
    );
    assert_eq!(names(&scenario, &told), ["reds", "b1", "w1"]);
}

#[test]
fn the_test_that_tells_most_is_of_what_splits_the_suspects_and_has_a_sample() {
    let mut scenario = farm();
    let calls: Vec<Complained> = (1..=4)
        .map(|serial| known(&scenario, "p1", Some(serial), "2026-05-01"))
        .chain([known(&scenario, "p2", None, "2026-05-01")])
        .collect();
    let told = lineup(&scenario, &calls);
    let sample = told.most_telling(&scenario.farm, "bean");
    // No sample is kept, but there is some of the load left; `good` does not explain them all.
    assert_eq!(sample.map(|sample| sample.lot), Some(scenario.id("bad")));
    assert_eq!(scenario.try_row("2026-05-20 test bad bean pass"), Ok(()));
    let told = lineup(&scenario, &calls);
    let sample = told.most_telling(&scenario.farm, "bean");
    assert_eq!(sample.map(|sample| sample.lot), Some(scenario.id("straw")));
}
