//! Tests of amounts as people write them.

use super::*;

fn read(text: &str) -> Result<String, AmountError> {
    let scoop = Measure {
        quantity: Quantity::new(350, Unit::Grams),
        guess: true,
    };
    Amount::read(text, &Measures::from([("scoop".to_owned(), scoop)]))
        .map(|amount| amount.to_string())
}

#[test]
fn amounts_read_as_a_grower_writes_them() {
    for (typed, kept) in [
        ("2.4kg", "2.4kg"),
        ("2.4 kg", "2.4kg"),
        ("350g", "350g"),
        ("18L", "18L"),
        ("250mL", "250mL"),
        ("40", "40"),
        ("2 scoop", "~700g"),
        ("~2kg", "~2kg"),
        ("?", "?"),
        ("0.5 L", "500mL"),
    ] {
        assert_eq!(read(typed).as_deref(), Ok(kept), "{typed}");
    }
}

#[test]
fn a_number_too_long_of_a_measure_too_large_is_refused() {
    let heap = Measure {
        quantity: Quantity::new(u64::MAX, Unit::Grams),
        guess: true,
    };
    let measures = Measures::from([("heap".to_owned(), heap)]);
    let typed = format!("{}.{} heap", "9".repeat(15), "9".repeat(12));
    assert!(matches!(
        Amount::read(&typed, &measures),
        Err(AmountError::TooLarge { .. })
    ));
}

#[test]
fn a_comma_a_missing_unit_or_half_a_gram_is_refused() {
    for typed in [
        "2,4kg",
        "1,000 g",
        "2.4",
        "0.5g",
        "kg",
        "",
        "3 buckets",
        "0kg",
        "1.2.3kg",
        "-4kg",
        "~",
        "2.kg",
    ] {
        assert!(read(typed).is_err(), "{typed}");
    }
}
