//! A round sheet that was filled in as CSV.
//!
//! Columns: `bin` (its code, or the bed's), `feed_left` (none, some, lots), `squeeze` (dry, drops, stream), `fed` (`yes` for
//! what the sheet says, an amount, or a lot and an amount), `skipped` (why), `smell`, `worms` (up the side: yes or no, or
//! other words), `place` (where the bin was found, if not where it should be), `note`. All but `bin` may be left out.

use std::path::Path;

use crate::desk::answer::Answer;
use crate::sheets::{self, ListRow};
use crate::trade::Stop;

use super::failure::Failure;
use super::round_record::Taking;

/// The columns of a filled sheet.
pub const COLUMNS: [&str; 9] = [
    "bin",
    "feed_left",
    "squeeze",
    "fed",
    "skipped",
    "smell",
    "worms",
    "place",
    "note",
];

/// Reads a filled sheet; every problem is told, and then nothing is taken.
pub fn read(taking: &mut Taking<'_>, path: &Path) -> Result<(), Failure> {
    let shown = path.display().to_string();
    let bytes = std::fs::read(path)
        .map_err(|error| Failure::refused(format!("cannot read `{shown}`: {error}")))?;
    let rows = sheets::read_list(&shown, COLUMNS, &bytes)
        .map_err(|problems| Failure::refused_for(problems.iter().map(ToString::to_string)))?;
    let mut wrong: Option<Failure> = None;
    for row in &rows {
        if let Err(failure) = take(taking, row) {
            let all = wrong.get_or_insert_with(|| Failure::refused_for([]));
            let texts = failure.texts.into_iter();
            all.texts
                .extend(texts.map(|text| format!("{shown}, row {}: {text}", row.row)));
            for hint in failure.hints {
                all.hint_once(hint);
            }
        }
    }
    wrong.map_or(Ok(()), Err)
}

fn take(taking: &mut Taking<'_>, row: &ListRow<9>) -> Result<(), Failure> {
    let [
        bin,
        feed_left,
        squeeze,
        fed,
        skipped,
        smell,
        worms,
        place,
        note,
    ] = &row.cells;
    let stop: Stop = taking
        .stop(bin)
        .cloned()
        .ok_or_else(|| taking.no_such(bin))?;
    if taking.told.contains(&stop.bed) {
        return Err(Failure::refused(format!("{} stands in two rows", stop.bin)));
    }
    let mut answer = Answer::default();
    for (column, cell) in [
        ("feed_left", feed_left),
        ("squeeze", squeeze),
        ("smell", smell),
        ("worms", worms),
    ] {
        if !cell.is_empty() {
            answer.say(column, cell)?;
        }
    }
    if !fed.is_empty() {
        answer.feed(fed);
    }
    if !skipped.is_empty() {
        answer.skip(skipped);
    }
    // A place that is where the bin should be, as in a sheet that came with them, is no move.
    let stands = stop
        .place
        .as_ref()
        .is_some_and(|stands| stands.as_str().eq_ignore_ascii_case(place));
    if !place.is_empty() && !stands {
        answer.found_at(place);
    }
    if !note.is_empty() {
        answer.remark(note);
    }
    if answer.is_blank() && !note.is_empty() {
        return Err(Failure::refused(format!(
            "{} has a note, and nothing that was seen or done",
            stop.bin
        )));
    }
    taking.add(&stop, &answer)
}
