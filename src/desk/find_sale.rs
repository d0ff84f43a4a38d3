//! Which sale of a run fits best where and about when somebody says they bought a pack.

use jiff::civil::Date;

use crate::farm::{Event, Farm, Fate, Lot, Moment, SaleTo, Word};

use super::candidates::Wanted;
use super::period::Near;
use super::telling::buyer;
use crate::farm::phrase::{at, count};

/// A sale that may be the one.
pub struct SaleFit {
    /// Whether the place fits.
    pub place: bool,
    /// How near the time is, where one was asked for and it is near.
    pub near: Option<Near>,
    /// The sale, in words.
    pub reason: String,
}

/// Returns the sale of a run that fits best the place and the time asked for.
pub fn best_sale(farm: &Farm, wanted: &Wanted, lot: &Lot) -> Option<SaleFit> {
    let lines = lot.shelf.as_ref()?.lines().iter();
    let sold = lines.filter(|line| line.fate == Fate::Sold);
    let fits = sold.filter_map(|line| {
        let entry = &farm.entries()[line.entry];
        let Some(Event::Sale { to, .. }) = &entry.event else {
            return None;
        };
        let place = wanted.bought.as_ref().is_some_and(|place| is_at(to, place));
        let near = wanted
            .about
            .as_ref()
            .and_then(|about| about.near(entry.when));
        let told = told_sale(to, entry.when, near);
        (place || near.is_some()).then_some(SaleFit {
            place,
            near,
            reason: told,
        })
    });
    fits.min_by_key(|fit| {
        let near = match fit.near {
            Some(Near::Within) => 0,
            Some(Near::Days(days)) => days.unsigned_abs(),
            None => u64::MAX,
        };
        let met = usize::from(fit.place) + usize::from(fit.near.is_some());
        (std::cmp::Reverse(met), near)
    })
}

fn told_sale(to: &SaleTo, when: Moment, near: Option<Near>) -> String {
    let sold = format!("sold {} on {}", buyer(to), day(when.day()));
    match near {
        Some(Near::Days(days)) if days < 0 => {
            let days = count(days.unsigned_abs(), "day", "days");
            format!("{sold}, {days} earlier than asked")
        }
        Some(Near::Days(days)) => {
            let days = count(days.unsigned_abs(), "day", "days");
            format!("{sold}, {days} later than asked")
        }
        Some(Near::Within) | None => sold,
    }
}

fn day(day: Date) -> String {
    at(Moment::day_only(day))
}

/// Tells whether a sale was at a place, or to a buyer, in whose name every word of the place stands.
fn is_at(to: &SaleTo, place: &str) -> bool {
    let names = [&to.buyer, &to.market].into_iter().flatten();
    let place = place.to_lowercase();
    let words: Vec<&str> = place
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !matches!(*word, "" | "a" | "an" | "the" | "at" | "in" | "of" | "on"))
        .collect();
    let said: Vec<String> = names
        .filter_map(Word::said)
        .map(str::to_lowercase)
        .collect();
    !words.is_empty()
        && said
            .iter()
            .any(|name| words.iter().all(|word| name.contains(word)))
}
