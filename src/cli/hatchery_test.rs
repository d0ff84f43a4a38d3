//! Hatch counts as they are read from checks.

use jiff::civil::date;

use crate::farm::{CheckFacts, Moment};

use super::seen;

/// Reads counts, each of a day in April: worms, cocoons.
fn read(counts: &[(i8, &str, &str)]) -> crate::trade::Seen {
    let said = |text: &str| (!text.is_empty()).then(|| text.into());
    let facts: Vec<CheckFacts> = counts
        .iter()
        .map(|(_, worms, cocoons)| CheckFacts {
            worms: said(worms),
            cocoons: said(cocoons),
            ..CheckFacts::default()
        })
        .collect();
    let days = counts
        .iter()
        .map(|(day, ..)| Moment::day_only(date(2026, 4, *day)));
    seen(&days.zip(&facts).collect::<Vec<_>>())
}

#[test]
fn counts_tell_when_the_hatch_begins_and_ends() {
    let seen = read(&[
        (1, "0", "27"),
        (5, "0", "30"),
        (9, "14", "19"),
        (14, "9", "6"),
        (28, "14", "0"),
        // After that, cocoons are the young worms' own.
        (30, "14", "3"),
    ]);
    let day = |day| Some(date(2026, 4, day));
    assert_eq!((seen.none_on, seen.some_on), (day(5), day(9)));
    assert_eq!((seen.left_on, seen.all_on), (day(14), day(28)));
}

#[test]
fn what_is_no_count_tells_nothing() {
    assert_eq!(
        read(&[(1, "lively", "pale"), (2, "", ""), (3, "0", "0")]),
        Default::default()
    );
    // A later slip, none seen where some were before, does not take the hatch back.
    let seen = read(&[(1, "3", "9"), (4, "0", "9")]);
    assert_eq!(seen.none_on, None);
    assert_eq!(seen.some_on, Some(date(2026, 4, 1)));
}
