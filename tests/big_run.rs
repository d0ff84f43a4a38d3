//! A run of as many packs as can be typed: nothing takes room for each of them, and labels are made in parts.

use insta::assert_snapshot;

use super::dsl::{packed, refused};

#[test]
fn a_million_packs_are_sold_brought_back_and_traced_like_ten() {
    let farm = packed();
    farm.did(
        "2026-04-05",
        "pack bag5 1000000 --from cast-1:100g --ref big",
    );
    assert_snapshot!(refused(&farm, "2026-04-06", "label big"), @"
    --- stderr ---
    error: these are 1000000 labels, and castlot lays out up to 100000 at once
    hint: print them in parts, as in `castlot label run-7/1-100000`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-06", "label big/1-100001"), @"
    --- stderr ---
    error: these are 100001 labels, and castlot lays out up to 100000 at once
    hint: print them in parts, as in `castlot label run-7/1-100000`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-06", "sell big x4000000000 --to 'a nursery'"), @"
    --- stderr ---
    error: `big x4000000000` is not a whole number from 1 to 1000000
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-06", "pack bag5 4000000000 --from cast-1:100g"), @"
    --- stderr ---
    error: `4000000000` is not a whole number from 1 to 1000000
    --- exit 2 ---
    ");
    farm.did("2026-04-06T09:00", "sell big/1-900000 --to 'a nursery'");
    farm.did(
        "2026-04-06T10:00",
        "return big/5-400000 --buyer 'a nursery'",
    );
    assert_snapshot!(farm.on("2026-04-06T11:00", "sell big/399999-400002 --to 'a florist'"), @"
    entry 17
    4 packs sold to a florist, 2026-04-06
                                                  best by     in store
      big #399999-400002  Worm-worked compost 5L  2027-04-05    499994  P26095-01-A
    --- stderr ---
    warning: P26095-01-A #400001-400002 are sold already
    warning: 1 older pack stands in store still: run-1, filled 2026-04-03, before P26095-01-A
    ");
    assert_snapshot!(farm.on("2026-04-07", "show big"), @"
    Worm-worked compost 5L (big): P26095-01-A
    packed 2026-04-05 10:00, best by 2027-04-05
    1,000,000 packs, 900004 sold, 399998 came back, 499994 in store

    2026-04-05
      14  10:00    1,000,000 bags of Worm-worked compost 5L packed from cast-1 100g,
                   as big, best by 2027-04-05: P26095-01-A
    2026-04-06
      15  10:00    big #1-900000 sold to a nursery
      16  11:00    big #5-400000 came back unsold from a nursery
      17  12:00    big #399999-400002 sold to a florist
    ");
}
