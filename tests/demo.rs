//! The demo farm tells its story: what `castlot demo` builds holds the two complaints, the load behind them, the red
//! herring, and nothing that could be anybody's.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use castlot::diary::Book;
use castlot::farm::{Event, Farm, LotId, LotSort, Noun};
use castlot::trace::{Relation, Start, back, forward};

use super::dsl::{DEMO_END, words};

/// The demo farm, built once, in the folder `demo-farm` of a home of its own.
pub struct Demo {
    pub home: PathBuf,
    pub said: String,
}

impl Demo {
    /// Builds the farm, unless that was done.
    pub fn built() -> &'static Self {
        static DEMO: OnceLock<Demo> = OnceLock::new();
        DEMO.get_or_init(|| {
            let home = Path::new(env!("CARGO_TARGET_TMPDIR")).join("told-demo-farm");
            if home.exists() {
                std::fs::remove_dir_all(&home).expect("an older demo farm can be removed");
            }
            std::fs::create_dir_all(&home).expect("the folder is ours");
            let done = castlot(&home, &["demo", "demo-farm"]);
            let troubles = String::from_utf8_lossy(&done.stderr);
            assert!(done.status.success(), "castlot demo: {troubles}");
            let said = String::from_utf8_lossy(&done.stdout).into_owned();
            Self { home, said }
        })
    }

    /// Returns what it adds up to.
    pub fn farm() -> Farm {
        let book = Book::open(&Self::built().home.join("demo-farm/diary.db"));
        let farm = book.and_then(|book| book.farm());
        farm.expect("the demo farm has a diary")
    }
}

/// Runs a command in a folder, at the end of the demo farm's season.
pub fn castlot(folder: &Path, words: &[impl AsRef<str>]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_castlot"))
        .args(words.iter().map(AsRef::as_ref))
        .current_dir(folder)
        .env_clear()
        .env("CASTLOT_NOW", format!("{DEMO_END}T09:00:00Z"))
        .output()
        .expect("the program was built")
}

fn lot(farm: &Farm, mark: &str) -> LotId {
    let found = farm.marked(&mark.parse().expect("a mark"));
    found.unwrap_or_else(|| panic!("the demo farm has no {mark}"))
}

fn start(lot: LotId) -> Start {
    Start {
        lot,
        serial: None,
        when: None,
    }
}

/// Returns the lots that a load is part of.
fn part_of(farm: &Farm, mark: &str) -> BTreeSet<LotId> {
    let reached = forward(farm, start(lot(farm, mark)));
    let parts = reached
        .iter()
        .filter(|reached| reached.relation == Relation::Part);
    parts.map(|reached| reached.lot).collect()
}

#[test]
fn the_treated_load_is_part_of_both_runs_with_curled_leaves_and_not_of_the_red_herring() {
    let farm = Demo::farm();
    let reached = part_of(&farm, "manure-2");
    let complained = complained(&farm);
    let [herring, first, second] = ["run-38", "run-36", "run-44"].map(|mark| lot(&farm, mark));
    assert_eq!(complained, BTreeSet::from([herring, first, second]));
    assert!(reached.contains(&first) && reached.contains(&second));
    assert!(!reached.contains(&herring));
    // Of all manure, no other load is part of both.
    let suspects = farm.lots().filter(|(_, lot)| lot.sort.word() == "manure");
    let both = suspects.filter(|(_, lot)| {
        let mark = lot
            .mark
            .as_ref()
            .expect("every load has a mark")
            .to_string();
        let parts = part_of(&farm, &mark);
        parts.contains(&first) && parts.contains(&second) && !parts.contains(&herring)
    });
    assert_eq!(
        both.map(|(id, _)| id).collect::<Vec<_>>(),
        [lot(&farm, "manure-2")]
    );
}

/// Returns the runs that somebody complained of.
fn complained(farm: &Farm) -> BTreeSet<LotId> {
    let events = farm
        .entries()
        .iter()
        .filter_map(|entry| entry.event.as_ref());
    let runs = events.filter_map(|event| match event {
        Event::Complaint {
            pack: Some(pack), ..
        } => farm.lot_of(pack.run),
        _ => None,
    });
    runs.collect()
}

