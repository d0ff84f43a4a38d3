//! When a thing happened: a minute, or a day of which nobody noted the hour.
//!
//! In the farm's own local time. It never reads a clock.

use std::fmt;

use jiff::civil::{Date, DateTime, Time};
use jiff::tz::{AmbiguousOffset, TimeZone};

/// A minute, or a whole day where the time is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Moment {
    day: Date,
    /// Minutes since midnight.
    minute: Option<u16>,
}

/// Minutes in a day, as the clock on the wall counts them.
const DAY: i64 = 24 * 60;

/// How a farm's sheets write their dates.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DateOrder {
    /// `2026-03-02`.
    #[default]
    YearMonthDay,
    /// `02/03/2026`, as a UK spreadsheet saves it; `2026-03-02` is understood too.
    DayMonthYear,
}

/// Why a text is not a moment.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MomentError {
    /// It is not a date, or there is no such day.
    #[error("`{typed}` is not a date; write one as in `{example}`")]
    NotADate {
        /// What was typed.
        typed: String,
        /// How this farm writes a date.
        example: &'static str,
    },
    /// The hour and minute are not a time.
    #[error("`{typed}` has no sound time; write one as in `2026-03-02T09:00`")]
    NotATime {
        /// What was typed.
        typed: String,
    },
    /// The clocks went forward over it.
    #[error("`{typed}` never was: the clocks of {zone} went forward over it")]
    Skipped {
        /// What was typed.
        typed: String,
        /// The farm's time zone.
        zone: String,
    },
    /// No lot code can name the year.
    #[error("`{typed}` is too far away; castlot keeps the years 2000 to 2099")]
    Year {
        /// What was typed.
        typed: String,
    },
}

impl Moment {
    /// Makes a moment of a day whose hour nobody noted.
    pub fn day_only(day: Date) -> Self {
        Self { day, minute: None }
    }

    /// Makes a moment of a minute; seconds are dropped.
    pub fn minute_of(at: DateTime) -> Self {
        let minute =
            u16::from(at.hour().unsigned_abs()) * 60 + u16::from(at.minute().unsigned_abs());
        Self {
            day: at.date(),
            minute: Some(minute),
        }
    }

    /// Returns the day.
    pub fn day(self) -> Date {
        self.day
    }

    /// Returns the minutes since midnight, where the time is known.
    pub fn minute(self) -> Option<u16> {
        self.minute
    }

    /// Returns the first minute it may have been, counted from an arbitrary day.
    pub fn earliest(self) -> i64 {
        day_number(self.day) * DAY + self.minute.map_or(0, i64::from)
    }

    /// Returns the last minute it may have been, on the scale of `earliest`.
    pub fn latest(self) -> i64 {
        day_number(self.day) * DAY + self.minute.map_or(DAY - 1, i64::from)
    }

    /// Tells whether it could have been at or before the other: overlap counts as before.
    pub fn could_precede(self, other: Self) -> bool {
        self.earliest() <= other.latest()
    }

    /// Reads a date or a date and time, in the farm's time zone.
    pub fn read(text: &str, order: DateOrder, zone: &TimeZone) -> Result<Self, MomentError> {
        let typed = text.trim();
        let (date, time) = match typed.split_once(['T', 't', ' ']) {
            Some((date, time)) => (date, Some(time.trim())),
            None => (typed, None),
        };
        let day = read_date(date, typed, order)?;
        if !(2000..=2099).contains(&day.year()) {
            return Err(MomentError::Year {
                typed: typed.to_owned(),
            });
        }
        let Some(time) = time else {
            return Ok(Self::day_only(day));
        };
        let at = day.to_datetime(read_time(time, typed)?);
        if matches!(
            zone.to_ambiguous_timestamp(at).offset(),
            AmbiguousOffset::Gap { .. }
        ) {
            let zone = zone.iana_name().unwrap_or("this zone").to_owned();
            return Err(MomentError::Skipped {
                typed: typed.to_owned(),
                zone,
            });
        }
        Ok(Self::minute_of(at))
    }
}

/// Returns a number that grows by one a day.
///
/// Days from civil by the year's own rules, because jiff's difference of dates costs more than a trace can spare.
fn day_number(day: Date) -> i64 {
    let year = i64::from(day.year()) - 1;
    year * 365 + year / 4 - year / 100 + year / 400 + i64::from(day.day_of_year())
}

