//! Public pages end to end: how large those of the demo farm are, what castlot.toml lets out, and what is said of words
//! that need ground.

use std::path::{Path, PathBuf};

use insta::assert_snapshot;

use crate::demo::Demo;
use crate::dsl::{TestFarm, packed, refused};

/// Every page below a folder.
fn pages(folder: &Path) -> Vec<PathBuf> {
    let mut waiting = vec![folder.to_owned()];
    let mut pages = Vec::new();
    while let Some(folder) = waiting.pop() {
        for found in std::fs::read_dir(folder).expect("the folder is there") {
            let path = found.expect("it can be read").path();
            if path.is_dir() {
                waiting.push(path);
            } else if path.extension().is_some_and(|ending| ending == "html") {
                pages.push(path);
            }
        }
    }
    pages
}

#[test]
fn every_page_of_the_demo_farm_is_under_60_kilobytes() {
    let pages = pages(&Demo::built().home.join("demo-farm/pages"));
    assert!(pages.len() > 900, "{}", pages.len());
    for page in pages {
        let size = std::fs::metadata(&page).expect("it is there").len();
        assert!(size < 60_000, "{}: {size}", page.display());
    }
}

/// A farm with these lines added to its settings.
fn with(lines: &str) -> TestFarm {
    let farm = packed();
    let settings = std::fs::read_to_string(farm.path("castlot.toml")).expect("it is there");
    farm.put("castlot.toml", settings + lines);
    farm
}

/// Returns all that the farm's pages say.
fn said(farm: &TestFarm) -> String {
    farm.did("2026-04-05", "publish public");
    let pages = pages(&farm.path("public"));
    let read = |page| std::fs::read_to_string(page).expect("a page is text");
    pages.iter().map(read).collect()
}

#[test]
fn a_word_that_is_no_public_fact_is_refused_with_its_line_and_the_known_ones() {
    let farm = with("\n[public]\nshow = [\"buyers\"]\n");
    let told = refused(&farm, "2026-04-05", "publish public");
    assert!(
        told.contains("[public] show: `buyers` is not known here; write `made-from`"),
        "{told}"
    );
    assert!(told.contains("castlot.toml, line "), "{told}");
    assert!(!farm.path("public").exists());
}

/// Held and released by castlot itself, so that its words and the pages keep to each other.
#[test]
fn a_delivery_that_waits_for_its_bean_test_is_on_hold_in_the_diary_and_not_on_its_page() {
    let farm = with("\n[hold]\nincoming = [\"manure\"]\n");
    let brought =
        "record delivery --kind manure --name dung --supplier 'a yard' --amount 40kg --ref waits";
    let told = farm.on("2026-04-04", brought);
    assert!(
        told.contains("on hold until a bean test is recorded"),
        "{told}"
    );
    let pages = said(&farm);
    assert!(!pages.contains("On hold") && pages.contains("No hold or recall is recorded."));
    farm.did("2026-04-04", "hold waits --why 'smells of diesel'");
    assert!(said(&farm).contains("On hold since 4\u{a0}April 2026"));
}

#[test]
fn publish_warns_of_a_claim_without_ground_and_writes_the_pages_all_the_same() {
    let farm = with("\n[wording]\nuse = \"Organic goodness: dig it in.\"\n");
    let told = farm.on("2026-04-05", "publish public");
    let warned: Vec<&str> = told
        .lines()
        .filter(|line| line.starts_with("warning"))
        .collect();
    assert_snapshot!(warned.join("\n"), @"warning: `Organic` is a claim that needs ground (`organic`); it stands on the pages of 1 run");
    assert!(farm.path("public/index.html").exists());
}
