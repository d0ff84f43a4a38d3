//! The rules of the diary, one test each: what is refused, what is only warned of, what order means.

use super::flow::Much;
use super::refusal::Refusal;
use super::scenario::Scenario;
use super::shelf::Fate;
use super::warning::Warning;

const START: [&str; 4] = [
    "2026-03-01 bin A01 R1/S1/P1",
    "2026-03-01 bin A02 R1/S1/P2",
    "2026-03-01 delivery straw bedding 100kg",
    "2026-03-01 delivery dung manure 50kg",
];

fn farm(rows: &[&str]) -> Scenario {
    let mut all = START.to_vec();
    all.extend(rows);
    Scenario::of(&all)
}

#[test]
fn a_bin_without_a_bed_cannot_be_fed() {
    let mut farm = farm(&["2026-03-02T09:00 bed b1 A01 straw=4kg"]);
    assert!(matches!(
        farm.try_row("2026-03-02T08:00 feed A01 dung=300g"),
        Err(Refusal::NoBed { .. })
    ));
    assert!(matches!(
        farm.try_row("2026-03-02T10:00 feed A02 dung=300g"),
        Err(Refusal::NoBed { .. })
    ));
    assert_eq!(farm.try_row("2026-03-02T10:00 feed A01 dung=300g"), Ok(()));
}

#[test]
fn a_bin_holds_one_bed_at_a_time() {
    let mut farm = farm(&["2026-03-02T09:00 bed b1 A01 straw=4kg"]);
    assert!(matches!(
        farm.try_row("2026-03-03T09:00 bed b2 A01 straw=4kg"),
        Err(Refusal::BinTaken { .. })
    ));
    assert!(matches!(
        farm.try_row("2026-03-03T09:00 split b2 A01 50% A01"),
        Err(Refusal::BinTaken { .. })
    ));
}

#[test]
fn dates_alone_let_the_same_bin_be_sieved_and_bedded_up_again_in_one_day() {
    let mut farm = farm(&["2026-03-02 bed b1 A01 straw=4kg"]);
    let rows = [
        "2026-03-30 bed b2 A01 straw=4kg w1=500g",
        "2026-03-30 sieve c1 castings 2kg all A01",
        "2026-03-30 sieve w1 worms 600g - A01",
    ];
    assert_eq!(farm.try_rows(&rows), Ok(()));
    assert_eq!(farm.sources("c1"), ["b1 Bulk"]);
    assert_eq!(farm.sources("b2"), ["straw Bulk", "w1 Live"]);
    assert_eq!(
        farm.lot("b1").ended.map(|ending| ending.when.to_string()),
        Some("2026-03-30".to_owned())
    );
}

#[test]
fn a_cleared_bed_ends_after_the_last_sieving_of_that_minute() {
    let mut farm = farm(&["2026-03-02 bed b1 A01 straw=4kg"]);
    let rows = [
        "2026-03-30T10:00 sieve c1 castings 2kg all A01",
        "2026-03-30T10:00 sieve o1 overs 300g - A01",
    ];
    assert_eq!(farm.try_rows(&rows), Ok(()));
    assert!(matches!(
        farm.try_row("2026-03-30T10:01 sieve o2 overs 300g - A01"),
        Err(Refusal::NoBed { .. })
    ));
}

#[test]
fn an_untimed_feed_of_a_bin_with_two_beds_that_day_is_asked_which() {
    let mut farm = farm(&["2026-03-02 bed b1 A01 straw=4kg"]);
    let rows = [
        "2026-03-30T10:00 sieve c1 castings 2kg all A01",
        "2026-03-30T11:00 bed b2 A01 straw=4kg",
    ];
    assert_eq!(farm.try_rows(&rows), Ok(()));
    assert!(matches!(
        farm.try_row("2026-03-30 feed A01 dung=300g"),
        Err(Refusal::WhichBed { .. })
    ));
    assert_eq!(farm.try_row("2026-03-30 feed b2 dung=300g"), Ok(()));
    assert_eq!(farm.try_row("2026-03-30T12:00 feed A01 dung=300g"), Ok(()));
    assert_eq!(farm.sources("b2").len(), 3);
}

#[test]
fn a_late_entry_that_would_make_an_earlier_written_one_mean_another_bed_is_refused() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-10T09:00 feed A01 dung=300g",
    ]);
    let refused = farm.try_row("2026-03-05T09:00 sieve c1 castings 2kg all A01");
    assert!(
        matches!(refused, Err(Refusal::Upsets { entry: 6, .. })),
        "{refused:?}"
    );
}

#[test]
fn a_late_feed_lands_in_the_bed_that_was_there_then() {
    let mut farm = farm(&["2026-03-02 bed b1 A01 straw=4kg"]);
    let rows = [
        "2026-03-30T10:00 sieve c1 castings 2kg all A01",
        "2026-03-30T11:00 bed b2 A01 straw=4kg",
    ];
    assert_eq!(farm.try_rows(&rows), Ok(()));
    assert_eq!(farm.try_row("2026-03-20 feed A01 dung=300g"), Ok(()));
    assert_eq!(farm.sources("b1"), ["straw Bulk", "dung Bulk"]);
}

