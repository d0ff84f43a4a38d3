//! Holds, recalls, balances and tonnage end to end, on small farms and on the demo farm.

use insta::assert_snapshot;
use jiff::civil::date;

use castlot::trace::{Terms, books, books_between};

use crate::demo::Demo;
use crate::dsl::{DEMO_END, TestFarm, packed, refused};

/// A farm that holds manure until a bean test is recorded.
fn that_waits() -> TestFarm {
    let farm = packed();
    let settings = std::fs::read_to_string(farm.path("castlot.toml")).expect("it is there");
    let hold = "\n[hold]\nincoming = [\"manure\"]\nuntil = \"bean\"\ndue_days = 21\n";
    farm.put("castlot.toml", settings + hold);
    farm
}

#[test]
fn a_hold_tells_what_it_reaches_and_a_release_what_still_stands() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "hold manure-1 --why 'hay was never vouched for'"), @"");
    assert_snapshot!(refused(&farm, "2026-04-06", "sell run-1/2 --to 'a grower'"), @"");
    assert_snapshot!(farm.on("2026-04-07", "release run-1 --why 'beans grown in it: no damage seen in 4 pots'"), @"");
    assert_snapshot!(farm.on("2026-04-08", "sell run-1/2 --to 'a grower'"), @"");
    assert_snapshot!(farm.on("2026-04-08", "release straw-1 --why 'never was'"), @"");
    assert_snapshot!(farm.on("2026-04-09", "hold worms-1 --reach all --why 'wrong species'"), @"");
}

#[test]
fn manure_waits_for_its_bean_test() {
    let farm = that_waits();
    let comes = "record delivery --kind manure --name 'horse manure' --supplier 'a livery yard' --amount 80kg --ref manure-2";
    assert_snapshot!(farm.on("2026-05-01", comes), @"");
    assert_snapshot!(refused(&farm, "2026-05-02", "blend feed manure-2 1kg"), @"");
    assert_snapshot!(farm.on("2026-05-20", "show manure-2"), @"");
    assert!(
        farm.on("2026-05-23", "stock")
            .ends_with("bean test due 2026-05-22, overdue: horse manure (manure-2)\n")
    );
    assert!(
        farm.on("2026-05-20", "beds")
            .ends_with("bean test due 2026-05-22: horse manure (manure-2)\n")
    );
    let test = "record test --lot manure-2 --test bean --method '4 pots of 2:1 mix, 3 controls'";
    assert_snapshot!(farm.on("2026-05-20", &format!("{test} --value fail")), @"");
    assert_snapshot!(farm.on("2026-05-22", &format!("{test} --value pass")), @"");
    assert!(!farm.on("2026-05-23", "stock").contains("bean test due"));
    farm.did("2026-05-24", "blend feed manure-2 1kg");
}

#[test]
fn a_hold_for_another_reason_is_not_lifted_by_the_test() {
    let farm = that_waits();
    farm.did("2026-05-01", "record delivery --kind manure --name 'horse manure' --supplier 'a yard' --amount 80kg --ref manure-2");
    farm.did("2026-05-03", "hold manure-2 --why 'wormed last week'");
    assert_snapshot!(farm.on("2026-05-22", "record test --lot manure-2 --test bean --value pass --unit '3 pots'"), @"");
    assert!(
        refused(&farm, "2026-05-24", "blend feed manure-2 1kg").contains("has been held since")
    );
}

#[test]
fn a_recall_goes_from_its_opening_to_its_close() {
    let farm = packed();
    assert_snapshot!(refused(&farm, "2026-05-01", "recall open leaves --from manure-1 --why 'curled leaves'"), @"");
    assert_snapshot!(refused(&farm, "2026-05-01", "recall open leaves --from manure-1 --why 'curled leaves' --min-share 1%"), @"");
    assert_snapshot!(farm.on("2026-05-01", "recall open leaves --from manure-1 --carried out --why 'curled leaves'"), @"");
    assert_snapshot!(farm.on("2026-05-01T10:00", "recall told leaves --buyer 'a nursery' --by-way 'rang, spoke to the owner'"), @"");
    assert_snapshot!(farm.on("2026-05-01T10:10", "recall told leaves --buyer 'a nurse'"), @"");
    assert_snapshot!(farm.on("2026-05-02", "recall returned leaves --packs run-1/1 --buyer 'a nursery'"), @"");
    farm.did(
        "2026-05-03",
        "sell run-1/2 --market 'Quay market' --despite 'the recall is for others'",
    );
    assert_snapshot!(farm.on("2026-05-04", "recall show leaves"), @"");
    assert_snapshot!(farm.on("2026-05-04", "recall close leaves --why 'all told'"), @"");
    assert_snapshot!(refused(&farm, "2026-05-05", "recall told leaves --buyer 'a nursery'"), @"");
    assert_snapshot!(farm.on("2026-05-05", "recall list"), @"");
}

#[test]
fn a_recall_as_json_has_its_keys() {
    let farm = packed();
    farm.did(
        "2026-05-01",
        "recall open leaves --from manure-1 --carried in --why 'curled leaves'",
    );
    assert_snapshot!(farm.on("2026-05-02", "recall show leaves --json"), @"");
}

