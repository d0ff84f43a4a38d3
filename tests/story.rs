//! From two telephone calls to a finished recall, command by command, on the demo farm as it stood then.
//!
//! The sheets are cut at the evening of the second call; nothing that came later, and no word of what was behind it, is in
//! the diary. What castlot finds is held against `season`, which works it out from the sheets without castlot.

use std::collections::BTreeSet;

use serde_json::Value;

use super::dsl::TestFarm;
use super::season::{Cells, Season};

/// The load behind the two calls, when it came, the evening of the second call, the hold and the recall.
const LOAD: &str = "manure-2";
const CAME: &str = "2026-03-23T14:20";
const SECOND_CALL: &str = "2026-09-17T19:20";
const HELD: &str = "2026-09-18T16:30";
const RECALLED: &str = "2026-10-09T09:00";

/// A farm, and all that was typed and said on it, one command under the other.
pub struct Story {
    pub farm: TestFarm,
    told: String,
    /// Up to when the season is recorded.
    now: String,
}

impl Story {
    /// Makes the farm as it stood at a moment.
    pub fn at(until: &str) -> Self {
        let mut story = Self {
            farm: TestFarm::new(),
            told: String::new(),
            now: String::new(),
        };
        story.goes_on(until);
        story
    }

    /// Records the next stretch of the season, up to a moment.
    pub fn goes_on(&mut self, until: &str) {
        let folder = format!("sheets-until-{}", until.replace(':', "-"));
        let season = Season::between(&self.now, until, is_of_the_story);
        if !season.is_empty() {
            for (name, bytes) in season.files() {
                self.farm.put(&format!("{folder}/{name}"), bytes);
            }
            self.farm.did(until, &format!("import {folder}"));
        }
        until.clone_into(&mut self.now);
    }

    /// Types a command at a moment (UTC, an hour before the farm's clock) and notes what is said.
    fn tell(&mut self, when: &str, line: &str) -> String {
        let said = self.farm.on(when, line);
        self.told.push_str(&format!("$ castlot {line}\n{said}"));
        said
    }

    fn json(&self, when: &str, line: &str) -> Value {
        let said = self.farm.on(when, &format!("{line} --json"));
        serde_json::from_str(&said).unwrap_or_else(|_| panic!("castlot {line}\n{said}"))
    }
}

/// Whether a row tells of the calls about leaves or of what came of them: the story types those itself.
fn is_of_the_story(sheet: &str, row: &Cells) -> bool {
    match sheet {
        "complaints" => row["sign"].contains("cupped"),
        "holds" | "tests" => row["lot"] == LOAD,
        "returns" => row["state"] == "complained",
        "recalls" => true,
        _ => false,
    }
}

#[test]
fn two_calls_lead_to_one_load_and_every_pack_it_reached_is_asked_back() {
    let mut story = Story::at("2026-08-06T18:50");
    the_calls(&mut story);
    insta::assert_snapshot!("calls", std::mem::take(&mut story.told));
    the_hold(&mut story);
    insta::assert_snapshot!("hold", std::mem::take(&mut story.told));
    story.goes_on(RECALLED);
    the_recall(&mut story);
    insta::assert_snapshot!("recall", std::mem::take(&mut story.told));
    the_replies(&mut story);
    insta::assert_snapshot!("replies", std::mem::take(&mut story.told));
}

fn the_calls(story: &mut Story) {
    let first = "complaint take --sign 'tomato tops curled and cupped like a fist, stems twisted' --heard 'seventy dash oh one' \
                 --bought-at 'an allotment society behind the chapel' --about 2026-06 --contact '01632 960847'";
    story.tell("2026-08-06T17:50", first);
    story.tell(
        "2026-08-06T17:55",
        "complaint narrow call-2 --pack 'run-36 #1' --why 'read off the bag'",
    );
    story.tell("2026-08-06T17:56", "suspects call-2");
    story.goes_on(SECOND_CALL);
    let second = "complaint take --sign 'runner beans cupped and twisted, grass in the same pot fine' --pack 'run-44 #1' \
                  --bought-at 'Quay market' --about 2026-07 --contact '01632 960863'";
    story.tell("2026-09-17T18:20", second);
    story.tell("2026-09-17T18:25", "suspects");

    let found = story.json("2026-09-17T18:25", "suspects");
    assert_eq!(found["suspects"][0]["ref"], LOAD);
    assert_eq!(found["verdict"], "leads");
    let test = &found["test"];
    assert_eq!(
        [&test["test"], &test["ref"], &test["kept"]],
        ["bean", LOAD, "jar 2"]
    );
}

