//! Tests of the dispatch note: every pack is on it, and what was stopped since stands at the top.

use super::*;
use crate::farm::scenario::Scenario;
use crate::papers::paper_test::{imprint, texts};

const ROWS: [&str; 7] = [
    "2026-03-01 delivery dung manure 50kg",
    "2026-03-02 bed b1 A01 dung=4kg",
    "2026-03-20 sieve c1 castings 9kg - A01",
    "2026-03-21 pack p1 6 c1=3kg",
    "2026-03-22 pack p2 4 c1=2kg",
    "2026-03-28 sale p2/2-3 p1/x2",
    "2026-03-29 sale p1/all",
];

fn told(scenario: &Scenario, sales: &[usize]) -> String {
    told_with(scenario, sales, &settings())
}

fn settings() -> Settings {
    Settings::of("Marlhythe Wormery", "GB", jiff::tz::TimeZone::UTC)
}

fn told_with(scenario: &Scenario, sales: &[usize], settings: &Settings) -> String {
    let note = Dispatch {
        farm: &scenario.farm,
        settings,
        sales,
    };
    let pages = texts(&note.paper(imprint()));
    let texts = pages.into_iter().flatten().map(|(text, _)| text);
    texts.collect::<Vec<_>>().join("\n")
}

fn code(scenario: &Scenario, mark: &str) -> String {
    scenario.lot(mark).code.to_string()
}

#[test]
fn a_note_names_the_packs_of_its_sale_and_no_others() {
    let scenario = Scenario::of(&ROWS);
    let told = told(&scenario, &[5]);
    assert!(told.contains(&code(&scenario, "p1")) && told.contains(&code(&scenario, "p2")));
    assert!(
        told.contains("\n#2-3\n") && told.contains("\n2 without serials noted\n"),
        "{told}"
    );
    assert!(
        told.contains("2026-03-28") && told.contains("entry 6"),
        "{told}"
    );
    assert!(!told.contains("2026-03-29"));
    // The seal, in full, and a caution of bags.
    assert!(told.replace('\n', "").contains(&"3f".repeat(32)));
    assert!(told.contains("Wear gloves"));
    assert!(!told.contains("Stopped"));
}

#[test]
fn a_caution_in_the_farms_own_words_stands_so_on_the_note_too() {
    let scenario = Scenario::of(&ROWS);
    let mut settings = settings();
    let own = [("gloves", "Gloves on, always."), ("open", "")];
    let own = own.map(|(key, words)| (key.to_owned(), words.to_owned()));
    settings.wording.cautions.extend(own);
    let usual = told(&scenario, &[5]);
    let told = told_with(&scenario, &[5], &settings);
    assert!(told.contains("Gloves on, always.") && !told.contains("Wear gloves"));
    assert!(usual.lines().count() > told.lines().count(), "{told}");
}

#[test]
fn what_has_been_held_since_stands_on_a_note_that_is_printed_later() {
    let mut scenario = Scenario::of(&ROWS);
    assert_eq!(scenario.try_row("2026-05-01 hold dung"), Ok(()));
    let told = told(&scenario, &[6]);
    assert!(told.contains("Stopped: set these packs aside"), "{told}");
    let line = format!(
        "{} has been on hold since 2026-05-01",
        code(&scenario, "p1")
    );
    assert!(told.contains(&line), "{told}");
}
