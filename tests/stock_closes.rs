//! Stock closes: at every moment of random farms, the packs of each run are where the diary says, each once.

use std::cell::Cell;

use castlot::farm::{Event, Farm, LotId, Noun, ReturnState, Shelf, Thrown, Warning, Which};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::random_farm::{Cells, SheetRow, farms, mark, record};

/// So many shelves at least are compared with a plain addition of their rows.
const LEAST_COMPARED: u32 = 400;

#[test]
fn packs_are_where_the_diary_says_each_once() {
    let config = ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(48)
    };
    let steps = vec((0_u8..16, any::<[u8; 3]>()), 4..40);
    let compared = Cell::new(0);
    let held = TestRunner::new(config).run(&(farms(24), steps), |(grown, steps)| {
        let mut farm = with_two_runs(&grown.farm);
        for (turn, (kind, choices)) in (2..).zip(steps) {
            let (noun, cells) = shelf_step(&farm, kind, choices);
            let cells: Vec<(&str, &str)> = cells
                .iter()
                .map(|(name, text)| (*name, text.as_str()))
                .collect();
            if let Some(next) = record(&farm, &row(noun, turn, &cells)) {
                farm = next;
            }
            compared.set(compared.get() + hold(&farm)?);
        }
        Ok(())
    });
    if let Err(error) = held {
        panic!("{error}");
    }
    assert!(
        compared.get() > LEAST_COMPARED,
        "{} compared",
        compared.get()
    );
}

/// Holds that every shelf closes and is what its rows add up to; returns how many could be added up.
fn hold(farm: &Farm) -> Result<u32, TestCaseError> {
    let mut compared = 0;
    for (id, lot) in farm.lots() {
        let Some(shelf) = &lot.shelf else {
            continue;
        };
        let name = mark(farm, id);
        prop_assert!(closes(shelf), "{name} {shelf:?}");
        if let Some(there) = by_the_rows(farm, id) {
            compared += 1;
            let found = [shelf.in_store(), shelf.out(), shelf.complained()].map(i64::from);
            prop_assert_eq!(found, [there.store, there.out, there.apart], "{}", name);
        }
    }
    Ok(compared)
}

fn with_two_runs(farm: &Farm) -> Farm {
    let packed = |farm: Farm, turn: u16| {
        let run = format!("filled-{turn}");
        let cells = [
            ("product", "bag20"),
            ("count", "5"),
            ("from", "d-0 ?"),
            ("ref", &run),
        ];
        record(&farm, &row(Noun::Pack, turn, &cells)).expect("straw can be packed")
    };
    (0..2).fold(farm.clone(), packed)
}

/// Rows that touch shelves, some of them wrong.
fn shelf_step(farm: &Farm, kind: u8, [a, b, c]: [u8; 3]) -> (Noun, Cells) {
    let runs: Vec<LotId> = farm
        .lots()
        .filter(|(_, lot)| lot.shelf.is_some())
        .map(|(id, _)| id)
        .collect();
    let run = mark(farm, runs[usize::from(a) % runs.len()]);
    let first = b % 5 + 1;
    let packs = match c % 9 {
        0..=2 => format!("{run} #{first}"),
        3..=5 => format!("{run} #{first}-{}", (first + 1).min(5)),
        6 | 7 => format!("{run} x{}", b % 3 + 1),
        _ => format!("{run} all"),
    };
    let with = |name: &'static str, text: &str| (name, text.to_owned());
    match kind {
        0..=5 => (
            Noun::Sale,
            vec![("packs", packs), with("market", "Quay market")],
        ),
        6..=8 => (
            Noun::Return,
            vec![("packs", packs), with("state", "unsold")],
        ),
        9 | 10 => (
            Noun::Return,
            vec![("packs", packs), with("state", "complained")],
        ),
        11 | 12 => (Noun::Thrown, vec![("what", packs), with("why", "split")]),
        13 | 14 => {
            let from = format!("{run}/{first} 15L; d-0 1kg");
            (Noun::Blend, vec![with("kind", "castings"), ("from", from)])
        }
        _ => (
            Noun::Count,
            vec![
                ("lot", run),
                ("found", (b % 6 + 1).to_string()),
                with("why", "miscounted"),
            ],
        ),
    }
}

/// A row of the end of March, each some minutes after the one before.
fn row(noun: Noun, turn: u16, cells: &[(&'static str, &str)]) -> SheetRow {
    SheetRow {
        noun,
        day: 30,
        minute: Some(8 * 60 + turn * 7),
        cells: cells
            .iter()
            .map(|(name, text)| (*name, (*text).to_owned()))
            .collect(),
    }
}

/// Tells whether made and over are with buyers, in store, thrown out, opened, kept apart and lost, and what is with
/// buyers is what was sold less what came back.
fn closes(shelf: &Shelf) -> bool {
    let there = [
        shelf.out(),
        shelf.in_store(),
        shelf.thrown(),
        shelf.opened(),
        shelf.complained(),
    ];
    let there: i64 = there.into_iter().map(i64::from).sum();
    i64::from(shelf.made()) + i64::from(shelf.over()) == there + shelf.lost()
        && i64::from(shelf.sold()) - i64::from(shelf.returned()) == i64::from(shelf.out())
}

/// Where the packs of a run are by plain addition of the rows.
#[derive(Debug, Default)]
struct There {
    store: i64,
    out: i64,
    apart: i64,
}

/// Adds up the rows about a run; `None` where one of them says `all`, counts, or was let pass with a word.
fn by_the_rows(farm: &Farm, run: LotId) -> Option<There> {
    let code = farm.lot(run).code;
    let Event::Pack { count, .. } = farm.making(run) else {
        return None;
    };
    let odd = |warning: &Warning| match warning {
        Warning::MorePacks { code: of, .. } | Warning::PackElsewhere { code: of, .. } => {
            *of == code
        }
        _ => false,
    };
    if farm.warnings().iter().any(|(_, warning)| odd(warning)) {
        return None;
    }
    let mut there = There {
        store: i64::from(*count),
        ..There::default()
    };
    for place in farm.order() {
        let event = farm.entries()[*place].event.as_ref()?;
        let (packs, opened) = match event {
            Event::Sale { packs, .. } | Event::Return { packs, .. } => (packs.as_slice(), 0),
            Event::Thrown {
                what: Thrown::Packs(packs),
                ..
            } => (packs.as_slice(), 0),
            Event::Blend { from, .. } | Event::Pack { from, .. } => {
                let of_run = from.iter().filter(|draw| draw.lot == code);
                (
                    &[][..],
                    of_run.filter_map(|draw| Some(draw.packs?.count())).sum(),
                )
            }
            Event::Count { lot, .. } if *lot == code => return None,
            _ => (&[][..], 0),
        };
        there.store -= i64::from(opened);
        for pick in packs.iter().filter(|pick| pick.run == code) {
            let many = match pick.which {
                Which::Serials(range) => i64::from(range.count()),
                Which::Unnumbered(many) => i64::from(many),
                Which::All => return None,
            };
            match event {
                Event::Sale { .. } => {
                    there.store -= many;
                    there.out += many;
                }
                Event::Return {
                    state: ReturnState::Complained,
                    ..
                } => {
                    there.out -= many;
                    there.apart += many;
                }
                Event::Return {
                    state: ReturnState::Unsold,
                    ..
                } => {
                    // What was kept apart goes back on the shelf by a return, too; the rows do not say which it is.
                    if there.apart > 0 {
                        return None;
                    }
                    there.out -= many;
                    there.store += many;
                }
                _ => there.store -= many,
            }
        }
    }
    Some(there)
}
