//! Striking, correcting, undoing, forgetting, and finding what was changed behind castlot's back.

use insta::assert_snapshot;

use crate::dsl::{packed, refused, two_beds};

#[test]
fn an_entry_is_struck_but_not_while_others_name_its_lot() {
    let farm = two_beds();
    farm.did("2026-03-04", "feed A01 mix-1 300g");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 8 --why 'wrong bucket'"), @"
    --- stderr ---
    error: entry 8 made H26062-01-A, which later entries name: 9
    hint: strike those first, from the last: `castlot strike 9 --why WHY`
    hint: or put it right and leave them: `castlot correct 8 --set COLUMN=VALUE --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-03-05", "strike 9 --why 'wrong bed'"), @"entry 10");
    assert_snapshot!(farm.on("2026-03-05", "strike 8 --why 'wrong bucket'"), @"entry 11");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 8 --why again"), @"
    --- stderr ---
    error: entry 8 was struck out by entry 11
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-03-05", "strike 99 --why 'no such entry'"), @"
    --- stderr ---
    error: there is no entry 99
    hint: read the last entries with `castlot log`
    --- exit 2 ---
    ");
}

#[test]
fn a_correction_keeps_the_code_and_everything_that_names_it() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "--by NT correct 9 --set amount=6.5kg --set note='scales were off' --why 'weighed again'"), @"entry 14: H26091-01-7");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 9 --set amount=6kg --why 'struck already'"), @"
    --- stderr ---
    error: entry 9 was struck out by entry 14
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 14 --set amount=2kg --why 'weighed again'"), @"
    --- stderr ---
    error: entry 12 would then be wrong: H26091-01-7 had 2kg left, and 5.9kg is drawn
    hint: if entry 12 is wrong, strike it first: `castlot strike 12 --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 8 --set weight=2kg --why 'weighed again'"), @"
    --- stderr ---
    error: there is no column `weight` in this sheet; it has `when`, `kind`, `from`, `ref`, `code`, `by`, or `note`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-05", "correct 8 --set code=H26062-02-8 --why 'weighed again'"), @"
    --- stderr ---
    error: a lot keeps its code, whatever is put right
    --- exit 2 ---
    ");
}

#[test]
fn a_correction_leaves_the_product_as_it_was_packed_and_works_its_best_by_out_again() {
    let farm = packed();
    let settings =
        std::fs::read_to_string(farm.path("castlot.toml")).expect("the farm has settings");
    farm.put(
        "castlot.toml",
        settings
            .replace("best_by_days = 365", "best_by_days = 30")
            .replace("net = \"5L\"", "net = \"6L\""),
    );
    farm.did(
        "2026-04-05",
        "correct 12 --set when=2026-04-02T10:00 --why 'a day too late'",
    );
    farm.did("2026-04-06", "export --sheets out");
    let packs = std::fs::read_to_string(farm.path("out/packs.csv")).expect("it was exported");
    assert_snapshot!(packs, @"
    when,product,count,from,best_by,despite,ref,code,by,note
    2026-04-02T10:00,bag5,2,H26091-01-7 5.9kg,2027-04-02,,run-1,P26093-01-Q,,
    ");
}

#[test]
fn undo_strikes_the_last_entry_of_the_same_initials() {
    let farm = two_beds();
    farm.did("2026-03-04", "--by NT feed A01 mix-1 300g");
    farm.did("2026-03-04", "--by RB feed A02 mix-1 300g");
    assert_snapshot!(farm.on("2026-03-04", "--by NT undo"), @"
    entry 11
    --- stderr ---
    entry 9 is struck out
    ");
    assert_snapshot!(refused(&farm, "2026-03-04", "--by NT undo"), @"
    --- stderr ---
    error: there is no entry by `NT` to take back
    hint: say whose entry, as in `castlot undo --by NT`
    --- exit 2 ---
    ");
}

#[test]
fn a_buyer_is_forgotten_and_the_packs_still_trace_to_somebody() {
    let farm = packed();
    assert_snapshot!(refused(&farm, "2026-04-10", "forget 'a nursery'"), @r#"
    --- stderr ---
    error: `a nursery` stands in 1 sale, the last on 2026-04-04; packs of it could then not be recalled by name
    hint: if it has to be forgotten all the same: `castlot forget "a nursery" --yes`
    --- exit 2 ---
    "#);
    assert_snapshot!(farm.on("2026-04-10", "forget 'a nursery' --yes"), @"
    it stands as forgotten-4 from now on
    --- stderr ---
    warning: `a nursery` stands in 1 sale, the last on 2026-04-04; packs of it could then not be recalled by name
    ");
    assert_snapshot!(farm.on("2026-04-10", "verify"), @"
    13 entries, as they were written
    seal DIGEST
    ");
    assert_snapshot!(refused(&farm, "2026-04-10", "forget 'a nursery'"), @"
    --- stderr ---
    error: no name or remark in the diary is that
    hint: write it exactly as it stands, as `castlot log` shows it
    --- exit 2 ---
    ");
    let bytes = farm.diary();
    assert!(
        !bytes.windows(9).any(|window| window == b"a nursery"),
        "the name is left in the file"
    );
    // Put right afterwards, the sale is still to the one who was forgotten.
    farm.did(
        "2026-04-11",
        "correct 13 --set document=inv-1 --why 'number added'",
    );
    farm.did("2026-04-11", "export --sheets out");
    let sales = std::fs::read_to_string(farm.path("out/sales.csv")).expect("it was exported");
    assert_snapshot!(sales, @"
    when,packs,buyer,market,contact,document,despite,by,note
    2026-04-04T10:00,P26093-01-Q #1,forgotten-4,,01632 960111,inv-1,,,
    ");
    assert_snapshot!(farm.on("2026-04-11", "verify"), @"
    14 entries, as they were written
    seal DIGEST
    ");
}

#[test]
fn a_changed_diary_is_found_and_the_first_bad_entry_named() {
    let farm = two_beds();
    let mut bytes = farm.diary();
    let at = bytes
        .windows(12)
        .position(|window| window == b"horse manure")
        .expect("entry 5 says so");
    bytes[at] = b'H';
    farm.put("diary.db", &bytes);
    assert_snapshot!(farm.on("2026-03-10", "verify"), @"
    --- stderr ---
    error: entry 5 is damaged: its digest does not fit its line and the digest before it
    --- exit 3 ---
    ");
    assert_snapshot!(farm.on("2026-03-10", "verify --json"), @r#"
    {
      "sound": false,
      "first_bad_entry": 5,
      "damage": "its digest does not fit its line and the digest before it"
    }
    --- stderr ---
    error: entry 5 is damaged: its digest does not fit its line and the digest before it
    --- exit 3 ---
    "#);
    farm.put(
        "diary.db",
        "not a diary at all, but long enough to be looked at as one by a careless reader",
    );
    assert_snapshot!(farm.on("2026-03-10", "verify"), @"
    --- stderr ---
    error: `./diary.db` is not a castlot diary
    --- exit 3 ---
    ");
}
