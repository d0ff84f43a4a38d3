//! The small change of papers: plurals, lists, days and shares, as a person would write them.

use crate::farm::Moment;

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

/// Writes "a", "a and b", or "a, b and c".
pub fn listed<S: AsRef<str>>(items: &[S]) -> String {
    match items {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [most @ .., last] => {
            let most: Vec<&str> = most.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", most.join(", "), last.as_ref())
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

/// Writes a date for people at a stall: `20 June 2026`.
pub fn date(day: jiff::civil::Date) -> String {
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
    let month = usize::from(day.month().unsigned_abs()) - 1;
    format!("{} {} {}", day.day(), MONTHS[month], day.year())
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

/// Writes numbers with runs drawn together: `3, 7 to 9 and 12`.
pub fn numbers(mut numbers: Vec<u32>) -> String {
    numbers.sort_unstable();
    numbers.dedup();
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    let run = |run: &[u32]| match run {
        [only] => only.to_string(),
        [first, second] => format!("{first}, {second}"),
        [first, .., last] => format!("{first} to {last}"),
        [] => String::new(),
    };
    runs.map(run).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_drawn_together() {
        assert_eq!(numbers(vec![12, 7, 9, 8, 3, 7]), "3, 7 to 9, 12");
        assert_eq!(numbers(vec![2, 1]), "1, 2");
        assert_eq!(numbers(vec![]), "");
    }

    #[test]
    fn counts_and_lists_read_as_people_write_them() {
        assert_eq!(count(1_u64, "entry", "entries"), "1 entry");
        assert_eq!(count(4134_u64, "entry", "entries"), "4,134 entries");
        assert_eq!(listed(&["a", "b", "c"]), "a, b and c");
    }

    #[test]
    fn a_share_is_never_rounded_to_nothing_or_to_all() {
        assert_eq!(per_cent(0.183_246_017), "18.3%");
        assert_eq!(per_cent(0.000_2), "<0.1%");
        assert_eq!(per_cent(0.999_9), ">99.9%");
        assert_eq!(per_cent(1.0), "100.0%");
    }
}