#[test]
fn drawing_five_per_cent_too_much_passes_and_more_is_refused() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-03 feed A01 dung=52500g",
    ]);
    assert!(
        farm.warnings
            .iter()
            .any(|w| matches!(w, Warning::MoreThanLeft { .. }))
    );
    let refused = farm.try_row("2026-03-04 feed A01 dung=1g");
    assert!(
        matches!(refused, Err(Refusal::TooMuch { .. })),
        "{refused:?}"
    );
}

#[test]
fn drawing_too_much_of_a_guess_is_only_warned_of() {
    let farm = farm(&[
        "2026-03-02 delivery grounds feedstock ~5kg",
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-03 feed A01 grounds=9kg",
    ]);
    assert!(
        farm.warnings
            .iter()
            .any(|w| matches!(w, Warning::MoreThanLeft { .. }))
    );
}

#[test]
fn a_late_draw_that_leaves_too_little_for_an_earlier_written_one_is_refused() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-10 feed A01 dung=50kg",
    ]);
    let refused = farm.try_row("2026-03-05 feed A01 dung=20kg");
    assert!(
        matches!(refused, Err(Refusal::Upsets { entry: 6, .. })),
        "{refused:?}"
    );
}

#[test]
fn a_count_sets_what_is_left() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-03 count dung 2kg",
    ]);
    assert!(matches!(
        farm.try_row("2026-03-04 feed A01 dung=3kg"),
        Err(Refusal::TooMuch { .. })
    ));
    assert_eq!(farm.lot("dung").stock.lost, 48_000);
}

#[test]
fn litres_of_a_weighed_lot_go_by_its_density_and_count_as_unknown_without_one() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-30 sieve c1 castings 2kg all A01",
        "2026-03-31 pack p1 1 c1=1L",
    ]);
    assert!(farm.warnings.iter().any(|w| matches!(
        w,
        Warning::NoRate {
            test: "density",
            ..
        }
    )));
    assert_eq!(farm.try_row("2026-04-01 test c1 density 600"), Ok(()));
    let flow = farm.farm.flow(farm.lot("p1").inflows[0]);
    assert_eq!(format!("{:?}", flow.much.basis()), "Guess");
    assert!(matches!(flow.much, Much::Amount(a) if a.to_string() == "~600g"));
}

#[test]
fn a_held_lot_is_not_used_until_it_is_released() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-20 sieve c1 castings 2kg - A01",
        "2026-03-21 hold dung",
        "2026-03-21 hold c1",
    ]);
    assert!(matches!(
        farm.try_row("2026-03-22 feed A01 dung=300g"),
        Err(Refusal::Held { .. })
    ));
    assert!(matches!(
        farm.try_row("2026-03-22 pack p1 1 c1=1kg"),
        Err(Refusal::Held {
            may_despite: true,
            ..
        })
    ));
    assert_eq!(farm.try_row("2026-03-22 pack p1 1 despite c1=1kg"), Ok(()));
    assert_eq!(farm.try_row("2026-03-23 release dung"), Ok(()));
    assert_eq!(
        farm.try_row("2026-03-23T12:00 feed A01 dung=300g"),
        Err(Refusal::Held {
            code: farm.lot("dung").code,
            since: farm.lot("dung").holds[0].since,
            may_despite: false,
        })
    );
    assert_eq!(farm.try_row("2026-03-24 feed A01 dung=300g"), Ok(()));
}

#[test]
fn a_pack_is_not_sold_before_it_is_packed_nor_a_serial_that_is_not_there() {
    let mut farm = farm(&["2026-03-02T10:00 pack p1 3 straw=3kg"]);
    assert!(matches!(
        farm.try_row("2026-03-01 sale p1/1"),
        Err(Refusal::NotYet { .. })
    ));
    assert!(matches!(
        farm.try_row("2026-03-03 sale p1/4"),
        Err(Refusal::NoSuchSerial { .. })
    ));
    assert_eq!(farm.try_row("2026-03-03 sale p1/1-2"), Ok(()));
    assert_eq!(farm.try_row("2026-03-04 return p1/2"), Ok(()));
    assert_eq!(farm.try_row("2026-03-05 sale p1/all"), Ok(()));
    let shelf = farm.lot("p1").shelf.as_ref().expect("a run has a shelf");
    assert_eq!(
        (
            shelf.made(),
            shelf.sold(),
            shelf.returned(),
            shelf.in_store()
        ),
        (3, 4, 1, 0)
    );
    assert!(matches!(
        farm.try_row("2026-03-06 sale p1/x1"),
        Err(Refusal::TooManyPacks { .. })
    ));
}