#[test]
fn some_packs_of_the_load_were_sold_and_some_are_in_store() {
    let farm = Demo::farm();
    let shelves: Vec<_> = part_of(&farm, "manure-2")
        .into_iter()
        .filter_map(|lot| farm.lot(lot).shelf.as_ref())
        .collect();
    assert!(shelves.iter().map(|shelf| shelf.sold()).sum::<u32>() > 0);
    assert!(shelves.iter().map(|shelf| shelf.in_store()).sum::<u32>() > 0);
}

#[test]
fn the_proof_is_a_failed_bean_test_and_the_load_is_held() {
    let farm = Demo::farm();
    let load = lot(&farm, "manure-2");
    let failed = farm.lot(load).tests.iter().any(|place| {
        let entry = &farm.entries()[*place];
        matches!(&entry.event, Some(Event::Test { facts, .. }) if &*facts.test == "bean" && &*facts.value == "fail")
    });
    assert!(failed && farm.lot(load).is_held());
}

#[test]
fn the_worms_of_the_wrong_species_were_held_until_sorted_out_and_a_test_says_which_they_are() {
    let farm = Demo::farm();
    let worms = lot(&farm, "worms-4");
    let sold_as = farm
        .species(worms)
        .expect("a species was written on the note")
        .to_owned();
    let found =
        farm.lot(worms)
            .tests
            .iter()
            .find_map(|place| match &farm.entries()[*place].event {
                Some(Event::Test { facts, .. }) if &*facts.test == "species" => {
                    Some(facts.value.to_string())
                }
                _ => None,
            });
    let holds = &farm.lot(worms).holds;
    assert!(holds.iter().all(|hold| hold.released.is_some()) && !holds.is_empty());
    assert!(found.is_some_and(|found| found != sold_as));
}

#[test]
fn it_is_a_season_of_1500_entries_and_more_on_36_bins_and_3_racks() {
    let farm = Demo::farm();
    assert!(farm.entries().len() >= 1_500, "{}", farm.entries().len());
    let standing = farm
        .bins()
        .values()
        .map(|bin| bin.standing.as_ref().expect("every bin is set up"));
    let racks: BTreeSet<String> = standing
        .map(|standing| standing.place.rack().to_owned())
        .collect();
    assert_eq!((farm.bins().len(), racks.len()), (36, 3));
    let nouns: BTreeSet<&str> = farm
        .entries()
        .iter()
        .filter_map(|entry| Some(entry.event.as_ref()?.noun().word()))
        .collect();
    assert_eq!(nouns.len(), Noun::ALL.len(), "{nouns:?}");
}

#[test]
fn one_entry_is_struck_and_one_is_corrected() {
    let farm = Demo::farm();
    let strikes = farm
        .entries()
        .iter()
        .filter(|entry| entry.strikes.is_some());
    let (corrected, struck): (Vec<_>, Vec<_>) = strikes.partition(|entry| entry.event.is_some());
    assert!(!struck.is_empty() && !corrected.is_empty());
    assert_eq!(farm.faults(), []);
}

#[test]
fn no_kitchen_waste_is_part_of_anything_that_is_packed() {
    let farm = Demo::farm();
    let kitchens: BTreeSet<LotId> = farm
        .lots()
        .filter(|(id, _)| {
            farm.delivery(*id)
                .is_some_and(|facts| facts.name.contains("kitchen"))
        })
        .map(|(id, _)| id)
        .collect();
    assert!(!kitchens.is_empty(), "the farm does take kitchen waste");
    let runs = farm
        .lots()
        .filter(|(_, lot)| matches!(lot.sort, LotSort::Run(_)));
    for (run, packed) in runs {
        let parts = back(&farm, start(run));
        let mut parts = parts
            .iter()
            .filter(|reached| reached.relation == Relation::Part);
        assert!(
            !parts.any(|reached| kitchens.contains(&reached.lot)),
            "{}",
            packed.code
        );
    }
}

#[test]
fn the_last_five_lines_name_things_that_are_there() {
    let demo = Demo::built();
    let lines: Vec<&str> = demo.said.lines().collect();
    let last = &lines[lines.len() - 5..];
    assert_eq!(lines[lines.len() - 6], "", "five lines stand apart");
    for line in last {
        let (_, what) = line.split_once(": ").expect("a line says what is where");
        match what.trim().strip_prefix("castlot ") {
            Some(command) => {
                let done = castlot(&demo.home, &words(command));
                assert!(done.status.success() && !done.stdout.is_empty(), "{line}");
            }
            None => {
                let path = demo.home.join(what.trim());
                assert!(path.is_file(), "{line}");
            }
        }
    }
}
