//! How numbers, lists, days and shares are written for people, wherever castlot says them: at the terminal, on papers and on
//! pages.

use jiff::civil::Date;

use super::Moment;

/// Writes `1 pack`, `40 packs` or `4,134 entries`.
pub fn count(number: impl TryInto<u64>, one: &str, many: &str) -> String {
    let number = number.try_into().unwrap_or(u64::MAX);
    match number {
        1 => format!("1 {one}"),
        _ => format!("{} {many}", grouped(number)),
    }
}

/// Writes a number with a comma between thousands.
pub fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// Writes "a", "a and b", or "a, b, and c".
pub fn listed<S: AsRef<str>>(items: &[S]) -> String {
    match items {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [first, last] => format!("{} and {}", first.as_ref(), last.as_ref()),
        [most @ .., last] => {
            let most: Vec<&str> = most.iter().map(AsRef::as_ref).collect();
            format!("{}, and {}", most.join(", "), last.as_ref())
        }
    }
}

/// Writes a moment for reading: `2026-03-02`, or `2026-03-02 09:00`.
pub fn at(when: Moment) -> String {
    when.to_string().replacen('T', " ", 1)
}

/// Writes the days from one moment to another: one day, or `2026-03-02 to 2026-03-20`.
pub fn days(first: Moment, last: Moment) -> String {
    if first.day() == last.day() {
        first.day().to_string()
    } else {
        format!("{} to {}", first.day(), last.day())
    }
}

/// Writes a date in words: `20 June 2026`.
pub fn date(day: Date) -> String {
    format!("{} {} {}", day.day(), month_name(day), day.year())
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Names the month of a day.
pub fn month_name(day: Date) -> &'static str {
    MONTHS[usize::from(day.month().unsigned_abs()) - 1]
}

/// Writes a share in per cent, to one place; never 0% for something, nor 100% for less than all.
pub fn per_cent(share: f64) -> String {
    // Half of the last place shown.
    const HALF: f64 = 0.0005;
    // Sums of shares come this near to all by rounding alone.
    const SAME: f64 = 1e-9;
    if share > 0.0 && share < HALF {
        "<0.1%".to_owned()
    } else if (1.0 - HALF..1.0 - SAME).contains(&share) {
        ">99.9%".to_owned()
    } else {
        format!("{:.1}%", share * 100.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_counted_as_people_write_them() {
        assert_eq!(count(1_u64, "entry", "entries"), "1 entry");
        assert_eq!(count(0_u64, "entry", "entries"), "0 entries");
        assert_eq!(count(999_u64, "entry", "entries"), "999 entries");
        assert_eq!(count(1_234_567_u64, "lot", "lots"), "1,234,567 lots");
    }

    #[test]
    fn plurals_and_lists_read_as_people_write_them() {
        assert_eq!(count(1_u32, "pack", "packs"), "1 pack");
        assert_eq!(count(0_u32, "pack", "packs"), "0 packs");
        assert_eq!(count(999_u32, "pack", "packs"), "999 packs");
        assert_eq!(count(1_234_567_u32, "pack", "packs"), "1,234,567 packs");
        assert_eq!(listed(&["a"]), "a");
        assert_eq!(listed(&["a", "b"]), "a and b");
        assert_eq!(listed(&["a", "b", "c"]), "a, b, and c");
    }

    #[test]
    fn a_share_is_never_rounded_to_nothing_or_to_all() {
        assert_eq!(per_cent(0.183_246_017), "18.3%");
        assert_eq!(per_cent(0.000_2), "<0.1%");
        assert_eq!(per_cent(0.0), "0.0%");
        assert_eq!(per_cent(0.999_9), ">99.9%");
        assert_eq!(per_cent(1.0), "100.0%");
    }

    #[test]
    fn days_and_dates_read_as_people_write_them() {
        let first = Moment::minute_of(jiff::civil::date(2026, 3, 2).at(9, 0, 0, 0));
        let last = Moment::day_only(jiff::civil::date(2026, 3, 20));
        assert_eq!(
            (at(first), at(last)),
            ("2026-03-02 09:00".into(), "2026-03-20".into())
        );
        assert_eq!(days(first, last), "2026-03-02 to 2026-03-20");
        assert_eq!(days(first, first), "2026-03-02");
        assert_eq!(date(first.day()), "2 March 2026");
    }
}
