//! What holds of every farm: traces that agree from both ends, shares that sum to 1, one farm from any order of
//! recording and from its own export, and the same bytes every time.

use std::collections::{BTreeMap, BTreeSet};

use castlot::farm::{Farm, LotId, LotSort, Moment, Way as By};
use castlot::sheets::export;
use castlot::trace::{Exposed, Reached, Relation, Side, Start, back, forward};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

use super::farm_sum::{NONE, differences, sum_of};
use super::random_farm::{SheetRow, ask, farms, mark, moment, record, record_folder};

/// Shares are told to nine places; what rounding adds up to stays below this.
const NEARLY: f64 = 1e-9;

proptest! {
    #![proptest_config(cases(200))]

    /// Also: how it is reached, and how weak the amounts on the way are, is the same from both ends.
    #[test]
    fn a_lot_is_behind_another_exactly_when_that_is_ahead_of_it(grown in farms(40)) {
        let farm = &grown.farm;
        prop_assert_eq!(manners(farm, Side::Back), manners(farm, Side::Forward));
    }

    /// What suspects are counted by is the reach of the trace, on every kind of way.
    #[test]
    fn a_run_is_exposed_exactly_when_the_trace_reaches_it(grown in farms(40)) {
        let farm = &grown.farm;
        let runs: Vec<LotId> = farm
            .lots()
            .filter(|(_, lot)| matches!(lot.sort, LotSort::Run(_)))
            .map(|(id, _)| id)
            .collect();
        let by = |way| Exposed::of(farm, way, runs.clone());
        let (part, live, any) = (by(By::Part), by(By::Live), by(By::Any));
        for (lot, _) in farm.lots() {
            let reached = forward(farm, Start { lot, serial: None, when: None });
            let (part, live, any) = (part.reached_by(lot), live.reached_by(lot), any.reached_by(lot));
            for (place, run) in runs.iter().enumerate().filter(|(_, run)| **run != lot) {
                let relation = reached.iter().find(|one| one.lot == *run).map(|one| one.relation);
                prop_assert_eq!(any.holds(place), relation.is_some());
                prop_assert_eq!(part.holds(place), relation == Some(Relation::Part));
                // What is part may be alive as well.
                let alive = live.holds(place);
                prop_assert_eq!(relation == Some(Relation::Live), alive && !part.holds(place));
            }
        }
    }

    /// A is behind B at a moment exactly when what A sends on first comes into B by then; B is ahead of A from a
    /// moment on exactly when what comes into B leaves A last from then on.
    #[test]
    fn a_moment_cuts_both_sides_of_a_trace_alike(grown in farms(40), day in 1_u8..14, hour in 7_u8..20) {
        let farm = &grown.farm;
        for when in [moment(&format!("2026-03-{day:02}")), moment(&format!("2026-03-{day:02}T{hour:02}:30"))] {
            let by_then = ways(farm, Side::Forward, None, |reached| reached.first.could_precede(when));
            prop_assert_eq!(by_then, ways(farm, Side::Back, Some(when), |_| true));
            let from_then = ways(farm, Side::Back, None, |reached| when.could_precede(reached.last));
            prop_assert_eq!(from_then, ways(farm, Side::Forward, Some(when), |_| true));
        }
    }

    #[test]
    fn the_shares_of_every_lot_sum_to_1_or_are_all_unknown(grown in farms(60)) {
        for (lot, _) in grown.farm.lots() {
            let told = ask(&grown.farm, lot, Side::Back, None);
            let sources = told.back.unwrap_or_default();
            let parts: Vec<Option<f64>> = sources
                .iter()
                .filter(|source| source.basis.is_some())
                .map(|source| source.share)
                .collect();
            if parts.iter().all(Option::is_none) {
                continue;
            }
            let known: Vec<f64> = parts.iter().copied().flatten().collect();
            prop_assert_eq!(known.len(), parts.len(), "{} has some shares and not others", mark(&grown.farm, lot));
            let sum: f64 = known.iter().sum();
            prop_assert!((sum - 1.0).abs() < NEARLY, "{} of {}", sum, mark(&grown.farm, lot));
            prop_assert!(known.iter().all(|share| (0.0..=1.0 + NEARLY).contains(share)));
        }
    }

    #[test]
    fn the_order_of_recording_does_not_matter((grown, seed) in (farms(40), any::<u64>())) {
        if let Some(again) = recorded_in_another_order(&grown.rows, seed) {
            prop_assert_eq!(differences(&sum_of(&again, mark), &sum_of(&grown.farm, mark)), NONE);
        }
    }

    #[test]
    fn an_export_imported_has_the_same_lots_codes_flows_stock_and_traces(grown in farms(50)) {
        let again = record_folder(&Farm::default(), &export(&grown.farm));
        let code = |farm: &Farm, lot: LotId| farm.lot(lot).code.to_string();
        let again = again.map(|again| sum_of(&again, code)).unwrap_or_default();
        prop_assert_eq!(differences(&again, &sum_of(&grown.farm, code)), NONE);
    }
}

