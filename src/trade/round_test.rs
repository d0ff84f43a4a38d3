//! When a bed is due, and that no bed is forgotten.

use jiff::civil::date;
use jiff::tz::TimeZone;

use super::*;
use crate::farm::scenario::Scenario;

/// A bed of a kilogram of worms in A01, made up on the second of March, and a bucket of feed.
const BED: [&str; 8] = [
    "2026-03-01 bin A01 R1/S1/P1",
    "2026-03-01 bin A02 R1/S1/P2",
    "2026-03-01 bin B01 R2/S1/P1",
    "2026-03-01 delivery straw bedding 50kg",
    "2026-03-01 delivery worms worms 9kg",
    "2026-03-01 delivery muck manure 90kg",
    "2026-03-02T09:00 bed first A01 straw=4kg worms=1kg",
    "2026-03-03 blend bucket feed muck=20kg",
];

fn after(more: &[&str]) -> Scenario {
    Scenario::of(&[&BED[..], more].concat())
}

fn settings() -> Settings {
    Settings::of("a farm", "GB", TimeZone::UTC)
}

/// A kilogram of worms in every bed.
fn kilogram(farm: &Farm) -> BTreeMap<LotId, u64> {
    farm.lots().map(|(lot, _)| (lot, 1000)).collect()
}

fn stop_on(scenario: &Scenario, day: Date) -> Stop {
    let round = Round {
        farm: &scenario.farm,
        settings: &settings(),
        worms: &kilogram(&scenario.farm),
        day,
    };
    round.stops(Some("R1")).swap_remove(0)
}

/// Returns what is due in A01 on a day of March.
fn due(more: &[&str], day: i8) -> String {
    let stop = stop_on(&after(more), date(2026, 3, day));
    format!("{}: {}", stop.to_do(&after(more).farm), stop.why())
}

#[test]
fn a_new_bed_settles_and_then_begins_with_half() {
    assert_eq!(
        due(&[], 3),
        "not until 2026-03-04: new, bedded on 2026-03-02"
    );
    // Half a kilogram a day for three days is the most.
    assert_eq!(due(&[], 4), "feed 750g bucket: new, bedded on 2026-03-02");
}

#[test]
fn a_fed_bed_is_due_when_it_should_be_clear_or_is_found_so() {
    let fed = "2026-03-05T09:00 feed A01 bucket=600g";
    assert_eq!(due(&[fed], 7), "not until 2026-03-08: fed on 2026-03-05");
    assert_eq!(
        due(&[fed], 8),
        "feed 600g bucket: fed on 2026-03-05, every 3 days"
    );
    let clear = "2026-03-06T17:00 check A01 none";
    assert_eq!(
        due(&[fed, clear], 6),
        "feed 600g bucket: none left on 2026-03-06"
    );
}

#[test]
fn a_bed_with_food_left_is_not_fed_and_is_looked_at_after_two_days() {
    let fed = "2026-03-05T09:00 feed A01 bucket=600g";
    let left = "2026-03-08T09:00 check A01 some";
    assert_eq!(
        due(&[fed, left], 9),
        "not until 2026-03-10: some left on 2026-03-08"
    );
    for day in [10, 11, 30] {
        assert_eq!(due(&[fed, left], day), "look: some left on 2026-03-08");
    }
    let again = "2026-03-10T09:00 check A01 lots";
    assert_eq!(
        due(&[fed, left, again], 11),
        "not until 2026-03-12: lots left on 2026-03-10"
    );
    let skipped = "2026-03-08T09:00 skip A01 food left";
    assert_eq!(
        due(&[fed, skipped], 9),
        "not until 2026-03-10: skipped: food left"
    );
    assert_eq!(due(&[fed, skipped], 10), "look: food left on 2026-03-08");
}

