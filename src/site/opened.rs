//! What stands in a row of the lineage when it is opened: its lots by name, as many as a page has room for.
//!
//! A lot is named here or counted here, never both, and never left out.

use std::collections::BTreeMap;

use crate::farm::LotId;

use super::lineage::{Row, Within, number};
use super::shown::Shown;
use super::wording;

/// So many lots a page names in its lineage; a name with its link takes about 60 bytes of 60,000.
const NAMED: usize = 240;
/// Up to so many lots stand in one list.
const ONE_LIST: usize = 12;
/// With more lots than this, each list of them is opened for itself.
const OPEN: usize = 24;
/// Where there are more months, kinds or racks than this, lots are told apart by something coarser.
const PARTS: usize = 12;

/// What stands in a row when it is opened.
#[derive(Default)]
pub struct Opened {
    /// How many of its lots are not named, and when they are from.
    pub counted: Option<String>,
    /// Its other lots.
    pub parts: Vec<Part>,
    /// Whether each part is opened for itself.
    pub is_nested: bool,
}

/// Lots that are alike.
pub struct Part {
    /// What they have in common, and how many they are; nothing where it is all of them.
    pub label: Option<String>,
    /// Their codes.
    pub codes: Vec<String>,
}

/// Returns what stands in each row that can be opened: one of several lots that may be named.
pub fn opened(shown: Shown<'_>, rows: &[Row]) -> Vec<Option<Opened>> {
    let names = |row: &&Row| shown.names(row.layer);
    let sizes: Vec<usize> = rows
        .iter()
        .filter(names)
        .map(|row| row.lots.len())
        .collect();
    let most = room(&sizes, NAMED);
    let opened = rows.iter().map(|row| {
        Some(row)
            .filter(names)
            .filter(|row| row.lots.len() > 1)
            .map(|row| open(shown, row, most))
    });
    opened.collect()
}

/// Returns how many lots of each row can be named so that all rows together name at most so many.
fn room(sizes: &[usize], most: usize) -> usize {
    let fits = |each: &usize| sizes.iter().map(|size| size.min(each)).sum::<usize>() <= most;
    (0..=most).rev().find(fits).unwrap_or_default()
}

fn open(shown: Shown<'_>, row: &Row, most: usize) -> Opened {
    let (early, late) = row.lots.split_at(row.lots.len().saturating_sub(most));
    let code = |lot: &LotId| Some((*lot, shown.code(*lot)?));
    let named: Vec<(LotId, String)> = late.iter().filter_map(code).collect();
    Opened {
        counted: counted(shown, row, early),
        is_nested: named.len() > OPEN,
        parts: parts(shown, row.within, named),
    }
}

/// Says how many lots are only counted.
fn counted(shown: Shown<'_>, row: &Row, lots: &[LotId]) -> Option<String> {
    let day = |lot: &LotId| shown.farm.lot(*lot).when.day();
    let (first, last) = lots.first().zip(lots.last())?;
    let months = wording::brief_months(day(first), day(last));
    let number = number(row.layer, lots.len());
    Some(format!("{number}, {months}, counted and not named"))
}

/// What the lots of a part have in common, in the order in which parts stand.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Common {
    Month(i16, i8),
    Year(i16),
    Text(String),
}

fn parts(shown: Shown<'_>, within: Within, named: Vec<(LotId, String)>) -> Vec<Part> {
    if named.len() <= ONE_LIST && within != Within::Kind {
        let codes: Vec<String> = named.into_iter().map(|(_, code)| code).collect();
        let part = Part { label: None, codes };
        return Some(part)
            .filter(|part| !part.codes.is_empty())
            .into_iter()
            .collect();
    }
    let mut parts = apart(shown, &named, &|lot| common(shown, within, lot));
    if parts.len() > PARTS {
        parts = apart(shown, &named, &|lot| coarser(shown, within, lot));
    }
    parts
}

fn common(shown: Shown<'_>, within: Within, lot: LotId) -> Common {
    let day = shown.farm.lot(lot).when.day();
    match within {
        Within::Time => Common::Month(day.year(), day.month()),
        Within::Rack => Common::Text(match shown.rack(lot) {
            Some(rack) => format!("On rack {rack}"),
            None => "On no rack".to_owned(),
        }),
        Within::Kind => Common::Text(shown.what(lot)),
    }
}

fn coarser(shown: Shown<'_>, within: Within, lot: LotId) -> Common {
    match within {
        Within::Time | Within::Rack => Common::Year(shown.farm.lot(lot).when.day().year()),
        Within::Kind => Common::Text(shown.kind(lot).plain().to_string()),
    }
}

fn apart(
    shown: Shown<'_>,
    named: &[(LotId, String)],
    common: &dyn Fn(LotId) -> Common,
) -> Vec<Part> {
    let mut by: BTreeMap<Common, Vec<(LotId, &str)>> = BTreeMap::new();
    for (lot, code) in named {
        by.entry(common(*lot)).or_default().push((*lot, code));
    }
    let part = |(common, lots): (Common, Vec<(LotId, &str)>)| Part {
        label: Some(match common {
            Common::Month(..) => wording::month(shown.farm.lot(lots[0].0).when.day()),
            Common::Year(year) => year.to_string(),
            Common::Text(text) => text,
        }),
        codes: lots.into_iter().map(|(_, code)| code.to_owned()).collect(),
    };
    by.into_iter().map(part).collect()
}

impl Part {
    /// Returns how many lots it has, in words.
    pub fn count(&self) -> String {
        wording::count(self.codes.len(), "lot", "lots")
    }
}
