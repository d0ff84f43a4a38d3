//! Starting a farm, and standing where there is none.

use insta::assert_snapshot;

use crate::dsl::TestFarm;

#[test]
fn a_new_farm_has_settings_a_diary_and_empty_sheets() {
    let farm = TestFarm::nowhere();
    assert_snapshot!(farm.on("2026-01-01", "new shed --name \"Marlhythe Wormery\""), @"
    a farm is started in shed
    --- stderr ---
    next: read shed/castlot.toml
    then fill the sheets in shed/sheets, and `castlot --farm shed import shed/sheets`
    ");
    assert_snapshot!(farm.inside("shed").join("\n"), @"
    artwork
    castlot.toml
    diary.db
    sheets
    templates
    ");
    assert_snapshot!(farm.inside("shed/sheets").join(" "), @"beds.csv bins.csv blends.csv checks.csv complaints.csv counts.csv deliveries.csv feeds.csv holds.csv moves.csv packs.csv prints.csv recalls.csv returns.csv sales.csv settlements.csv sievings.csv skips.csv splits.csv tests.csv thrown.csv tips.csv weighings.csv");
    assert_snapshot!(farm.on("2026-01-01", "--farm shed verify"), @"
    0 entries, as they were written
    seal DIGEST
    ");
    assert_snapshot!(farm.on("2026-01-01", "--farm shed import shed/sheets"), @"recorded 0 entries");
}

#[test]
fn a_farm_is_never_started_over_something_else() {
    let farm = TestFarm::new();
    let before = farm.diary();
    assert_snapshot!(farm.on("2026-01-01", "new ."), @"
    --- stderr ---
    error: `.` holds a farm already
    hint: use it as it is, as in `castlot --farm . beds`
    --- exit 2 ---
    ");
    assert_eq!(farm.diary(), before);
    farm.put("papers/letter.txt", "dear nursery");
    assert_snapshot!(farm.on("2026-01-01", "new papers"), @"
    --- stderr ---
    error: `papers` is not empty
    hint: start the farm in a folder of its own, as in `castlot new papers/farm`
    --- exit 2 ---
    ");
    assert_eq!(farm.inside("papers"), ["letter.txt"]);
    assert_snapshot!(farm.on("2026-01-01", "new shed --timezone Europe/Marlhythe"), @"
    --- stderr ---
    error: `Europe/Marlhythe` is not a time zone; write one as in `Europe/London`
    --- exit 2 ---
    ");
    assert!(!farm.path("shed").exists());
}

#[test]
fn a_folder_without_a_farm_says_how_to_start_one() {
    assert_snapshot!(TestFarm::nowhere().on("2026-03-10", "feed A01 mix-1 300g"), @"
    --- stderr ---
    error: there is no `./castlot.toml`, which says who the farm is
    hint: start a farm with `castlot new DIR`, or name its folder with `--farm DIR` (tried `.`)
    --- exit 2 ---
    ");
    assert_snapshot!(TestFarm::nowhere().on("2026-03-10", "verify"), @"
    --- stderr ---
    error: there is no diary at `./diary.db`
    hint: start a farm with `castlot new DIR`, or name its folder with `--farm DIR`
    --- exit 2 ---
    ");
}
