//! Weighings that are put right: the run they were of is held, let go, or told of, in the same step.

use insta::assert_snapshot;

use super::dsl::packed;

#[test]
fn a_weighing_put_right_lets_its_run_go_and_one_put_wrong_holds_it() {
    let farm = packed();
    farm.did("2026-04-05T09:00", "weigh run-1 4.9L 5L");
    assert_snapshot!(farm.on("2026-04-05T10:00", "correct 14 --set 'values=5.01L; 5L' --why 'the jug was misread'"), @"
    entry 16
    entry 17
    --- stderr ---
    note: Worm-worked compost 5L (run-1) meets the plan as copied here (2 of 2 packs measured)
    ");
    assert_snapshot!(farm.on("2026-04-05T11:00", "sell run-1/2 --to 'a nursery'"), @"
    entry 18
    1 pack sold to a nursery, 2026-04-05
                                        best by     in store
      run-1 #2  Worm-worked compost 5L  2027-04-03         0  P26093-01-Q
    ");
    let farm = packed();
    farm.did("2026-04-05T09:00", "weigh run-1 5.1L 5L");
    assert_snapshot!(farm.on("2026-04-05T10:00", "correct 14 --set 'values=4.1L; 5L' --why 'the jug was misread'"), @"
    entry 15
    entry 16
    --- stderr ---
    warning: Worm-worked compost 5L (run-1) does not meet the plan as copied here (mean 4.55L of 5L, 1 pack below 4.925L, and 1 pack below 4.85L); it is held until it is worked over and weighed again
    ");
}

#[test]
fn a_weighing_struck_leaves_what_is_still_known() {
    let farm = packed();
    farm.did("2026-04-05T09:00", "weigh run-1 4.9L 5L");
    assert_snapshot!(farm.on("2026-04-05T10:00", "strike 14 --why 'of another run'"), @"
    entry 16
    --- stderr ---
    note: Worm-worked compost 5L (run-1): 0 of 2 packs measured and held; 2 packs are left to measure
    ");
    // Struck, the weighings that let it go no longer do.
    let farm = packed();
    farm.did("2026-04-05T09:00", "weigh run-1 4.9L 5L");
    farm.did("2026-04-05T10:00", "weigh run-1 5L 5L");
    assert_snapshot!(farm.on("2026-04-05T11:00", "strike 16 --why 'of another run'"), @"
    entry 18
    entry 19
    --- stderr ---
    warning: Worm-worked compost 5L (run-1) does not meet the plan as copied here (mean 4.95L of 5L and 1 pack below 4.925L); it is held until it is worked over and weighed again
    ");
}

/// `undo` takes back the last entry, which is the hold that castlot put on: it is not put on again, but told.
#[test]
fn a_hold_taken_back_is_not_put_on_again_but_told() {
    let farm = packed();
    farm.did("2026-04-05T09:00", "weigh run-1 4.9L 5L");
    assert_snapshot!(farm.on("2026-04-05T10:00", "undo"), @"
    entry 16
    --- stderr ---
    warning: Worm-worked compost 5L (run-1) does not meet the plan as copied here (mean 4.95L of 5L and 1 pack below 4.925L); it is not held; hold it with `castlot fills P26093-01-Q --hold`
    entry 15 is struck out
    ");
}