/// The properties above would hold of farms on which nothing happens; this one says that much does.
#[test]
fn random_farms_have_every_way_of_being_reached_and_most_can_be_recorded_in_another_order() {
    let mut runner = TestRunner::deterministic();
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    for seed in 0..100 {
        let grown = farms(40).new_tree(&mut runner).expect("a farm").current();
        let farm = &grown.farm;
        let mut note = |what, times| *met.entry(what).or_default() += times;
        for (_, _, relation, weak) in manners(farm, Side::Back) {
            note(relation, 1);
            note(weak, 1);
        }
        let shares = |lot| ask(farm, lot, Side::Back, None).back.unwrap_or_default();
        let sources: Vec<_> = farm.lots().flat_map(|(lot, _)| shares(lot)).collect();
        note(
            "share",
            sources
                .iter()
                .filter(|source| source.share.is_some())
                .count(),
        );
        let told_unknown = |s: &&castlot::trace::Source| s.basis.is_some() && s.share.is_none();
        note("share unknown", sources.iter().filter(told_unknown).count());
        note(
            "opened",
            farm.flows()
                .iter()
                .filter(|flow| flow.packs.is_some())
                .count(),
        );
        let beds = || farm.lots().filter(|(_, lot)| lot.sort == LotSort::Bed);
        note(
            "moved",
            beds().filter(|(_, lot)| lot.stays.len() > 1).count(),
        );
        note(
            "bedded again that day",
            beds()
                .filter(|(_, lot)| is_rebedded(farm, lot.when))
                .count(),
        );
        let again = recorded_in_another_order(&grown.rows, seed);
        note("in another order", usize::from(again.is_some()));
    }
    for (what, least) in [
        ("part", 1_000),
        ("live", 500),
        ("carried", 400),
        ("weighed", 500),
        ("guess", 250),
        ("unknown", 100),
        ("share", 500),
        ("share unknown", 60),
        ("opened", 10),
        ("moved", 5),
        ("bedded again that day", 50),
        ("in another order", 25),
    ] {
        let times = met.get(what).copied().unwrap_or_default();
        assert!(times >= least, "{what}: {times} of {met:?}");
    }
}

/// Whether a bed ended on the day on which one was made.
fn is_rebedded(farm: &Farm, when: Moment) -> bool {
    farm.lots().any(|(_, lot)| {
        lot.ended
            .is_some_and(|ending| ending.when.day() == when.day())
    })
}

/// A pair of lots with a way from the first to the second, and how the other end is reached.
type Way = (LotId, LotId, Reached);

/// Returns every way, found from whichever end is asked.
fn all_ways(farm: &Farm, side: Side, when: Option<Moment>) -> Vec<Way> {
    let of = |lot: LotId| {
        let start = Start {
            lot,
            serial: None,
            when,
        };
        let found = match side {
            Side::Back => back(farm, start),
            Side::Forward => forward(farm, start),
        };
        found.into_iter().map(move |reached| match side {
            Side::Back => (reached.lot, lot, reached),
            Side::Forward => (lot, reached.lot, reached),
        })
    };
    farm.lots().flat_map(|(lot, _)| of(lot)).collect()
}

/// Returns the pairs of lots between which there is a way that a test lets pass.
fn ways(
    farm: &Farm,
    side: Side,
    when: Option<Moment>,
    passes: impl Fn(&Reached) -> bool,
) -> BTreeSet<(LotId, LotId)> {
    let all = all_ways(farm, side, when).into_iter();
    all.filter(|(.., reached)| passes(reached))
        .map(|(from, to, _)| (from, to))
        .collect()
}

/// Returns every way with how it reaches and how weak its amounts are, where that is told.
fn manners(farm: &Farm, side: Side) -> BTreeSet<(LotId, LotId, &'static str, &'static str)> {
    let all = all_ways(farm, side, None).into_iter();
    all.map(|(from, to, reached)| {
        let weak = match reached.relation {
            Relation::Part => reached.basis.word(),
            Relation::Live | Relation::Carried => "",
        };
        (from, to, reached.relation.word(), weak)
    })
    .collect()
}

/// Records rows in another order, each as soon as it is accepted, or tells that some never were.
///
/// Of rows of one day and one rank without different times the format takes the one recorded first, so those keep
/// their order.
fn recorded_in_another_order(rows: &[SheetRow], seed: u64) -> Option<Farm> {
    let mut waiting: Vec<(u64, usize)> = (0..rows.len())
        .map(|place| {
            (
                seed.wrapping_mul(2 * place as u64 + 1)
                    .rotate_left(29)
                    .wrapping_mul(0x9E37_79B9_7F4A_7C15),
                place,
            )
        })
        .collect();
    waiting.sort_unstable();
    let mut waiting: Vec<usize> = waiting.into_iter().map(|(_, place)| place).collect();
    let mut farm = Farm::default();
    while !waiting.is_empty() {
        let is_free = |place: &usize| {
            !waiting
                .iter()
                .any(|other| other < place && is_tied(&rows[*other], &rows[*place]))
        };
        let next = waiting
            .iter()
            .copied()
            .filter(is_free)
            .find_map(|place| Some((place, record(&farm, &rows[place])?)));
        let (taken, recorded) = next?;
        farm = recorded;
        waiting.retain(|place| *place != taken);
    }
    Some(farm)
}

fn is_tied(a: &SheetRow, b: &SheetRow) -> bool {
    let differ = a.minute.is_some() && b.minute.is_some() && a.minute != b.minute;
    a.day == b.day && a.noun.rank() == b.noun.rank() && !differ
}

/// So many cases; what fails is told with its rows, and no file of seeds is kept.
fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(cases)
    }
}