fn the_hold(story: &mut Story) {
    story.goes_on(HELD);
    story.tell(
        "2026-09-18T15:30",
        "hold manure-2 --why 'two calls about curled leaves meet in this load; hay was never vouched for'",
    );
    // It reaches everything at once: what is for sale, what is in a bucket, what is on the rack, and the bag's page.
    story.tell(
        "2026-09-18T15:31",
        "sell run-39/5 --to 'a pot-plant grower'",
    );
    story.tell("2026-09-18T15:31", "feed B01 mix-46 200g");
    story.tell("2026-09-18T15:32", "pack bag5 2 --from blend-15:1.5kg");
    story.tell("2026-09-18T15:33", "label run-66 --proof");
    story.tell("2026-09-18T15:34", "publish pages");
    let page = std::fs::read_to_string(story.farm.path("pages/P26233-04-0/index.html"));
    let page = page.expect("a run in store has a page");
    assert!(page.contains("On hold"), "{page}");

    let season = Season::between("", HELD, is_of_the_story);
    let stock = story.json("2026-09-18T15:35", "stock");
    let held = stock["runs"].as_array().expect("runs are a list").iter();
    let held = held.filter(|run| run["held"] == true);
    let held: BTreeSet<String> = held.map(|run| text(&run["ref"])).collect();
    assert_eq!(held, season.runs_with(LOAD));
}

fn the_recall(story: &mut Story) {
    let test = "record test --lot manure-2 --test bean --value fail --unit pots --by NT \
                --method 'kept sample, 6 pots of 2:1 mix, 3 controls, 3 beans a pot, read at 20 days'";
    story.tell("2026-10-09T08:00", test);
    let open = "recall open recall-1 --from manure-2 --why 'bean test of the kept sample failed'";
    story.tell("2026-10-09T09:00", open);
    story.tell("2026-10-09T09:01", &format!("{open} --carried out"));

    let season = Season::between("", RECALLED, is_of_the_story);
    let state = story.json("2026-10-09T09:02", "recall show recall-1");
    let runs = state["frozen"]["runs"].as_array().expect("runs are a list");
    let named: BTreeSet<String> = runs.iter().map(|run| text(&run["ref"])).collect();
    assert_eq!(named, season.runs_with(LOAD));
    for run in runs {
        assert_eq!(
            run["only"],
            Value::Array(Vec::new()),
            "a run is asked back whole"
        );
    }
    let packs = season
        .rows("packs")
        .iter()
        .filter(|row| named.contains(&row["ref"]));
    let packs: u32 = packs
        .map(|row| row["count"].parse::<u32>().expect("a count"))
        .sum();
    assert_eq!(state["figures"]["then"]["made"], packs);
    assert_eq!(state["figures"]["then"]["traced"], packs);
    // What had left the beds before the load came is in none of them.
    let (mut before, mut after) = (0, 0);
    for (run, sieved) in season.sieved() {
        let has_one_since = sieved.iter().any(|when| when.as_str() > CAME);
        assert!(
            has_one_since || !named.contains(&run),
            "{run} was sieved before the load came"
        );
        before += u32::from(!sieved.is_empty() && !has_one_since);
        after += u32::from(has_one_since && !named.contains(&run));
    }
    assert!(
        before > 0 && after > 0,
        "{before} runs from before it, {after} since it and clear of it"
    );
}

