//! A map of the first sheet in plain text: which places are printed, with which label, and which are left alone.

use super::place::{Before, Places};

/// Draws where labels go on the first sheet, counted from 1 in the order of printing, and says what follows on others.
///
/// A roll has one place a page and needs no map.
pub fn sheet_map(places: &Places, labels: usize) -> Option<Vec<String>> {
    let sheet = places.sheet();
    if sheet.places() == 1 || labels == 0 {
        return None;
    }
    let on_first = places.iter().take_while(|(page, _)| *page == 0).count();
    let shown = on_first.min(labels);
    let width = shown.to_string().len().max(USED.len());
    let mut marks = Vec::new();
    let mut next = 1;
    for place in 1..=sheet.places() {
        marks.push(match places.before(place) {
            // A full sheet is passed over, and the first one printed is whole.
            _ if places.first_is_full() => take(&mut next, shown),
            Before::Used => USED.to_owned(),
            Before::Skipped => SKIPPED.to_owned(),
            Before::Free => take(&mut next, shown),
        });
    }
    let columns = usize::try_from(sheet.columns()).expect("a sheet is a few labels wide");
    let rows = marks.chunks(columns).map(|row| {
        let cells: Vec<_> = row.iter().map(|mark| format!("{mark:>width$}")).collect();
        format!("| {} |", cells.join(" | "))
    });
    let mut lines: Vec<String> = rows.collect();
    lines.extend(legend(&marks));
    lines.extend(rest(places, labels, shown));
    Some(lines)
}

const USED: &str = "--";
const SKIPPED: &str = "xx";
const FREE: &str = ".";

/// Returns the number of the label that goes on the next place, or that none does.
fn take(next: &mut usize, shown: usize) -> String {
    if *next > shown {
        return FREE.to_owned();
    }
    *next += 1;
    (*next - 1).to_string()
}

fn legend(marks: &[String]) -> Option<String> {
    let said = [(USED, "used"), (SKIPPED, "skipped"), (FREE, "left free")];
    let there = said
        .iter()
        .filter(|(sign, _)| marks.iter().any(|mark| mark == sign));
    let words: Vec<_> = there.map(|(sign, word)| format!("{sign} {word}")).collect();
    (!words.is_empty()).then(|| words.join(", "))
}

fn rest(places: &Places, labels: usize, shown: usize) -> Option<String> {
    let left = labels - shown;
    let full = places.sheet().places() as usize;
    let last = left % full;
    let sheets = left.div_ceil(full);
    Some(match (left, sheets) {
        (0, _) => return None,
        (1, _) => "then 1 more sheet, with 1 label".to_owned(),
        (_, 1) => format!("then 1 more sheet, with {left} labels"),
        _ if last == 0 => format!("then {sheets} more sheets, all full"),
        _ if last == 1 => format!("then {sheets} more sheets, the last with 1 label"),
        _ => format!("then {sheets} more sheets, the last with {last} labels"),
    })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn map(sheet: &str, first_free: u32, skip: &[u32], labels: usize) -> String {
        let skip: BTreeSet<u32> = skip.iter().copied().collect();
        let places = Places::from(sheet.parse().unwrap(), first_free, &skip).unwrap();
        sheet_map(&places, labels).map_or_else(String::new, |lines| lines.join("\n"))
    }

    #[test]
    fn a_part_used_sheet_shows_what_is_used_skipped_printed_and_free() {
        insta::assert_snapshot!(map("a4-3x7-63x38", 5, &[8, 14], 12), @"
        | -- | -- | -- |
        | -- |  1 |  2 |
        |  3 | xx |  4 |
        |  5 |  6 |  7 |
        |  8 | xx |  9 |
        | 10 | 11 | 12 |
        |  . |  . |  . |
        -- used, xx skipped, . left free
        ");
    }

    #[test]
    fn sheets_that_follow_are_counted() {
        insta::assert_snapshot!(map("a4-2x2-99x139", 4, &[], 10), @"
        | -- | -- |
        | -- |  1 |
        -- used
        then 3 more sheets, the last with 1 label
        ");
        let full = map("a4-2x2-99x139", 4, &[4], 8);
        assert_eq!(
            full,
            "|  1 |  2 |\n|  3 |  4 |\nthen 1 more sheet, with 4 labels"
        );
        assert!(map("a4-2x2-99x139", 1, &[], 12).ends_with("then 2 more sheets, all full"));
    }

    #[test]
    fn a_roll_needs_no_map() {
        assert_eq!(map("roll-57x32", 1, &[], 40), "");
    }
}
