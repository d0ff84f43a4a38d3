//! Which deliveries wait for their test, and when it is due: a line wherever stock and beds are looked at.

use jiff::civil::Date;

use crate::desk::called_in_list;
use crate::farm::{Farm, LotId, Settings};
use crate::trace::awaited;

/// Returns a line for every delivery that waits, after a blank one; nothing where none does.
pub fn lines(farm: &Farm, settings: &Settings, today: Date) -> String {
    let test = &settings.hold.until;
    let lines: Vec<String> = awaited(farm, &settings.hold)
        .into_iter()
        .map(|waiting| {
            let late = if waiting.due < today { ", overdue" } else { "" };
            let name = called_in_list(farm, waiting.lot);
            format!("{test} test due {}{late}: {name}\n", waiting.due)
        })
        .collect();
    if lines.is_empty() {
        return String::new();
    }
    format!("\n{}", lines.concat())
}

/// Returns the line for one lot, if it waits.
pub fn line(farm: &Farm, settings: &Settings, lot: LotId) -> String {
    let waiting = awaited(farm, &settings.hold).into_iter();
    waiting
        .filter(|waiting| waiting.lot == lot)
        .map(|waiting| format!("{} test due {}\n", settings.hold.until, waiting.due))
        .collect()
}
