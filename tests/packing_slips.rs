//! Slips of the packer: half a code, a nought too many, a month's end; and sheets that bring packs in by the folder.

use insta::assert_snapshot;

use super::dsl::{TestFarm, packed, refused};
use super::packing::shop;

#[test]
fn half_a_code_is_answered_with_the_codes_that_it_is_in() {
    let farm = packed();
    assert_snapshot!(refused(&farm, "2026-04-05", "pack bag5 1 --from H26091:1kg"), @"
    --- stderr ---
    error: `H26091` is not a lot code; one looks like `P26115-07-S`
    hint: if `H26091-02-5` was meant, look at it with `castlot show H26091-02-5`
    hint: if `H26091-01-7` was meant, look at it with `castlot show H26091-01-7`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "pack bag5 1 --from h26o91"), @"
    --- stderr ---
    error: no lot, bin or rack is called `h26o91`
    hint: worms: `castlot show H26091-02-5`
    hint: castings (cast-1): `castlot show H26091-01-7`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "sell P26093 x1 --to 'a nursery'"), @"
    --- stderr ---
    error: `P26093` is not a lot code; one looks like `P26115-07-S`
    hint: if `P26093-01-Q` was meant, look at it with `castlot show P26093-01-Q`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "show H26999"), @"
    --- stderr ---
    error: no lot, bin or rack is called `H26999`
    hint: look for half a code with `castlot find H26999`
    --- exit 2 ---
    ");
}

#[test]
fn packs_that_cannot_hold_what_they_declare_are_told_of() {
    let farm = shop();
    farm.did(
        "2026-04-06T12:00",
        "record test --lot cast-2 --test density --value 600 --unit g/L",
    );
    // 3 kg are 5 L: one pack of 5 L, and not ten of them.
    assert_snapshot!(farm.on("2026-04-07T09:00", "pack bag5 10 --from cast-2:3kg --ref run-2"), @"
    entry 21: P26097-01-V
    10 bags of Worm-worked compost 5L: run-2 #1-10, best by 2027-04-07
      from              taken  left
      cast-2  castings    3kg  27kg  H26096-01-4
    --- stderr ---
    warning: Worm-worked compost 5L (run-2): ~5L went in, and 10 packs of 5L are 50L; look at the amounts again
    ");
    assert_snapshot!(farm.on("2026-04-07T10:00", "pack bag5 1 --from cast-2:3kg --ref run-3"), @"
    entry 22: P26097-02-T
    1 bag of Worm-worked compost 5L: run-3 #1, best by 2027-04-07
      from              taken  left
      cast-2  castings    3kg  24kg  H26096-01-4
    ");
}

#[test]
fn a_best_by_goes_to_a_months_end_where_castlot_toml_says_so() {
    let farm = shop();
    let settings = settings_of(&farm);
    let ended = settings.replace(
        "best_by_days = 365",
        "best_by_days = 365\nbest_by_month_end = true",
    );
    assert_ne!(settings, ended);
    farm.put("castlot.toml", &ended);
    farm.did(
        "2026-04-07T09:00",
        "pack bag5 1 --from cast-2:1kg --ref run-2",
    );
    farm.put("castlot.toml", &settings);
    // The rule is kept as it was when the run was packed, and worked out again where the day was wrong.
    assert_snapshot!(farm.on("2026-04-07T10:00", "show run-2"), @"
    Worm-worked compost 5L (run-2): P26097-01-V
    packed 2026-04-07 10:00, best by 2027-03-31
    1 pack, 1 in store

    2026-04-07
      20  10:00    1 bag of Worm-worked compost 5L packed from cast-2 1kg, as run-2,
                   best by 2027-03-31: P26097-01-V
    ");
    farm.did(
        "2026-04-07T11:00",
        "correct 20 --set when=2026-04-06T11:00 --why 'packed the day before'",
    );
    assert_snapshot!(farm.on("2026-04-07T12:00", "log run-2"), @"
    2026-04-06
      21  11:00    in place of entry 20: 1 bag of Worm-worked compost 5L packed from
                   cast-2 1kg, as run-2, best by 2027-03-31, corrected packed the
                   day before: P26097-01-V
    2026-04-07
      20  10:00    ~1 bag of Worm-worked compost 5L packed from cast-2 1kg, as run-2,~
                   ~best by 2027-03-31: P26097-01-V~
                   struck by 21: packed the day before
    ");
}

#[test]
fn sheets_that_bring_packs_tell_of_what_no_permission_answers_for() {
    let farm = TestFarm::new();
    for (file, text) in [
        (
            "deliveries.csv",
            "when,kind,name,supplier,amount,ref\n2026-03-01,manure,horse manure,a yard,50kg,dung\n",
        ),
        (
            "beds.csv",
            "when,bin,takes,ref\n2026-03-02,A01,dung 10kg,b-1\n",
        ),
        (
            "sievings.csv",
            "when,kind,from,amount,ref\n2026-04-02,castings,b-1,6kg,cast-1\n",
        ),
        (
            "packs.csv",
            "when,product,count,from,ref\n2026-04-03,bag5,1,cast-1 3kg,run-1\n",
        ),
    ] {
        farm.put(&format!("season/{file}"), text);
    }
    let settings = settings_of(&farm);
    let (before, _) = settings
        .split_once("[permission.")
        .expect("the demo farm has one");
    farm.put("castlot.toml", before);
    assert_snapshot!(farm.on("2026-04-05", "import season"), @"
    recorded 4 entries, which made 4 lots
    entry 4
    --- stderr ---
    warning: beds.csv, row 2: bin A01 has not been set up; if it is new, record it with its place
    warning: 1 run holds what no permission answers for; see which, and whom to ask, with `castlot permissions`
    ");
}

fn settings_of(farm: &TestFarm) -> String {
    std::fs::read_to_string(farm.path("castlot.toml")).expect("a farm has settings")
}
