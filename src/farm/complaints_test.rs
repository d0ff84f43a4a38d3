//! Who gets which name, and when a complaint may be settled or struck.

use super::*;
use crate::farm::scenario::{Scenario, stamp};
use crate::farm::{Entry, Strike, Word};

fn scenario() -> Scenario {
    Scenario::of(&[
        "2026-03-01 delivery straw bedding 50kg",
        "2026-03-02 pack p1 3 straw=5kg",
        "2026-04-01 complaint - p1/1",
        "2026-04-02 complaint call-2 p1/2",
        "2026-04-03 complaint - p1",
    ])
}

fn names(farm: &Farm) -> Vec<String> {
    let all = farm.complaints().iter();
    all.map(|complaint| complaint.name.to_string()).collect()
}

fn mark(name: &str) -> Mark {
    name.parse().expect("a name")
}

#[test]
fn a_complaint_without_a_name_is_given_the_next_that_is_free() {
    assert_eq!(names(&scenario().farm), ["call-1", "call-2", "call-3"]);
}

#[test]
fn names_asked_for_in_one_import_are_not_given_to_others_of_it() {
    let mut scenario = scenario();
    let rows = [
        "2026-04-05 complaint - p1",
        "2026-04-06 complaint call-4 p1",
    ];
    assert_eq!(scenario.try_rows(&rows), Ok(()));
    assert_eq!(names(&scenario.farm)[3..], ["call-5", "call-4"]);
}

#[test]
fn old_lines_without_a_name_are_called_by_their_turn_and_stay_so() {
    let without = |mut entry: Entry| {
        if let Some(Event::Complaint { facts, .. }) = &mut entry.event {
            facts.name = None;
        }
        entry
    };
    let entries = scenario().farm.entries().to_vec();
    let farm = Farm::of(entries.into_iter().map(without).collect());
    assert_eq!(names(&farm), ["call-1", "call-2", "call-3"]);
    let strike = Strike {
        entry: 3,
        why: Word::of("a slip").expect("a word"),
    };
    let struck = farm
        .strike(strike, &stamp())
        .expect("nothing names it")
        .farm;
    assert_eq!(names(&struck), ["call-2", "call-3"]);
    assert_eq!(struck.complaint_name(3), Some(&mark("call-1")));
    let mut scenario = Scenario {
        farm: struck,
        warnings: Vec::new(),
    };
    assert_eq!(scenario.try_row("2026-04-09 complaint - p1"), Ok(()));
    assert_eq!(names(&scenario.farm), ["call-2", "call-3", "call-4"]);
}

#[test]
fn a_name_stands_once_and_a_correction_keeps_it() {
    let mut scenario = scenario();
    let name = mark("call-2");
    assert_eq!(
        scenario.try_row("2026-04-05 complaint call-2 p1"),
        Err(Refusal::ComplaintTaken { name })
    );
    assert_eq!(
        scenario.try_correct(4, "2026-04-02 complaint - p1/3"),
        Ok(())
    );
    assert_eq!(names(&scenario.farm), ["call-1", "call-3", "call-2"]);
    assert_eq!(scenario.try_correct(6, "2026-04-02 complaint - p1"), Ok(()));
    assert_eq!(scenario.farm.complaint_name(7), Some(&mark("call-2")));
}

#[test]
fn a_complaint_is_settled_after_it_was_taken_and_may_be_settled_again() {
    let mut scenario = scenario();
    let refused = |scenario: &mut Scenario, row| scenario.try_row(row).err();
    assert_eq!(
        refused(&mut scenario, "2026-03-31 settle call-1"),
        Some(Refusal::NotYetTaken {
            name: mark("call-1"),
            taken: scenario.farm.complaints()[0].when,
        })
    );
    assert_eq!(
        refused(&mut scenario, "2026-04-09 settle call-9"),
        Some(Refusal::NoSuchComplaint {
            name: mark("call-9")
        })
    );
    // On the day it was taken, as nobody noted the hours.
    assert_eq!(scenario.try_row("2026-04-01 settle call-1"), Ok(()));
    assert_eq!(scenario.try_row("2026-04-05 settle call-1"), Ok(()));
    let complaint = scenario.farm.complaint(&mark("call-1")).expect("it stands");
    assert_eq!((complaint.settled.len(), complaint.is_open()), (2, false));
}

#[test]
fn a_complaint_that_was_settled_is_not_struck_before_its_settling() {
    let mut scenario = scenario();
    assert_eq!(scenario.try_row("2026-04-05 settle call-1"), Ok(()));
    assert!(matches!(
        scenario.try_strike(3),
        Err(Refusal::Upsets { entry: 6, .. })
    ));
    assert_eq!(scenario.try_strike(6), Ok(()));
    assert_eq!(scenario.try_strike(3), Ok(()));
    assert_eq!(names(&scenario.farm), ["call-2", "call-3"]);
}
