//! Feeding against the tables of the handbooks, and by plain arithmetic.

use super::*;

fn of(species: &str) -> Feeding {
    Feeding::of(Some(species), &BTreeMap::new())
}

fn bed(worms: u64, warmth: f64) -> BedLike {
    BedLike {
        worms: Some(worms),
        surface_mm2: Some(600 * 400),
        warmth: Some(warmth),
    }
}

/// Returns the value of a row of `worm_life_cycle.csv`, in which each stands with its source.
fn tabled(species: &str, parameter: &str, source: &str) -> (f64, f64) {
    let table = include_str!("../../tests/reference/worm_life_cycle.csv");
    let begins = format!("{species},{parameter},");
    let rows = table.lines().filter(|line| line.starts_with(&begins));
    let mut rows = rows.filter(|line| line.contains(source));
    let row = rows.next().unwrap_or_else(|| panic!("{begins}"));
    let value = row[begins.len()..].split(',').next().expect("a value");
    let (low, high) = value.split_once('-').unwrap_or((value, value));
    let number = |text: &str| text.parse().unwrap_or_else(|_| panic!("{text}"));
    (number(low), number(high))
}

#[test]
fn the_rate_is_that_of_the_table_and_warmth_that_of_the_species() {
    let (rate, _) = tabled("any compost worm", "feeding rule of thumb", "Munroe");
    for latin in ["Eisenia fetida", "Eisenia andrei", "Dendrobaena veneta"] {
        let fed = of(latin);
        let heat = Species::named(latin)
            .and_then(climate)
            .expect("it is told of")
            .heat;
        assert_eq!(
            (fed.rate, fed.best, fed.limits),
            (rate, heat.best, heat.limits)
        );
    }
}

#[test]
fn worms_that_are_cold_or_hot_are_fed_later_and_never_forgotten() {
    let fetida = of("E. fetida");
    let days = |warmth: f64| fetida.days(bed(1000, warmth));
    // 9.5 °C is half way from the limit to the best.
    assert_eq!(days(9.5), 6);
    assert_eq!([days(15.0), days(18.0), days(20.0)], [3, 3, 3]);
    assert_eq!(days(25.0), 6);
    assert_eq!([days(2.0), days(35.0)], [LONGEST_DAYS, LONGEST_DAYS]);
    assert_eq!(fetida.appetite(None), 1.0);
    assert_eq!(of("D. veneta").days(bed(1000, 18.0)), 4);
    assert_eq!(of("Lumbricus terrestris").days(bed(1000, 18.0)), 3);
}

#[test]
fn a_feed_is_at_most_half_their_weight_a_day_and_never_more_than_a_layer() {
    let fetida = of("Eisenia fetida");
    assert_eq!(fetida.most(bed(1000, 18.0)), Some(1500));
    // 0.24 m² × 25 mm are 6 litres, or 3 kg: four kilograms of worms eat those in half the time.
    assert_eq!(fetida.most(bed(4000, 18.0)), Some(3000));
    assert_eq!(fetida.days(bed(4000, 18.0)), 2);
    assert_eq!(fetida.most(BedLike::default()), None);
}

#[test]
fn a_farms_own_figures_go_before_ours_by_any_name_of_the_species() {
    let own = FeedingSetting {
        every_days: Some(5),
        rate: Some(200),
    };
    let own = BTreeMap::from([("eisenia hortensis".to_owned(), own)]);
    let fed = Feeding::of(Some("Dendrobaena veneta"), &own);
    assert_eq!((fed.every_days, fed.rate, fed.own_rate), (5, 0.2, true));
    assert_eq!(fed.most(bed(1000, 18.0)), Some(1000));
    assert!(!Feeding::of(Some("Eisenia fetida"), &own).own_rate);
}
