//! A day, a month or a year that somebody remembers, and how far from it something was.

use jiff::civil::Date;

use crate::farm::{DateOrder, Moment};

/// From a day to a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Period {
    first: Date,
    last: Date,
}

/// How near a day is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Near {
    /// It lies in the period.
    Within,
    /// It lies so many days after it, or before where negative.
    Days(i64),
}

/// People who say about when mean it to within so many days: a month, roughly. A judgement, no source.
const ABOUT: i64 = 31;
const MINUTES_A_DAY: i64 = 24 * 60;

impl Period {
    /// Reads `2026-05-09`, `2026-05`, `2026`, `may`, `may 2026`, or a date in the farm's own order.
    pub fn read(text: &str, order: DateOrder, today: Date) -> Option<Self> {
        let text = text.trim().to_lowercase();
        let utc = jiff::tz::TimeZone::UTC;
        if let Ok(moment) = Moment::read(&text, order, &utc) {
            let day = moment.day();
            return Some(Self {
                first: day,
                last: day,
            });
        }
        let words: Vec<&str> = text
            .split([' ', '-', '/'])
            .filter(|w| !w.is_empty())
            .collect();
        let (year, month) = match words[..] {
            [year] if year.len() == 4 && year.parse::<i16>().is_ok() => (year.parse().ok()?, None),
            [month] => {
                let month = month_of(month)?;
                // The last one there was.
                let year = today.year() - i16::from(month > today.month());
                (year, Some(month))
            }
            [one, other] => {
                let year = [one, other]
                    .into_iter()
                    .find(|w| w.len() == 4 && w.parse::<i16>().is_ok())?;
                let month = if year == one { other } else { one };
                let number = month.parse::<i8>().ok().filter(|_| month.len() <= 2);
                (
                    year.parse().ok()?,
                    Some(number.or_else(|| month_of(month))?),
                )
            }
            _ => return None,
        };
        let first = Date::new(year, month.unwrap_or(1), 1).ok()?;
        let last = Date::new(year, month.unwrap_or(12), 1)
            .ok()?
            .last_of_month();
        Some(Self { first, last })
    }

    /// Returns how near a moment is; `None` where it is too far away to be meant.
    pub fn near(self, when: Moment) -> Option<Near> {
        let number = |day: Date| Moment::day_only(day).earliest() / MINUTES_A_DAY;
        let day = number(when.day());
        let (first, last) = (number(self.first), number(self.last));
        let off = if day < first {
            day - first
        } else {
            (day - last).max(0)
        };
        match off {
            0 => Some(Near::Within),
            off if off.abs() <= ABOUT => Some(Near::Days(off)),
            _ => None,
        }
    }
}

/// Returns the month of a name, of which three letters are enough.
fn month_of(name: &str) -> Option<i8> {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let mut named = MONTHS
        .iter()
        .zip(1..)
        .filter(|(month, _)| month.starts_with(name));
    named
        .next()
        .filter(|_| name.len() >= 3)
        .map(|(_, number)| number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn read(text: &str) -> Option<(String, String)> {
        let period = Period::read(text, DateOrder::YearMonthDay, date(2026, 9, 20))?;
        Some((period.first.to_string(), period.last.to_string()))
    }

    #[test]
    fn days_months_and_years_are_read_as_people_say_them() {
        let period = |first: &str, last: &str| Some((first.to_owned(), last.to_owned()));
        assert_eq!(read("2026-05"), period("2026-05-01", "2026-05-31"));
        assert_eq!(read("2026-05-09"), period("2026-05-09", "2026-05-09"));
        assert_eq!(read("2026"), period("2026-01-01", "2026-12-31"));
        assert_eq!(read("May"), period("2026-05-01", "2026-05-31"));
        assert_eq!(read("december"), period("2025-12-01", "2025-12-31"));
        assert_eq!(read("feb 2024"), period("2024-02-01", "2024-02-29"));
        for text in ["", "ma", "soon", "2026-13", "99", "2026-05-40"] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn a_month_either_way_is_still_about_then() {
        let may =
            Period::read("2026-05", DateOrder::YearMonthDay, date(2026, 9, 20)).expect("a month");
        let near = |y, m, d| may.near(Moment::day_only(date(y, m, d)));
        assert_eq!(near(2026, 5, 31), Some(Near::Within));
        assert_eq!(near(2026, 6, 3), Some(Near::Days(3)));
        assert_eq!(near(2026, 4, 28), Some(Near::Days(-3)));
        assert_eq!(near(2026, 7, 20), None);
    }
}
