//! What a hold stops downstream, at which moment, and what a release frees.

use super::refusal::Refusal;
use super::relation::Relation;
use super::scenario::Scenario;

/// A load of dung in one bed, castings of it, a blend with clean ones, and worms moved on to another bed.
const FARM: [&str; 12] = [
    "2026-03-01 delivery dung manure 50kg",
    "2026-03-01 delivery straw bedding 50kg",
    "2026-03-02 bed b1 A01 straw=4kg dung=1kg",
    "2026-03-02 bed b2 A02 straw=4kg",
    "2026-03-20T09:00 sieve c1 castings 2kg - A01",
    "2026-03-20T09:00 sieve w1 worms 500g - A01",
    "2026-03-20T10:00 sieve c2 castings 2kg - A02",
    "2026-03-21 blend m1 castings c1=1kg c2=1kg",
    "2026-03-22 bed b3 A03 straw=4kg w1=200g",
    "2026-03-23 sieve c3 castings 1kg - A03",
    "2026-03-24 pack p1 2 m1=500g",
    "2026-04-01T12:00 hold dung",
];

fn held_for(scenario: &mut Scenario, row: &str) -> String {
    match scenario.try_row(row) {
        Err(Refusal::HeldFor { code, origin, .. }) => {
            assert_eq!(origin, scenario.lot("dung").code, "{row}");
            code.to_string()
        }
        other => panic!("{row}: {other:?}"),
    }
}

#[test]
fn what_a_hold_reaches_downstream_is_stopped_at_the_use() {
    let mut farm = Scenario::of(&FARM);
    for (row, stopped) in [
        ("2026-04-02 pack p2 1 m1=500g", "m1"),
        ("2026-04-02 sale p1/1", "p1"),
        ("2026-04-02 bed b4 A04 straw=1kg c1=1kg", "c1"),
        ("2026-04-02 blend m2 castings c1=1kg", "c1"),
        ("2026-04-02 split b5 A01 1/2 A05", "b1"),
        ("2026-04-02 tip A01 A06", "b1"),
    ] {
        let code = farm.lot(stopped).code.to_string();
        assert_eq!(held_for(&mut farm, row), code);
    }
    for row in [
        "2026-04-02 feed A01 straw=100g",
        "2026-04-02 check A01",
        "2026-04-02T18:00 sieve c9 castings 1kg A01 A01",
        "2026-04-02 count c1 900g",
        "2026-04-02 test m1 density 600",
        "2026-04-02 pack p3 1 c2=500g",
    ] {
        assert_eq!(farm.try_row(row), Ok(()), "{row}");
    }
    // What is sieved out of a held bed is held from then on.
    let code = farm.lot("c9").code.to_string();
    assert_eq!(held_for(&mut farm, "2026-04-03 pack p4 1 c9=500g"), code);
}

#[test]
fn what_worms_may_have_carried_is_flagged_and_not_stopped() {
    let mut farm = Scenario::of(&FARM);
    let carried = farm.farm.holdings()[0].reached();
    let carried: Vec<_> = carried
        .filter(|(_, how)| *how == Some(Relation::Carried))
        .map(|(lot, _)| lot)
        .collect();
    assert_eq!(carried, [farm.id("w1"), farm.id("b3"), farm.id("c3")]);
    assert_eq!(farm.try_row("2026-04-02 pack p2 1 c3=500g"), Ok(()));
    assert_eq!(farm.try_row("2026-04-03T12:00 hold dung all"), Ok(()));
    let code = farm.lot("c3").code.to_string();
    assert_eq!(held_for(&mut farm, "2026-04-04 pack p3 1 c3=100g"), code);
}

#[test]
fn a_use_before_the_hold_stands_and_one_recorded_late_is_judged_by_its_own_moment() {
    let mut farm = Scenario::of(&FARM);
    assert_eq!(farm.try_row("2026-03-30 pack p2 1 m1=500g"), Ok(()));
    assert_eq!(farm.try_row("2026-04-01T11:00 sale p1/1"), Ok(()));
    // The other way round: a hold that would stand before a use that is written already is refused.
    assert!(matches!(
        farm.try_row("2026-03-23 hold c1"),
        Err(Refusal::Upsets { .. })
    ));
}

#[test]
fn a_release_lifts_its_own_hold_only_and_of_a_lot_downstream_frees_that_alone() {
    let mut farm = Scenario::of(&FARM);
    assert_eq!(farm.try_row("2026-04-02 hold m1"), Ok(()));
    assert_eq!(farm.try_row("2026-04-03 release m1"), Ok(()));
    let code = farm.lot("m1").code.to_string();
    // Its own hold is lifted; that on the dung still reaches it.
    assert_eq!(held_for(&mut farm, "2026-04-04 pack p2 1 m1=100g"), code);
    assert_eq!(farm.try_row("2026-04-04 release m1"), Ok(()));
    assert_eq!(farm.try_row("2026-04-05T10:00 pack p2 1 m1=100g"), Ok(()));
    // Alone: what was made of it, and what is made of it now, waits for a release of its own.
    for run in ["p1", "p2"] {
        let code = farm.lot(run).code.to_string();
        assert_eq!(
            held_for(&mut farm, &format!("2026-04-06 sale {run}/1")),
            code
        );
    }
    assert_eq!(farm.try_row("2026-04-07 release p1"), Ok(()));
    assert_eq!(farm.try_row("2026-04-08 sale p1/1"), Ok(()));
    assert_eq!(farm.try_row("2026-04-09 release dung"), Ok(()));
    assert_eq!(farm.try_row("2026-04-10 sale p2/1"), Ok(()));
    assert_eq!(farm.farm.holdings(), []);
}

#[test]
fn a_reason_lets_packs_be_filled_all_the_same_and_stays_visible() {
    let mut farm = Scenario::of(&FARM);
    assert_eq!(farm.try_row("2026-04-02 pack p2 1 despite m1=500g"), Ok(()));
    let told = farm.warnings.last().map(ToString::to_string);
    let code = farm.lot("m1").code;
    let despite = format!("{code} is held; used despite that: asked for it");
    assert_eq!(told, Some(despite));
}

#[test]
fn flows_of_one_untimed_day_reach_in_any_order() {
    let mut farm = Scenario::of(&[
        "2026-03-01 delivery dung manure 50kg",
        "2026-03-01 delivery straw bedding 50kg",
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-10T12:00 hold dung",
    ]);
    // The castings are taken at noon; the bed was fed some time that day, out of dung that nobody knew of yet.
    assert_eq!(
        farm.try_row("2026-03-09T12:00 sieve c1 castings 1kg - A01"),
        Ok(())
    );
    assert_eq!(farm.try_row("2026-03-09 feed A01 dung=1kg"), Ok(()));
    let code = farm.lot("c1").code.to_string();
    assert_eq!(held_for(&mut farm, "2026-03-11 pack p1 1 c1=100g"), code);
}
