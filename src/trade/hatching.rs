//! When cocoons hatch and their young breed, as windows: what a source gives, put after the days on which the cocoons were
//! laid, and narrowed by what was seen since.

use jiff::ToSpan;
use jiff::civil::Date;

use super::life_cycle::{Days, LifeCycle, PRACTICE_BREED, PRACTICE_HATCHED};

/// Days between which something is to be expected; both are in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// The first day.
    pub from: Date,
    /// The last day.
    pub to: Date,
}

/// The days on which cocoons were laid: they are lifted with all that the bed has laid since it was made up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Laid {
    /// The earliest.
    pub from: Date,
    /// The latest: the day they were lifted.
    pub to: Date,
}

/// What was seen of the hatch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Seen {
    /// The last day on which none had hatched.
    pub none_on: Option<Date>,
    /// The first day on which some had.
    pub some_on: Option<Date>,
    /// The last day on which some had not.
    pub left_on: Option<Date>,
    /// The first day on which all had.
    pub all_on: Option<Date>,
}

/// What follows from one source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Expected {
    /// From the first cocoon's hatching to the last one's.
    pub hatch: Window,
    /// From the first young worm's breeding to the last one's, where the source says.
    pub breed: Option<Window>,
    /// Whether what was seen is as the source has it.
    pub fits: bool,
}

fn after(day: Date, days: i32) -> Date {
    day.saturating_add(days.days())
}

/// Returns a window so many days after the days of another.
fn later(window: Window, (soonest, latest): Days) -> Window {
    Window {
        from: after(window.from, soonest),
        to: after(window.to, latest),
    }
}

impl Seen {
    /// Narrows a hatch: it begins after the day when none had, and by the day when some had; it ends after the day when
    /// some were left, and by the day when none was.
    fn narrow(self, hatch: Window) -> Window {
        let begins = self
            .none_on
            .map_or(hatch.from, |day| hatch.from.max(after(day, 1)));
        let ends = self
            .left_on
            .map_or(hatch.to, |day| hatch.to.max(after(day, 1)));
        let from = self.some_on.map_or(begins, |day| begins.min(day));
        let to = self.all_on.map_or(ends, |day| ends.min(day));
        Window {
            from,
            to: to.max(from),
        }
    }

    /// Tells whether a source's hatch has room for what was seen: none too soon, and none too late.
    fn fits(self, hatch: Window) -> bool {
        self.some_on.is_none_or(|day| day >= hatch.from)
            && self.none_on.is_none_or(|day| day < hatch.to)
            && self.left_on.is_none_or(|day| day < hatch.to)
    }
}

/// Returns what is to be expected by a source of cocoons that were laid on some days.
pub fn expected(cycle: &LifeCycle, laid: Laid, seen: Seen) -> Expected {
    let laid = Window {
        from: laid.from,
        to: laid.to,
    };
    // What hatched before they were lifted did so in the old bed.
    let published = later(laid, cycle.hatch);
    let published = Window {
        from: published.from.max(laid.to),
        to: published.to.max(laid.to),
    };
    let fits = seen.fits(published);
    // What was seen narrows a source that agrees with it; another is told as it is.
    let hatch = if fits {
        seen.narrow(published)
    } else {
        published
    };
    Expected {
        hatch,
        breed: cycle.breed.map(|days| later(hatch, days)),
        fits,
    }
}

/// Returns what common practice expects of cocoons in a warm box: mostly hatched by a day, breeding between two others.
pub fn by_practice(lifted: Date) -> (Date, Window) {
    let hatched = after(lifted, PRACTICE_HATCHED);
    let (from, to) = PRACTICE_BREED;
    let breed = Window {
        from: after(hatched, from),
        to: after(hatched, to),
    };
    (hatched, breed)
}

/// Returns one window around several; none around none.
pub fn around(windows: impl Iterator<Item = Window>) -> Option<Window> {
    windows.reduce(|all, one| Window {
        from: all.from.min(one.from),
        to: all.to.max(one.to),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const CYCLE: LifeCycle = LifeCycle {
        hatch: (30, 70),
        breed: Some((50, 80)),
        source: "a table",
        heat: None,
        known: None,
    };

    fn laid() -> Laid {
        Laid {
            from: date(2026, 2, 3),
            to: date(2026, 3, 3),
        }
    }

    /// By hand: laid from 3 February to 3 March; 30 days after the first is 5 March, 70 after the last 12 May; from those,
    /// 50 days on is 24 April, and 80 days 31 July.
    #[test]
    fn windows_are_as_by_hand() {
        let expected = expected(&CYCLE, laid(), Seen::default());
        let window = |from, to| Window { from, to };
        assert_eq!(expected.hatch, window(date(2026, 3, 5), date(2026, 5, 12)));
        assert_eq!(
            expected.breed,
            Some(window(date(2026, 4, 24), date(2026, 7, 31)))
        );
        assert!(expected.fits);
    }

    #[test]
    fn what_was_seen_narrows_both_windows() {
        let seen = Seen {
            none_on: Some(date(2026, 3, 24)),
            some_on: Some(date(2026, 4, 1)),
            left_on: Some(date(2026, 4, 14)),
            all_on: Some(date(2026, 4, 28)),
        };
        let expected = expected(&CYCLE, laid(), seen);
        assert_eq!(
            (expected.hatch.from, expected.hatch.to),
            (date(2026, 3, 25), date(2026, 4, 28))
        );
        let breed = expected.breed.expect("the table has it");
        assert_eq!(
            (breed.from, breed.to),
            (date(2026, 5, 14), date(2026, 7, 17))
        );
        assert!(expected.fits);
    }

    #[test]
    fn a_source_that_would_have_all_hatched_does_not_fit_cocoons_that_are_left() {
        let seen = |left| Seen {
            left_on: Some(left),
            ..Seen::default()
        };
        assert!(expected(&CYCLE, laid(), seen(date(2026, 5, 11))).fits);
        let late = expected(&CYCLE, laid(), seen(date(2026, 5, 12)));
        assert!(!late.fits);
        assert_eq!(late.hatch.to, date(2026, 5, 12));
        let early = Seen {
            some_on: Some(date(2026, 3, 4)),
            ..Seen::default()
        };
        assert!(!expected(&CYCLE, laid(), early).fits);
    }

    /// Six weeks after 3 March is 14 April; three and four months after that, 14 July and 14 August.
    #[test]
    fn common_practice_is_six_weeks_and_three_to_four_months() {
        let (hatched, breed) = by_practice(date(2026, 3, 3));
        assert_eq!(hatched, date(2026, 4, 14));
        assert_eq!(
            (breed.from, breed.to),
            (date(2026, 7, 14), date(2026, 8, 14))
        );
    }
}