fn the_replies(story: &mut Story) {
    for (when, line) in [
        (
            "2026-10-09T09:20",
            "told recall-1 --buyer 'a houseplant shop in the arcade' --by-way 'rang, spoke to the owner'",
        ),
        (
            "2026-10-09T10:20",
            "told recall-1 --buyer 'a nursery at the ferry landing' --by-way 'rang, spoke to the owner'",
        ),
        (
            "2026-10-09T11:20",
            "told recall-1 --buyer 'a pot-plant grower under glass' --by-way 'rang, left word'",
        ),
        (
            "2026-10-09T12:20",
            "told recall-1 --buyer 'a school garden on the hill' --by-way 'rang, and wrote'",
        ),
        (
            "2026-10-10T07:00",
            "told recall-1 --market 'Quay market' --by-way 'a board at the stall'",
        ),
        (
            "2026-10-10T09:20",
            "told recall-1 --buyer 'an allotment society behind the chapel' --by-way 'rang'",
        ),
        (
            "2026-10-13T10:15",
            "returned recall-1 --packs run-39/3-4 --buyer 'a houseplant shop in the arcade'",
        ),
        (
            "2026-10-16T10:15",
            "returned recall-1 --packs run-52/2 --buyer 'a nursery at the ferry landing'",
        ),
        ("2026-10-16T10:20", "show recall-1"),
        (
            "2026-10-17T07:00",
            "told recall-1 --market 'Upper Marl fair' --by-way 'a board at the stall'",
        ),
        (
            "2026-10-17T07:05",
            "told recall-1 --market 'Lammas fair' --by-way 'a notice in the window'",
        ),
    ] {
        story.tell(when, &format!("recall {line}"));
    }
    for paper in [
        "trace-file manure-2",
        "recall-notice recall-1",
        "stall-sign recall-1",
        "recall-report recall-1 --csv recall-1.csv",
    ] {
        story.tell("2026-10-17T08:00", &format!("paper {paper}"));
    }
    story.tell(
        "2026-10-17T08:30",
        "recall close recall-1 --why 'all that could be reached are told'",
    );
    story.tell("2026-10-17T08:31", "recall list");
    story.tell("2026-10-17T08:32", "verify");
    let list = std::fs::read_to_string(story.farm.path("recall-1.csv")).expect("it was written");
    assert_eq!(
        list.lines().count(),
        1 + 61,
        "one row a pack below the header"
    );
}

#[test]
fn worms_of_the_wrong_kind_are_found_by_the_worms_and_no_bag_is_asked_back() {
    let call = "2026-06-17T11:30";
    let mut story = Story::at(call);
    story.tell("2026-06-17T10:30", "complaint take --sign 'thin, fast worms, not the bait worms of the lid' --pack run-19 --contact '01632 960671'");
    story.tell("2026-06-17T10:31", "suspects call-1");
    story.tell("2026-06-17T10:32", "trace run-19 --back");
    story.tell(
        "2026-06-17T11:30",
        "hold worms-4 --why 'wrong species, not to go out as bait worms'",
    );
    story.tell(
        "2026-06-17T11:31",
        "recall open recall-1 --from worms-4 --why 'sold to us under the wrong name'",
    );
    insta::assert_snapshot!("worms", std::mem::take(&mut story.told));

    let found = story.json("2026-06-17T11:32", "suspects call-1");
    assert_eq!(
        [&found["way"], &found["suspects"][0]["ref"]],
        ["live", "worms-4"]
    );
    let season = Season::between("", call, is_of_the_story);
    let state = story.json("2026-06-17T11:32", "recall show recall-1");
    let runs = state["frozen"]["runs"].as_array().expect("runs are a list");
    let named: BTreeSet<String> = runs.iter().map(|run| text(&run["ref"])).collect();
    assert_eq!(named, season.runs_alive_of("worms-4"));
    assert!(
        runs.iter()
            .all(|run| run["relation"] == "live" && run["product"] == "tub50"),
        "{runs:?}"
    );
    assert_eq!(season.runs_with("worms-4"), BTreeSet::new());
}

fn text(value: &Value) -> String {
    value.as_str().expect("it is a text").to_owned()
}
