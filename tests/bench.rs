//! Sieving, packing and selling: what each says, and that a refusal leaves the diary as it was.

use insta::assert_snapshot;

use crate::dsl::{packed, refused, two_beds};

#[test]
fn one_sieving_makes_a_batch_of_each_kind_and_clears_the_beds_once() {
    let farm = two_beds();
    assert_snapshot!(farm.on("2026-04-01", "sieve A01..A02 --castings 6kg --worms 2kg --overs 1kg --clears all --ref castings=cast-1"), @"
    entry 9: H26091-01-7
    entry 10: H26091-02-5
    entry 11: H26091-03-3
    ");
    assert_snapshot!(refused(&farm, "2026-04-02", "feed A01 mix-1 300g"), @"
    --- stderr ---
    error: bin A01 has no bed in it on 2026-04-02T10:00
    hint: if a bed was made up there, record that first: `castlot bed A01 LOT AMOUNT`
    --- exit 2 ---
    ");
    farm.did("2026-04-03", "export --sheets out");
    let sheet = std::fs::read_to_string(farm.path("out/sievings.csv")).expect("it was exported");
    assert_snapshot!(sheet, @"
    when,kind,from,amount,clears,ref,code,by,note
    2026-04-01T10:00,castings,B26061-01-B; B26061-02-9,6kg,all,cast-1,H26091-01-7,,
    2026-04-01T10:00,worms,B26061-01-B; B26061-02-9,2kg,,,H26091-02-5,,
    2026-04-01T10:00,overs,B26061-01-B; B26061-02-9,1kg,,,H26091-03-3,,
    ");
}

#[test]
fn a_sieving_that_is_half_said_is_refused() {
    let farm = two_beds();
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01"), @"
    --- stderr ---
    error: nothing is said of what came of the sieving
    hint: say how much of each kind, as in `castlot sieve A05 --castings 2.1kg --worms 500g`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve --castings 6kg"), @"
    --- stderr ---
    error: nothing is said of which beds were sieved
    hint: name them first, as in `castlot sieve A01..A05 --castings 10kg`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 6kg --worms 1kg --ref cast-1"), @"
    --- stderr ---
    error: `cast-1` could be the ref of any of these batches
    hint: say of which, as in `--ref castings=cast-1`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-01", "sieve A01 --castings 6kg --clears A02"), @"
    --- stderr ---
    error: bin A02 is cleared but not sieved in this row
    hint: to clear every bed that is sieved, say `--clears all`
    --- exit 2 ---
    ");
}

#[test]
fn packs_are_filled_sold_and_taken_back() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "sell run-1 '#2' --market 'Quay market' --note 'slow day'"), @"
    entry 14
    1 pack sold at Quay market, 2026-04-05
                                        best by     in store
      run-1 #2  Worm-worked compost 5L  2027-04-03         0  P26093-01-Q
    ");
    assert_snapshot!(farm.on("2026-04-06", "return run-1/2 --market 'Quay market'"), @"entry 15");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1 --to 'a nursery'"), @"
    --- stderr ---
    error: nothing is said of which packs of `run-1`
    hint: say which, as in `run-1 '#1-12'` with the quotes, `run-1/1-12`, `run-1 x31` or `run-1 all`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1 x3 --to 'a nursery'"), @"
    --- stderr ---
    error: P26093-01-Q has 1 pack to take from, and 3 are taken
    hint: if more is really there, count it first: `castlot record count --lot P26093-01-Q --found 3 --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-07", "sell run-1/7 --to 'a nursery'"), @"
    --- stderr ---
    error: P26093-01-Q has 2 packs; there is no #7
    hint: see what it is with `castlot show P26093-01-Q`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-07", "pack bag20 1 --from cast-1:12kg"), @"
    --- stderr ---
    error: H26091-01-7 had 100g left, and 12kg is drawn
    hint: if more is really there, count it first: `castlot record count --lot H26091-01-7 --found 12kg --why WHY`
    --- exit 2 ---
    ");
}

#[test]
fn a_held_lot_goes_nowhere_without_a_reason() {
    let farm = packed();
    farm.did(
        "2026-04-05",
        "record hold --lot run-1 --state hold --reason 'flies reported'",
    );
    assert_snapshot!(refused(&farm, "2026-04-06", "sell run-1/2 --to 'a nursery'"), @"
    --- stderr ---
    error: P26093-01-Q has been held since 2026-04-05T10:00
    hint: if it can be let go by itself, release it: `castlot release P26093-01-Q --why WHY`
    hint: if it has to be, say why, as in `--despite WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-04-06", "sell run-1/2 --to 'a nursery' --despite 'they want it for the hedge'"), @"
    entry 15
    1 pack sold to a nursery, 2026-04-06
                                        best by     in store
      run-1 #2  Worm-worked compost 5L  2027-04-03         0  P26093-01-Q
    --- stderr ---
    warning: P26093-01-Q is held; used despite that: they want it for the hedge
    ");
}