#[test]
fn a_lot_is_balanced_and_so_is_a_span_of_days() {
    let farm = packed();
    farm.did(
        "2026-04-05",
        "record count --lot straw-1 --found 36kg --why mice",
    );
    assert_snapshot!(farm.on("2026-05-01", "balance cast-1"), @"");
    assert_snapshot!(farm.on("2026-05-01", "balance run-1"), @"");
    assert_snapshot!(farm.on("2026-05-01", "balance --from 2026-03-02 --to 2026-04-30 --kind bedding"), @"");
    assert_snapshot!(farm.on("2026-05-01", "balance straw-1 --json"), @"");
    assert_snapshot!(refused(&farm, "2026-05-01", "balance --from 2026-03-02 --to 2026-04-30 --kind straw"), @"");
}

#[test]
fn tonnage_is_warned_of_at_four_fifths_and_when_a_delivery_crosses_it() {
    let farm = packed();
    let settings = std::fs::read_to_string(farm.path("castlot.toml")).expect("it is there");
    farm.put("castlot.toml", settings.replace("7.5t", "200kg"));
    let load = |mark: &str| {
        format!(
            "record delivery --kind manure --name 'horse manure' --supplier 'a yard' --amount 70kg --ref {mark}"
        )
    };
    assert_snapshot!(farm.on("2026-05-01", &load("manure-2")), @"");
    assert_snapshot!(farm.on("2026-06-01", &load("manure-3")), @"");
    assert_snapshot!(farm.on("2026-06-02", "tonnage"), @"");
    assert_snapshot!(farm.on("2027-03-02", "tonnage --json"), @"");
}

#[test]
fn a_limit_or_a_hold_that_does_not_read_is_told_with_its_line() {
    let farm = packed();
    let settings = std::fs::read_to_string(farm.path("castlot.toml")).expect("it is there");
    for wrong in [
        "[hold]\nincoming = [\"dung\"]\n",
        "[tonnage.x]\nlimit = \"6t\"\n",
        "[tonnage.x]\nkinds = [\"manure\"]\nlimit = \"6\"\n",
        "[hold]\nwhile = 3\n",
    ] {
        farm.put("castlot.toml", format!("{settings}\n{wrong}"));
        let told = farm.on("2026-05-01", "tonnage");
        assert!(
            told.contains("castlot.toml, line ") && told.ends_with("--- exit 2 ---\n"),
            "{told}"
        );
    }
}

#[test]
fn every_balance_of_the_demo_farm_closes_to_the_gram() {
    let farm = Demo::farm();
    let all = books(&farm);
    assert_eq!(all.len(), farm.lot_count());
    for account in &all {
        assert!(account.terms.close(), "{}", account.code);
        // What is not accounted for has a reason that is named.
        let named = account.terms.unaccounted == 0 || !account.gaps.is_empty();
        assert!(named, "{}", account.code);
        // What is left in the balance is what the stock says.
        let lot = farm.lot(farm.lot_of(account.code).expect("it stands"));
        if let Some(left) = lot.stock.left() {
            assert_eq!(i64::try_from(left.value()), Ok(account.terms.in_store));
        }
    }
}

#[test]
fn the_season_of_the_demo_farm_closes_and_is_the_sum_of_its_halves() {
    let farm = Demo::farm();
    let (first, middle, last) = (date(2026, 1, 1), date(2026, 6, 30), date(2026, 10, 31));
    let sum = |accounts: &[castlot::trace::Account]| {
        let terms = accounts.iter().map(|account| account.terms);
        terms.fold(Terms::default(), Terms::plus)
    };
    let whole = sum(&books_between(&farm, first, last));
    let spring = sum(&books_between(&farm, first, middle));
    let autumn = sum(&books_between(
        &farm,
        middle.tomorrow().expect("a day"),
        last,
    ));
    for terms in [whole, spring, autumn] {
        assert!(terms.close() && terms.came_in > 0, "{terms:?}");
    }
    assert_eq!(spring.in_store + spring.apart, autumn.opening);
    assert_eq!(spring.came_in + autumn.came_in, whole.came_in);
    assert_eq!(spring.used + autumn.used, whole.used);
    assert_eq!(spring.thrown + autumn.thrown, whole.thrown);
    assert_eq!(spring.lost + autumn.lost, whole.lost);
    assert_eq!(spring.written_off + autumn.written_off, whole.written_off);
    assert_eq!(spring.sold + autumn.sold, whole.sold);
    assert_eq!(autumn.in_store, whole.in_store);
}

#[test]
fn the_demo_farms_recall_finds_its_packs_and_says_who_has_not_been_told() {
    let farm = TestFarm::demo();
    let told = farm.on(DEMO_END, "recall show recall-1");
    assert!(
        told.contains("10 of 13 buyers and market days told (36 of 43 packs sold)"),
        "{told}"
    );
    let told = farm.on(
        DEMO_END,
        "recall open recall-2 --from worms-4 --carried out --why 'wrong species'",
    );
    assert!(!told.contains("bag5") && !told.contains("bag20"), "{told}");
}
