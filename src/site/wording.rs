//! The public words: what a lot is, dates and months, quantities, and shares in words.

use jiff::civil::Date;

pub use crate::farm::phrase::count;
use crate::farm::phrase::{self, month_name};
use crate::farm::{LotSort, PackKind, Quantity, Unit};

/// Shorter words are units and elements, and no names.
const NAME: usize = 3;

/// Tells whether a text has a word of somebody's name: one with a capital letter, written in the same way.
///
/// `Quill’s horses` has one of `Zebedee Quill`; `horse` has none of `The Horse Yard`.
pub fn names_whom(text: &str, name: &str) -> bool {
    let words = |text| str::split(text, |c: char| !c.is_alphanumeric());
    let begins_big =
        |word: &&str| word.starts_with(char::is_uppercase) && word.chars().count() >= NAME;
    let mut big = words(text).filter(begins_big);
    big.any(|big| words(name).any(|word| word == big))
}

/// Returns what sort of lot it is, for the line over a page's heading.
pub fn sort(sort: LotSort) -> &'static str {
    match sort {
        LotSort::Delivery(_) => "Goods in",
        LotSort::Bed => "Bed",
        LotSort::Batch(_) => "Batch",
        LotSort::Run(PackKind::Bag) => "Bag",
        LotSort::Run(PackKind::Tub) => "Tub",
        LotSort::Run(PackKind::Bottle) => "Bottle",
    }
}

/// Returns a text with its first letter in upper case.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// Returns a quantity for reading: `20 L`, `750 mL`, `50 worms`.
pub fn quantity(quantity: Quantity, kind: PackKind) -> String {
    let text = quantity.to_string();
    match (quantity.unit(), kind) {
        (Unit::Pieces, PackKind::Tub) => format!("{text} worms"),
        (Unit::Pieces, PackKind::Bag | PackKind::Bottle) => format!("{text} pieces"),
        (Unit::Grams | Unit::Millilitres, _) => {
            let unit = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
            format!("{}\u{a0}{}", &text[..unit], &text[unit..])
        }
    }
}

/// Returns a date in words, whose day and month stay on one line: `25 April 2026`.
pub fn date(day: Date) -> String {
    phrase::date(day).replacen(' ', "\u{a0}", 1)
}

/// Returns the month of a day: `April 2026`.
pub fn month(day: Date) -> String {
    format!("{} {}", month_name(day), day.year())
}

/// Returns the months from one day to another: `April 2026`, `March to May 2026`, `December 2025 to May 2026`.
pub fn months(first: Date, last: Date) -> String {
    if (first.year(), first.month()) == (last.year(), last.month()) {
        month(first)
    } else if first.year() == last.year() {
        format!("{} to {}", month_name(first), month(last))
    } else {
        format!("{} to {}", month(first), month(last))
    }
}

/// Returns a date for narrow places: `25 Apr 2026`.
pub fn brief_date(day: Date) -> String {
    format!("{} {} {}", day.day(), brief(day), day.year())
}

/// Returns months for narrow places: `Apr 2026`, `Mar to May 2026`, `Dec 2025 to May 2026`.
pub fn brief_months(first: Date, last: Date) -> String {
    let until = format!("{} {}", brief(last), last.year());
    if (first.year(), first.month()) == (last.year(), last.month()) {
        until
    } else if first.year() == last.year() {
        format!("{} to {until}", brief(first))
    } else {
        format!("{} {} to {until}", brief(first), first.year())
    }
}

fn brief(day: Date) -> &'static str {
    &month_name(day)[..3]
}

/// Returns a share in per cent: `41 %`, `under 1 %`, `over 99 %`.
pub fn percent(share: f64) -> String {
    let rounded = (share * 100.0).round();
    if share < 0.005 || (rounded < 1.0) {
        "under 1\u{a0}%".to_owned()
    } else if rounded >= 100.0 && share < 1.0 - 1e-9 {
        "over 99\u{a0}%".to_owned()
    } else {
        format!("{rounded}\u{a0}%")
    }
}

/// Names of shares, each up to the share beside it.
const SHARES: &[(f64, &str)] = &[
    (0.005, "a trace"),
    (0.035, "a little"),
    (0.075, "about a twentieth"),
    (0.15, "about a tenth"),
    (0.225, "about a fifth"),
    (0.29, "about a quarter"),
    (0.365, "about a third"),
    (0.45, "about two fifths"),
    (0.55, "about half"),
    (0.63, "about three fifths"),
    (0.71, "about two thirds"),
    (0.8, "about three quarters"),
    (0.95, "most of it"),
    (0.9995, "nearly all"),
];

/// Returns a share in words: `about a third`.
pub fn share(share: f64) -> &'static str {
    let named = SHARES.iter().find(|(up_to, _)| share < *up_to);
    named.map_or("all of it", |(_, words)| words)
}

#[cfg(test)]
mod tests {
    use jiff::civil::date as day;

    use super::*;

    #[test]
    fn shares_read_as_a_person_would_say_them() {
        let said = |x: f64| format!("{}, {}", percent(x), share(x)).replace('\u{a0}', " ");
        assert_eq!(said(0.0), "under 1 %, a trace");
        assert_eq!(said(0.004), "under 1 %, a trace");
        assert_eq!(said(0.02), "2 %, a little");
        assert_eq!(said(1.0 / 3.0), "33 %, about a third");
        assert_eq!(said(0.5), "50 %, about half");
        assert_eq!(said(0.999), "over 99 %, nearly all");
        assert_eq!(said(1.0), "100 %, all of it");
    }

    #[test]
    fn months_are_named_once_where_they_can_be() {
        let (march, may) = (day(2026, 3, 2), day(2026, 5, 30));
        assert_eq!(months(march, march), "March 2026");
        assert_eq!(months(march, may), "March to May 2026");
        assert_eq!(months(day(2025, 12, 1), may), "December 2025 to May 2026");
    }

    #[test]
    fn quantities_have_a_space_before_the_unit() {
        let text = |value, unit| quantity(Quantity::new(value, unit), PackKind::Tub);
        assert_eq!(text(20_000, Unit::Millilitres), "20\u{a0}L");
        assert_eq!(text(50, Unit::Pieces), "50 worms");
    }
}