#[test]
fn packs_opened_again_leave_the_shelf_and_flow_whole() {
    let farm = farm(&[
        "2026-03-02 pack p1 3 straw=3kg",
        "2026-03-03 blend c9 castings p1/1-2=6kg",
    ]);
    assert_eq!(farm.sources("c9"), ["p1 Whole"]);
    let shelf = farm.lot("p1").shelf.as_ref().expect("a run has a shelf");
    assert_eq!((shelf.opened(), shelf.in_store()), (2, 1));
    assert_eq!(shelf.ranges_of(Fate::InStore).len(), 1);
}

#[test]
fn a_tip_into_an_empty_bin_moves_the_bed_and_into_a_full_one_ends_it() {
    let mut farm = farm(&["2026-03-02 bed b1 A01 straw=4kg"]);
    assert_eq!(farm.try_row("2026-03-05 tip A01 A02"), Ok(()));
    assert_eq!(
        farm.lot("b1").bin().map(|bin| bin.to_string()),
        Some("A02".to_owned())
    );
    assert_eq!(farm.try_row("2026-03-06 bed b2 A01 straw=4kg"), Ok(()));
    assert_eq!(farm.try_row("2026-03-07 tip A02 A01"), Ok(()));
    assert_eq!(farm.sources("b2"), ["straw Bulk", "b1 Whole"]);
    assert!(farm.lot("b1").ended.is_some());
    assert!(matches!(
        farm.try_row("2026-03-08 tip A01 b2"),
        Err(Refusal::IntoItself { .. })
    ));
}

#[test]
fn an_entry_whose_lot_is_named_cannot_be_struck_and_one_that_is_not_can() {
    let mut farm = farm(&["2026-03-02 bed b1 A01 straw=4kg"]);
    assert!(
        matches!(farm.try_strike(3), Err(Refusal::StillNamed { named_by, .. }) if named_by == [5])
    );
    assert_eq!(farm.try_strike(5), Ok(()));
    assert_eq!(farm.try_strike(3), Ok(()));
    assert!(matches!(
        farm.try_strike(3),
        Err(Refusal::AlreadyStruck { by: 7, .. })
    ));
    assert!(matches!(
        farm.try_strike(6),
        Err(Refusal::StrikesOnly { .. })
    ));
    assert!(matches!(
        farm.try_row("2026-03-05 feed A01 dung=1kg"),
        Err(Refusal::NoBed { .. })
    ));
}

#[test]
fn a_struck_lots_code_is_never_given_again() {
    let mut farm = farm(&[]);
    let code = farm.lot("dung").code;
    assert_eq!(farm.try_strike(4), Ok(()));
    assert_eq!(farm.try_row("2026-03-01 delivery dung manure 50kg"), Ok(()));
    assert_ne!(farm.lot("dung").code, code);
    assert!(farm.lot("dung").code.number() > code.number());
}

#[test]
fn a_correction_keeps_the_code_and_the_place_among_the_others() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-03 feed A01 dung=1kg",
    ]);
    let code = farm.lot("b1").code;
    assert_eq!(
        farm.try_correct(5, "2026-03-02 bed b1 A01 straw=5kg"),
        Ok(())
    );
    assert_eq!(farm.lot("b1").code, code);
    assert_eq!(farm.farm.struck_by(5), Some(7));
    assert!(matches!(
        farm.try_correct(7, "2026-03-04 bed b1 A01 straw=5kg"),
        Err(Refusal::Upsets { entry: 6, .. })
    ));
    assert!(matches!(
        farm.try_correct(6, "2026-03-03 skip A01"),
        Err(Refusal::OtherKind { .. })
    ));
}

#[test]
fn a_mark_is_used_once() {
    let mut farm = farm(&[]);
    assert!(matches!(
        farm.try_row("2026-03-02 delivery dung manure 1kg"),
        Err(Refusal::MarkTaken { .. })
    ));
    let near = farm.try_row("2026-03-02 bed b1 A01 strwa=1kg");
    assert!(matches!(near, Err(Refusal::NoSuchMark { nearest, .. }) if nearest.len() == 1));
}

#[test]
fn a_whole_amount_and_a_single_beds_amount_do_not_stand_in_one_row() {
    let mut farm = farm(&[
        "2026-03-02 bed b1 A01 straw=4kg",
        "2026-03-02 bed b2 A02 straw=4kg",
    ]);
    let refused = farm.try_row("2026-03-20 sieve c1 castings 3kg - A01=1kg A02");
    assert_eq!(refused, Err(Refusal::TwoAmounts));
}

#[test]
fn a_bin_that_held_two_beds_is_cleared_of_the_one_that_the_row_sieves() {
    let mut farm = farm(&["2026-03-02 bed b1 A01 straw=4kg"]);
    let rows = [
        "2026-03-30 bed b2 A01 straw=4kg",
        "2026-03-30 sieve c1 castings 2kg all A01",
        "2026-03-30 sieve c2 castings 1kg A01 b2",
    ];
    assert_eq!(farm.try_rows(&rows), Ok(()));
    assert!(farm.lot("b1").ended.is_some() && farm.lot("b2").ended.is_some());
}