#[test]
fn a_bed_passed_over_for_another_reason_is_due_the_next_day() {
    let rows = [
        "2026-03-05T09:00 feed A01 bucket=600g",
        "2026-03-08T09:00 skip A01 ran out",
    ];
    assert_eq!(due(&rows, 8), "not until 2026-03-09: skipped: ran out");
    assert_eq!(
        due(&rows, 9),
        "feed 600g bucket: fed on 2026-03-05, every 3 days"
    );
}

#[test]
fn what_was_seen_before_a_feed_or_with_it_says_nothing_of_it() {
    let (fed, day) = (
        "2026-03-08T09:00 feed A01 bucket=600g",
        "2026-03-08 feed A01 bucket=600g",
    );
    for seen in [
        "2026-03-08T08:00 check A01 lots",
        "2026-03-08T09:00 check A01 lots",
        "2026-03-08 check A01 lots",
    ] {
        assert_eq!(
            due(&[fed, seen], 11),
            "feed 600g bucket: fed on 2026-03-08, every 3 days",
            "{seen}"
        );
        assert_eq!(
            due(&[day, seen], 11),
            "feed 600g bucket: fed on 2026-03-08, every 3 days",
            "{seen}"
        );
    }
}

#[test]
fn a_cold_bed_waits_and_one_too_cold_to_eat_is_looked_at() {
    let fed = "2026-03-05T09:00 feed A01 bucket=600g";
    // Half their appetite at 9.5 °C.
    assert_eq!(
        due(&[fed, "2026-03-06 check A01 - 9.5"], 10),
        "not until 2026-03-11: fed on 2026-03-05"
    );
    let cold = "2026-03-06 check A01 - 3";
    assert_eq!(
        due(&[fed, cold], 18),
        "not until 2026-03-19: fed on 2026-03-05"
    );
    assert_eq!(due(&[fed, cold], 20), "look: 3 °C on 2026-03-06");
}

#[test]
fn no_bed_is_left_alone_for_longer_than_two_weeks_whatever_was_seen() {
    let fed = "2026-03-05T09:00 feed A01 bucket=600g";
    for seen in [
        "2026-03-06 check A01 - 3",
        "2026-03-06 check A01 - -20",
        "2026-03-06 check A01 - 60",
        "2026-03-06 check A01 lots 3",
        "2026-03-06 skip A01 food left",
        "2026-03-06 check A01 -",
    ] {
        for day in 20..=31 {
            let stop = stop_on(&after(&[fed, seen]), date(2026, 3, day));
            assert!(stop.is_due(), "{seen}: {:?} on {day}", stop.due);
        }
    }
}

#[test]
fn what_is_given_is_what_it_had_and_no_more_than_the_most_and_of_an_open_bucket() {
    let scenario = after(&["2026-03-05T09:00 feed A01 bucket=3kg"]);
    let stop = stop_on(&scenario, date(2026, 3, 8));
    assert_eq!(stop.give.in_words(&scenario.farm), "1.5kg bucket");
    let scenario = after(&[
        "2026-03-04 blend second feed muck=5kg",
        "2026-03-05T09:00 feed A01 bucket=20kg",
    ]);
    let stop = stop_on(&scenario, date(2026, 3, 8));
    assert_eq!(stop.give.lot, Some(scenario.id("second")));
    let held = [
        "2026-03-05T09:00 feed A01 bucket=600g",
        "2026-03-06 hold muck",
    ];
    assert_eq!(stop_on(&after(&held), date(2026, 3, 8)).give.lot, None);
}

#[test]
fn a_farms_figures_for_one_species_are_not_for_a_bed_of_another() {
    let scenario = after(&["2026-03-05T09:00 feed A01 bucket=600g"]);
    let mut settings = settings();
    let own = crate::farm::FeedingSetting {
        every_days: Some(4),
        rate: Some(250),
    };
    settings.feeding.insert("Eisenia fetida".to_owned(), own);
    let on = |day| {
        Round {
            farm: &scenario.farm,
            settings: &settings,
            worms: &kilogram(&scenario.farm),
            day: date(2026, 3, day),
        }
        .stops(None)
        .swap_remove(0)
    };
    // The bed's species is not noted, so that it goes by the usual figures.
    assert_eq!(on(8).every_days, 3);
    assert_eq!(
        on(8)
            .give
            .amount
            .map(|amount| amount.to_string())
            .as_deref(),
        Some("600g")
    );
}

