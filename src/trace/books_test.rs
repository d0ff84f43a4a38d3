//! Balances of small farms, and shares against closed forms.

use jiff::civil::date;

use crate::farm::Unit;
use crate::farm::scenario::Scenario;

use super::balance::balance;
use super::books::{Account, Counted, Gap, books, books_between};
use super::reach::{Start, back};

fn of(farm: &Scenario, mark: &str) -> Account {
    let code = farm.lot(mark).code;
    let account = books(&farm.farm)
        .into_iter()
        .find(|account| account.code == code);
    account.expect("every lot has a balance")
}

const FARM: [&str; 9] = [
    "2026-03-01 delivery dung manure 50kg",
    "2026-03-01 delivery straw bedding 20kg",
    "2026-03-01 delivery worms worms 3kg",
    "2026-03-02 bed b1 A01 straw=4kg dung=1kg worms=500g",
    "2026-03-03 bed b2 A02 straw=2kg dung=500g worms=500g",
    "2026-03-10 split b3 A01 1/3 A03",
    "2026-03-20 sieve c1 castings 2kg all A01 A02",
    "2026-03-21 count dung 48kg",
    "2026-03-22 pack p1 3 c1=1800g",
];

#[test]
fn every_balance_closes_to_the_gram() {
    let farm = Scenario::of(&FARM);
    for account in books(&farm.farm) {
        assert!(account.terms.close(), "{account:?}");
        assert_eq!(account.terms.unaccounted, 0, "{account:?}");
    }
    let dung = of(&farm, "dung").terms;
    assert_eq!(
        (dung.came_in, dung.used, dung.lost, dung.in_store),
        (50_000, 1_500, 500, 48_000)
    );
    // 5.5 kg went in, a third of which was split off; the castings are divided by bulk: 3334 g (5000 less a
    // third, and less the whole grams that the split took of the worms) to 2500 g.
    let (b1, b2, b3) = (
        of(&farm, "b1").terms,
        of(&farm, "b2").terms,
        of(&farm, "b3").terms,
    );
    assert_eq!(b3.came_in, 1_833);
    assert_eq!(b1.used + b2.used, b3.came_in + 2_000);
    assert_eq!(
        b1.written_off + b2.written_off + b3.in_store,
        5_500 + 3_000 - 2_000
    );
}

#[test]
fn what_nobody_knows_is_named_and_counts_nothing() {
    let farm = Scenario::of(&[
        "2026-03-01 delivery dung manure 50kg",
        "2026-03-02 bed b1 A01 dung=? dung=~2kg",
    ]);
    let dung = of(&farm, "dung");
    assert_eq!(dung.terms.used, 2_000);
    assert_eq!(
        dung.gaps,
        [
            Gap::UnknownOut { entry: 2 },
            Gap::Guesses {
                count: 1,
                amount: 2_000
            }
        ]
    );
    assert_eq!(of(&farm, "b1").gaps[0], Gap::UnknownIn { entry: 2 });
}

#[test]
fn litres_are_balanced_by_their_measured_density() {
    let mut farm = Scenario::of(&FARM);
    assert_eq!(farm.try_row("2026-03-21 test c1 density 600"), Ok(()));
    let filling = of(&farm, "p1").filling.expect("a run is filled");
    // 1.8 kg at 600 g/L is 3 L, in three bags sold as 5 L.
    assert_eq!(
        (filling.unit, filling.put_in, filling.sold_as),
        (Unit::Millilitres, 3_000, 15_000)
    );
    assert_eq!(of(&farm, "p1").counted, Counted::Packs);
}

#[test]
fn a_span_opens_with_what_was_there() {
    let farm = Scenario::of(&FARM);
    let span = books_between(&farm.farm, date(2026, 3, 3), date(2026, 3, 21));
    let dung = farm.lot("dung").code;
    let dung = span
        .iter()
        .find(|account| account.code == dung)
        .expect("it was used");
    let terms = dung.terms;
    assert_eq!(
        (
            terms.opening,
            terms.came_in,
            terms.used,
            terms.lost,
            terms.in_store
        ),
        (49_000, 0, 500, 500, 48_000)
    );
    assert!(span.iter().all(|account| account.terms.close()));
}

/// A bed of which a share f is taken out and put in again n times holds (1 - f)^n of what it began with.
#[test]
fn a_bed_topped_up_again_and_again_keeps_the_share_of_the_closed_form() {
    for (taken, times) in [
        (1_000_u32, 1_u32),
        (1_000, 5),
        (2_500, 8),
        (100, 12),
        (5_000, 3),
    ] {
        let mut rows = vec![
            "2026-03-01 delivery first bedding 10kg".to_owned(),
            "2026-03-01 delivery then bedding 500kg".to_owned(),
            "2026-03-02 bed b1 A01 first=10kg".to_owned(),
        ];
        for n in 0..times {
            rows.push(format!(
                "2026-04-{:02}T09:00 sieve s{n} castings {taken}g - A01",
                n + 1
            ));
            rows.push(format!("2026-04-{:02}T10:00 feed A01 then={taken}g", n + 1));
        }
        rows.push("2026-05-01 sieve end castings 1kg - A01".to_owned());
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let farm = Scenario::of(&rows);
        let subject = farm.id("end");
        let start = Start {
            lot: subject,
            serial: None,
            when: None,
        };
        let sources = back(&farm.farm, start)
            .into_iter()
            .map(|reached| reached.lot);
        let shares = balance(&farm.farm, subject, sources, None)
            .shares
            .expect("all is weighed");
        let f = f64::from(taken) / 10_000.0;
        let closed = (1.0 - f).powi(i32::try_from(times).expect("a few"));
        assert!(
            (shares[&farm.id("first")] - closed).abs() < 1e-12,
            "{taken} g, {times} times"
        );
    }
}
