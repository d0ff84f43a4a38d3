//! Stock closes: at every moment of random farms, the packs of each run are where the diary says, each once.

use castlot::farm::{Event, Farm, LotId, Noun, ReturnState, Shelf, Thrown, Warning, Which};
use proptest::collection::vec;
use proptest::prelude::*;

use super::random_farm::{Cells, SheetRow, farms, mark, record};

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn packs_are_where_the_diary_says_each_once(
        grown in farms(24),
        steps in vec((0_u8..9, any::<[u8; 3]>()), 4..40),
    ) {
        let mut farm = grown.farm;
        for turn in 0..2 {
            let run = format!("filled-{turn}");
            let cells = [("product", "bag20"), ("count", "5"), ("from", "d-0 ?"), ("ref", &run)];
            farm = record(&farm, &row(Noun::Pack, turn, &cells)).expect("straw can be packed");
        }
        for (turn, (kind, choices)) in (2..).zip(steps) {
            let (noun, cells) = shelf_step(&farm, kind, choices);
            let cells: Vec<(&str, &str)> = cells.iter().map(|(name, text)| (*name, text.as_str())).collect();
            if let Some(next) = record(&farm, &row(noun, turn, &cells)) {
                farm = next;
            }
            for (id, lot) in farm.lots() {
                if let Some(shelf) = &lot.shelf {
                    prop_assert!(closes(shelf), "{} {shelf:?}", mark(&farm, id));
                    if let Some(there) = by_the_rows(&farm, id) {
                        let found = (shelf.in_store(), shelf.out(), shelf.complained());
                        prop_assert_eq!(i64::from(found.0), there.store, "{} in store", mark(&farm, id));
                        prop_assert_eq!(i64::from(found.1), there.out, "{} with buyers", mark(&farm, id));
                        prop_assert_eq!(i64::from(found.2), there.apart, "{} apart", mark(&farm, id));
                    }
                }
            }
        }
    }
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
    let packs = match c % 4 {
        0 => format!("{run} #{first}"),
        1 => format!("{run} #{first}-{}", (first + 1).min(5)),
        2 => format!("{run} x{}", b % 3 + 1),
        _ => format!("{run} all"),
    };
    let with = |name: &'static str, text: &str| (name, text.to_owned());
    match kind {
        0..=2 => (
            Noun::Sale,
            vec![("packs", packs), with("market", "Quay market")],
        ),
        3 | 4 => (
            Noun::Return,
            vec![("packs", packs), with("state", "unsold")],
        ),
        5 => (
            Noun::Return,
            vec![("packs", packs), with("state", "complained")],
        ),
        6 => (Noun::Thrown, vec![("what", packs), with("why", "split")]),
        7 => {
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