#[test]
fn beds_are_walked_past_in_the_order_of_their_places() {
    let mut rows: Vec<String> = Vec::new();
    for (number, place) in [
        "R10/S1/P1",
        "R2/S1/P10",
        "R2/S1/P2",
        "R2/S10/P1",
        "R2/S2/P1",
    ]
    .iter()
    .enumerate()
    {
        rows.push(format!("2026-03-01 bin W{number} {place}"));
        rows.push(format!(
            "2026-03-02 bed w-{number} W{number} straw=1kg worms=100g"
        ));
    }
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let scenario = after(&rows);
    let round = Round {
        farm: &scenario.farm,
        settings: &settings(),
        worms: &kilogram(&scenario.farm),
        day: date(2026, 3, 9),
    };
    let walked: Vec<String> = round
        .stops(None)
        .iter()
        .map(|stop| stop.bin.to_string())
        .collect();
    assert_eq!(walked, ["A01", "W2", "W1", "W4", "W3", "W0"]);
}

#[test]
fn a_bin_used_again_or_moved_joins_no_two_histories() {
    let fed = "2026-03-05T09:00 feed A01 bucket=600g";
    let again = [
        fed,
        "2026-03-06T09:00 check A01 lots",
        "2026-03-10T09:00 sieve cast castings 2kg all A01",
        "2026-03-10T10:00 bed second A01 straw=4kg worms=2kg",
    ];
    let scenario = after(&again);
    let stop = stop_on(&scenario, date(2026, 3, 12));
    assert_eq!(
        (stop.bed, stop.visits.clone()),
        (scenario.id("second"), Visits::default())
    );
    assert_eq!((stop.days, stop.left), (2, None));
    // A move takes the bed with all its visits; what comes into the old place begins anew.
    let moved = [
        fed,
        "2026-03-06T09:00 move A01 R2/S1/P2",
        "2026-03-06T10:00 move A02 R1/S1/P1",
        "2026-03-07 bed other A02 straw=1kg worms=100g",
    ];
    let scenario = after(&moved);
    let stop = stop_on(&scenario, date(2026, 3, 8));
    assert_eq!(
        (stop.bed, stop.visits.feeds.len()),
        (scenario.id("other"), 0)
    );
    let round = Round {
        farm: &scenario.farm,
        settings: &settings(),
        worms: &kilogram(&scenario.farm),
        day: date(2026, 3, 8),
    };
    let there = round.stops(Some("R2")).swap_remove(0);
    assert_eq!(
        (there.bed, there.visits.feeds.len()),
        (scenario.id("first"), 1)
    );
    assert_eq!(
        there.place.map(|place| place.to_string()).as_deref(),
        Some("R2/S1/P2")
    );
}

#[test]
fn both_halves_of_a_split_have_visits_of_their_own_and_a_tip_takes_them_along() {
    let fed = "2026-03-05T09:00 feed A01 bucket=600g";
    let rows = [
        fed,
        "2026-03-06T09:00 split half A01 50% A02",
        "2026-03-07T09:00 feed A02 bucket=200g",
        "2026-03-08T09:00 tip A01 B01",
    ];
    let scenario = after(&rows);
    let round = Round {
        farm: &scenario.farm,
        settings: &settings(),
        worms: &kilogram(&scenario.farm),
        day: date(2026, 3, 9),
    };
    let stops = round.stops(None);
    let told: Vec<_> = stops
        .iter()
        .map(|stop| (stop.bin.to_string(), stop.bed, stop.visits.feeds.len()))
        .collect();
    assert_eq!(
        told,
        [
            ("A02".to_owned(), scenario.id("half"), 1),
            ("B01".to_owned(), scenario.id("first"), 1),
        ]
    );
}