fn read_date(date: &str, typed: &str, order: DateOrder) -> Result<Date, MomentError> {
    let bad = || MomentError::NotADate {
        typed: typed.to_owned(),
        example: match order {
            DateOrder::YearMonthDay => "2026-03-02",
            DateOrder::DayMonthYear => "02/03/2026",
        },
    };
    let parts: Vec<&str> = date.trim().split(['-', '/', '.']).collect();
    let [first, second, third] = parts[..] else {
        return Err(bad());
    };
    if parts
        .iter()
        .any(|part| part.is_empty() || !part.bytes().all(|b| b.is_ascii_digit()))
    {
        return Err(bad());
    }
    let (year, month, day) = match order {
        _ if first.len() == 4 && date.contains('-') => (first, second, third),
        DateOrder::DayMonthYear if third.len() == 4 => (third, second, first),
        DateOrder::YearMonthDay | DateOrder::DayMonthYear => return Err(bad()),
    };
    let number = |part: &str| part.parse::<i8>().ok().filter(|_| part.len() <= 2);
    let (Ok(year), Some(month), Some(day)) = (year.parse::<i16>(), number(month), number(day))
    else {
        return Err(bad());
    };
    Date::new(year, month, day).map_err(|_| bad())
}

fn read_time(time: &str, typed: &str) -> Result<Time, MomentError> {
    let bad = || MomentError::NotATime {
        typed: typed.to_owned(),
    };
    let (hour, minute) = time.split_once(':').ok_or_else(bad)?;
    let number = |part: &str| {
        let digits = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        part.parse::<i8>().ok().filter(|_| digits)
    };
    let (Some(hour), Some(minute)) = (number(hour), number(minute).filter(|_| minute.len() == 2))
    else {
        return Err(bad());
    };
    Time::new(hour, minute, 0, 0).map_err(|_| bad())
}

impl fmt::Display for Moment {
    /// Writes `2026-03-02` or `2026-03-02T09:00`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.minute {
            None => f.pad(&self.day.to_string()),
            Some(minute) => f.pad(&format!(
                "{}T{:02}:{:02}",
                self.day,
                minute / 60,
                minute % 60
            )),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, order: DateOrder) -> Result<String, MomentError> {
        let zone = TimeZone::get("Europe/London").expect("the zone is bundled");
        Moment::read(text, order, &zone).map(|moment| moment.to_string())
    }

    #[test]
    fn dates_and_times_read_as_the_format_says() {
        for (typed, kept) in [
            ("2026-03-02", "2026-03-02"),
            ("2026-03-02T09:00", "2026-03-02T09:00"),
            ("2026-03-02 9:05", "2026-03-02T09:05"),
        ] {
            assert_eq!(read(typed, DateOrder::YearMonthDay).as_deref(), Ok(kept));
        }
        assert_eq!(
            read("02/03/2026 17:30", DateOrder::DayMonthYear).as_deref(),
            Ok("2026-03-02T17:30")
        );
        assert_eq!(
            read("2-3-2026", DateOrder::DayMonthYear).as_deref(),
            Ok("2026-03-02")
        );
    }

    /// The clocks of Europe/London went forward on 2026-03-29 at 01:00 and back on 2026-10-25 at 02:00 (IANA tz data).
    #[test]
    fn an_hour_that_is_skipped_is_refused_and_one_that_comes_twice_is_taken() {
        assert!(matches!(
            read("2026-03-29T01:30", DateOrder::YearMonthDay),
            Err(MomentError::Skipped { .. })
        ));
        assert_eq!(
            read("2026-10-25T01:30", DateOrder::YearMonthDay).as_deref(),
            Ok("2026-10-25T01:30")
        );
    }

    #[test]
    fn nonsense_is_refused() {
        for typed in [
            "",
            "2026-02-30",
            "02/03/2026",
            "2026-3",
            "2026-03-02T25:00",
            "2026-03-02T9",
            "1999-01-01",
            "soon",
        ] {
            assert!(read(typed, DateOrder::YearMonthDay).is_err(), "{typed}");
        }
    }

    #[test]
    fn days_count_on_over_a_leap_day_and_a_year_end() {
        let at = |y, m, d| Moment::day_only(jiff::civil::date(y, m, d));
        assert_eq!(
            at(2024, 3, 1).earliest() - at(2024, 2, 28).earliest(),
            2 * DAY
        );
        assert_eq!(at(2026, 1, 1).earliest() - at(2025, 12, 31).earliest(), DAY);
        assert!(
            at(2026, 1, 1).could_precede(Moment::minute_of(jiff::civil::datetime(
                2026, 1, 1, 0, 0, 0, 0
            )))
        );
    }
}
