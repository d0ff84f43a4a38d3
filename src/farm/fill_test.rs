//! What the packs of a run were found to hold, worked by hand.

use super::scenario::Scenario;
use super::tenths::Tenths;
use super::{Moment, Much, Unit};

/// A batch of castings and one of worms; five-litre bags of the one, tubs of fifty of the other.
const PACKED: &[&str] = &[
    "2026-03-01 delivery straw bedding 100kg",
    "2026-03-01 delivery stock worms 10kg",
    "2026-03-02 bed b1 A01 straw=40kg stock=4kg",
    "2026-03-30 sieve c1 castings 20kg - A01",
    "2026-03-30 sieve c2 castings 20kg - A01",
    "2026-03-30 sieve w1 worms 2kg - A01",
    "2026-03-31 test c1 density 600",
    "2026-03-31 test w1 per_kg 832",
    "2026-04-02 pack p1 3 c1=9.2kg",
    "2026-04-02 tub t1 4 w1=240g",
];

fn farm(more: &[&str]) -> Scenario {
    Scenario::of(&[PACKED, more].concat())
}

fn fills(farm: &Scenario, run: &str, unit: Unit) -> (Vec<String>, bool) {
    let fills = farm.farm.fills(farm.id(run));
    assert_eq!(fills.unread, 0);
    let told = |value: &Tenths| value.with_unit(unit);
    (fills.values.iter().map(told).collect(), fills.turned)
}

/// By hand: 3 100 g less a bag of 85 g is 3 015 g, and at 600 g to the litre that is 5.025 L; 5 L stay 5 L.
#[test]
fn gross_grams_turn_into_litres_by_the_batchs_density_and_are_guesses() {
    let farm = farm(&["2026-04-02 weigh p1 tare=85g 3.1kg 3.085kg"]);
    let (values, turned) = fills(&farm, "p1", Unit::Millilitres);
    assert_eq!((values, turned), (vec!["5.025L".into(), "5L".into()], true));
    let farm = self::farm(&["2026-04-02 weigh p1 5L 5.1L"]);
    let (values, turned) = fills(&farm, "p1", Unit::Millilitres);
    assert_eq!((values, turned), (vec!["5L".into(), "5.1L".into()], false));
}

/// By hand: 61 g at 832 worms to the kilogram are 50.752, and 60 g are 49.92.
#[test]
fn worms_weighed_in_are_counted_out_by_their_test_and_are_guesses() {
    let farm = farm(&["2026-04-02 weigh t1 61g 60g"]);
    let (values, turned) = fills(&farm, "t1", Unit::Pieces);
    assert_eq!((values, turned), (vec!["50.7".into(), "49.9".into()], true));
    let counted = self::farm(&["2026-04-02 weigh t1 51 50"]);
    assert!(!fills(&counted, "t1", Unit::Pieces).1);
}

/// By hand: 100 worms at 832 to the kilogram weigh 120.19 g. The batch was weighed in; what is counted out is a guess.
#[test]
fn worms_counted_out_of_a_batch_that_was_weighed_in_are_a_guess() {
    let farm = farm(&["2026-04-02 tub t2 2 w1=100"]);
    let flow = farm.farm.flow(farm.lot("t2").inflows[0]);
    assert!(matches!(flow.much, Much::Amount(a) if a.to_string() == "~120g"));
    assert!(!farm.lot("w1").stock.is_sure());
}

#[test]
fn a_value_that_no_test_turns_is_counted_and_left_out() {
    let farm = farm(&[
        "2026-04-03 pack p2 2 c2=6kg",
        "2026-04-03 weigh p2 3kg 5L",
        "2026-04-03 weigh t1 1L",
        "2026-04-03 weigh p1 tare=85g 5L",
    ]);
    let read = |run| {
        let fills = farm.farm.fills(farm.id(run));
        (fills.values.len(), fills.unread)
    };
    assert_eq!(
        (read("p2"), read("t1"), read("p1")),
        ((1, 1), (0, 1), (0, 1))
    );
}

/// By hand: 6 kg at 600 g/L are 10 L and 4 kg at 500 g/L are 8 L: 10 kg in 18 L, 555.555 g/L.
#[test]
fn a_run_of_two_batches_weighs_what_both_do_together() {
    let farm = farm(&[
        "2026-04-03 test c2 density 500",
        "2026-04-03 pack p2 3 c1=6kg c2=4kg",
    ]);
    let density = farm.farm.run_density(farm.id("p2"));
    assert_eq!(density.map(|rate| rate.to_string()), Some("555.555".into()));
    // Packs that are opened again weigh what they were filled with.
    let mut farm = farm;
    assert_eq!(farm.try_row("2026-04-04 pack p3 1 p2/1=5L"), Ok(()));
    let density = farm.farm.run_density(farm.id("p3"));
    assert_eq!(density.map(|rate| rate.to_string()), Some("555.555".into()));
}

#[test]
fn the_test_that_is_told_is_the_one_that_turns_amounts() {
    let farm = farm(&[
        "2026-04-10 test c1 density 610",
        "2026-04-05 test c1 density wet",
        "2026-04-05 test c1 density 590",
        "2026-04-05 test c1 density 595",
    ]);
    let (lot, id) = (farm.lot("c1"), farm.id("c1"));
    for day in [
        "2026-03-01",
        "2026-03-31",
        "2026-04-05",
        "2026-04-09",
        "2026-04-30",
    ] {
        let when = Moment::day_only(day.parse().expect("a day"));
        let told = farm.farm.density_test(id, when).map(|test| test.rate);
        assert_eq!(told, lot.density(when), "{day}");
        assert!(told.is_some());
    }
}

#[test]
fn what_is_weighed_after_a_hold_for_short_fills_counts_alone() {
    let mut farm = farm(&["2026-04-02 weigh p1 4.8L 4.9L 4.9L"]);
    let count = |farm: &Scenario| {
        let fills = farm.farm.fills(farm.id("p1"));
        (fills.values.len(), fills.before)
    };
    assert_eq!(farm.try_row("2026-04-02 hold p1"), Ok(()));
    assert_eq!(farm.try_row("2026-04-02 weigh p1 4.9L"), Ok(()));
    assert_eq!(
        count(&farm),
        (4, 0),
        "a hold for another reason changes nothing"
    );
    assert_eq!(farm.try_row("2026-04-02 hold p1 short"), Ok(()));
    assert_eq!(
        count(&farm),
        (4, 0),
        "until something is weighed, the old values stand"
    );
    assert_eq!(farm.try_row("2026-04-03 weigh p1 5.1L 5L"), Ok(()));
    assert_eq!(count(&farm), (2, 2));
    let (short, others) = farm.farm.holds_for_fills(farm.id("p1"));
    assert_eq!((short.len(), others.len()), (1, 1));
}
