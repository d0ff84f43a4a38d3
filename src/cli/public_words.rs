//! What `castlot publish` says of words on pages that need ground: a line for each, with the runs that have it.

use jiff::civil::Date;

use crate::farm::{Farm, Settings};
use crate::site::unfounded;

use super::phrase::count;

/// Returns a warning for each claim on pages that has no ground that day, and what can be done.
pub fn lines(farm: &Farm, settings: &Settings, today: Date) -> Vec<String> {
    let found = unfounded(farm, settings, today);
    let told = found.iter().map(|unfounded| {
        let runs = unfounded.runs.len();
        let last = unfounded.runs.last().map(|run| format!(", {run} the last"));
        format!(
            "warning: {}; it stands on the pages of {}{}",
            unfounded.wrong,
            count(runs, "run", "runs"),
            last.filter(|_| runs > 1).unwrap_or_default()
        )
    });
    told.collect()
}
