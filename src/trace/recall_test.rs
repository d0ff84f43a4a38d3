//! A recall's list: frozen at its opening, packs of unknown serials widening it, and its state in numbers.

use crate::farm::scenario::Scenario;

use super::listed::{ListedPacks, Whereabouts};
use super::listing::Listing;
use super::recall_file::recall_file;

/// A load of dung in one bed, six packs of it, and two packs of a clean bed.
const FARM: [&str; 9] = [
    "2026-03-01 delivery dung manure 50kg",
    "2026-03-01 delivery straw bedding 50kg",
    "2026-03-02 bed b1 A01 straw=4kg dung=1kg",
    "2026-03-02 bed b2 A02 straw=4kg",
    "2026-03-20 sieve c1 castings 2kg - A01",
    "2026-03-20 sieve c2 castings 2kg - A02",
    "2026-03-21 pack p1 6 c1=1kg",
    "2026-03-21 pack p2 2 c2=1kg",
    "2026-03-22 sale p1/1-2",
];

fn farm(rows: &[&str]) -> Scenario {
    let mut farm = Scenario::of(&FARM);
    for row in rows {
        assert_eq!(farm.try_row(row), Ok(()), "{row}");
    }
    farm
}

fn runs(farm: &Scenario, listing: &Listing) -> Vec<String> {
    let name = |code| {
        let lot = farm.farm.lot(farm.farm.lot_of(code).expect("it stands"));
        lot.mark.as_ref().expect("it has a mark").to_string()
    };
    listing.runs.iter().map(|run| name(run.code)).collect()
}

#[test]
fn a_list_is_frozen_and_what_comes_after_is_shown_apart() {
    let farm = farm(&[
        "2026-04-01 recall r open dung",
        // Written later, but of a day before: it does not change the list either.
        "2026-03-23 sale p1/3",
        "2026-04-02 pack p3 1 c1=500g",
        "2026-04-03 sale p3/1",
    ]);
    let file = recall_file(&farm.farm, "r").expect("it was opened");
    assert_eq!(runs(&farm, &file.frozen), ["p1"]);
    assert_eq!(runs(&farm, &file.since), ["p3"]);
    let (then, now) = (file.figures().then, file.figures().now);
    assert_eq!((then.made, then.sold, then.in_store), (6, 2, 4));
    assert_eq!((now.made, now.sold, now.in_store), (6, 3, 3));
    let sales = |listing: &Listing| {
        listing
            .sales
            .iter()
            .map(|sale| sale.entry)
            .collect::<Vec<_>>()
    };
    assert_eq!(sales(&file.frozen), [9]);
    assert_eq!(sales(&file.since), [11, 13]);
}

#[test]
fn a_row_struck_after_the_opening_stays_on_the_list() {
    let mut farm = farm(&["2026-04-01 recall r open dung"]);
    assert_eq!(farm.try_strike(9), Ok(()));
    let file = recall_file(&farm.farm, "r").expect("it was opened");
    assert_eq!(file.frozen.sales.len(), 1);
    assert_eq!(file.figures().then.sold, 2);
    assert_eq!(file.figures().now.sold, 0);
}

#[test]
fn where_packs_went_without_their_serials_any_may_be_among_them() {
    let farm = farm(&["2026-03-24 sale p1/x3", "2026-04-01 recall r open dung"]);
    let file = recall_file(&farm.farm, "r").expect("it was opened");
    let run = &file.frozen.runs[0];
    let each = |packs: &ListedPacks| {
        packs
            .serials
            .serials()
            .map(|_| packs.at)
            .collect::<Vec<_>>()
    };
    let at: Vec<Whereabouts> = run.packs.iter().flat_map(each).collect();
    let sold = Whereabouts::Sold(9);
    let unplaced = Whereabouts::Unplaced;
    assert_eq!(at, [sold, sold, unplaced, unplaced, unplaced, unplaced]);
    assert_eq!(
        (run.count.sold, run.count.in_store, run.count.not_found),
        (5, 1, 0)
    );
}

#[test]
fn what_a_count_does_not_find_is_not_found() {
    let farm = farm(&["2026-03-24 count p1 3", "2026-04-01 recall r open dung"]);
    let figures = recall_file(&farm.farm, "r")
        .expect("it was opened")
        .figures();
    let then = figures.then;
    assert_eq!(
        (then.made, then.sold, then.in_store, then.not_found),
        (6, 2, 3, 1)
    );
    assert_eq!(then.traced(), 5);
}

#[test]
fn told_at_a_market_is_told_and_opened_again_begins_anew() {
    let mut farm = farm(&["2026-04-01 recall r open dung"]);
    let open = |farm: &Scenario| {
        recall_file(&farm.farm, "r")
            .expect("it was opened")
            .not_told()
            .len()
    };
    assert_eq!(open(&farm), 1);
    assert_eq!(
        farm.try_row("2026-04-02 recall r told dung buyer=Quay_market,_a_board"),
        Ok(())
    );
    assert_eq!(open(&farm), 0);
    assert_eq!(farm.try_row("2026-04-03 recall r close dung"), Ok(()));
    assert!(
        recall_file(&farm.farm, "r")
            .expect("it was opened")
            .closed
            .is_some()
    );
    assert_eq!(farm.try_row("2026-04-04 recall r open dung"), Ok(()));
    assert_eq!(open(&farm), 1);
}
