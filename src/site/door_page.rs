//! The two pages by which people come in without a code's help: the front page, and the one for a wrong address.

use askama::Template;

use crate::farm::{Farm, LotCode, LotId, LotSort, PackKind, PublicFact};

use super::frame::Frame;
use super::shown::Shown;
use super::standing::Standing;
use super::wording;

/// The front page, or the one a server shows where there is no page.
#[derive(Template)]
#[template(path = "pages/door.html")]
pub struct DoorPage<'a> {
    frame: Frame<'a>,
    /// Whether it stands where a page was looked for and not found.
    is_missing: bool,
    /// The address to put a code after, where the farm has one.
    base: Option<String>,
    /// The way to the front page from wherever the page is shown, ending in a slash, where it is known.
    front: Option<String>,
    /// A code of the farm's own, to show how one looks.
    example: Example,
    recalled: Vec<RunLine>,
    /// Recalled runs that are not listed.
    more: usize,
    /// The runs packed last, where they are a public fact.
    runs: Vec<RunLine>,
}

/// A run, as a line of a list.
pub struct RunLine {
    code: String,
    what: String,
    packed: String,
    /// The packs that a recall is about, where it is not about all.
    only: Option<String>,
}

/// A code, taken apart.
pub struct Example {
    code: String,
    letter: char,
    year: String,
    day: String,
    number: String,
    check: char,
    /// How many letters, figures and hyphens.
    length: usize,
}

/// A code that diary.md gives as right, for a farm that has packed nothing yet.
const EXAMPLE: &str = "P26115-07-S";
/// Recalled runs beyond so many are counted only, so that the page stays small.
const RECALLED: usize = 100;
/// So many of the runs packed last are listed.
const RUNS: usize = 40;
/// Serials longer than this are left to the run's own page.
const SERIALS: usize = 120;

impl<'a> DoorPage<'a> {
    /// Makes the front page.
    pub fn front(farm: &'a Farm, standings: &[Standing], frame: Frame<'a>) -> Self {
        let latest = latest(farm);
        let shown = Shown::of(farm, frame.settings);
        let lines = latest
            .iter()
            .filter_map(|run| RunLine::recalled(shown, standings, *run));
        let mut recalled: Vec<RunLine> = lines.collect();
        let more = recalled.len().saturating_sub(RECALLED);
        recalled.truncate(RECALLED);
        Self {
            recalled,
            more,
            ..Self::new(farm, &latest, frame, false)
        }
    }

    /// Makes the page for an address that leads nowhere.
    ///
    /// A server shows it under any address, so its links begin at the top of the host.
    pub fn missing(farm: &'a Farm, frame: Frame<'a>) -> Self {
        Self::new(farm, &latest(farm), frame, true)
    }

    fn new(farm: &Farm, latest: &[LotId], frame: Frame<'a>, is_missing: bool) -> Self {
        let base = frame.settings.base.clone();
        let front = match is_missing {
            true => base.as_deref().map(path_of),
            false => Some(String::new()),
        };
        let shown = Shown::of(farm, frame.settings);
        let shows = shown.lets_out(PublicFact::Runs) && front.is_some();
        let listed = latest.iter().take(if shows { RUNS } else { 0 });
        let runs: Vec<RunLine> = listed.map(|run| RunLine::of(shown, *run)).collect();
        let example = latest.first().map(|run| farm.lot(*run).code);
        Self {
            base,
            front,
            example: Example::of(
                example.unwrap_or_else(|| EXAMPLE.parse().expect("diary.md says it is right")),
            ),
            frame,
            is_missing,
            recalled: Vec::new(),
            more: 0,
            runs,
        }
    }
}

/// Returns the runs, those packed last first.
fn latest(farm: &Farm) -> Vec<LotId> {
    let runs = farm
        .lots()
        .filter(|(_, lot)| matches!(lot.sort, LotSort::Run(_)));
    let mut runs: Vec<LotId> = runs.map(|(id, _)| id).collect();
    runs.sort_by_key(|run| std::cmp::Reverse((farm.lot(*run).when.earliest(), *run)));
    runs
}

/// Returns the path of an address, from the top of its host, ending in a slash.
fn path_of(base: &str) -> String {
    let (_, rest) = base.split_once("://").unwrap_or(("", base));
    match rest.split_once('/') {
        // More than one slash would name another host.
        Some((_, path)) => format!("/{}/", path.trim_matches('/')),
        None => "/".to_owned(),
    }
}

impl RunLine {
    fn of(shown: Shown<'_>, run: LotId) -> Self {
        let farm = shown.farm;
        let lot = farm.lot(run);
        let kind = match lot.sort {
            LotSort::Run(kind) => kind,
            LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => PackKind::Bag,
        };
        let name = shown.what(run);
        let net = farm.product(run).map(|product| product.net);
        Self {
            code: lot.code.to_string(),
            what: match net {
                Some(net) => format!("{name}, {}", wording::quantity(net, kind)),
                None => name,
            },
            packed: wording::date(lot.when.day()),
            only: None,
        }
    }

    fn recalled(shown: Shown<'_>, standings: &[Standing], run: LotId) -> Option<Self> {
        let recall = standings[run.index()].recall.as_ref()?;
        let only = super::banner::numbers(&recall.only);
        let only = match only.len() {
            0 => None,
            1..=SERIALS => Some(only),
            _ => Some("those that its page lists".to_owned()),
        };
        Some(Self {
            only,
            ..Self::of(shown, run)
        })
    }
}

impl Example {
    fn of(code: LotCode) -> Self {
        let text = code.to_string();
        // `KYYDDD-NN-C`: every code has its hyphens in the same places but for the length of its number.
        let number = text[7..].split('-').next().unwrap_or_default().to_owned();
        Self {
            letter: text.chars().next().unwrap_or('P'),
            year: text[1..3].to_owned(),
            day: text[3..6].to_owned(),
            number,
            check: text.chars().last().unwrap_or('S'),
            length: text.len(),
            code: text,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_path_of_an_address_begins_at_the_top_of_its_host() {
        assert_eq!(path_of("https://lots.marlhythe.example"), "/");
        assert_eq!(path_of("https://marlhythe.example/LOTS/W"), "/LOTS/W/");
    }

    #[test]
    fn a_code_is_taken_apart() {
        let example = Example::of(EXAMPLE.parse().unwrap());
        assert_eq!(
            (
                example.letter,
                &*example.year,
                &*example.day,
                &*example.number,
                example.check
            ),
            ('P', "26", "115", "07", 'S')
        );
        assert_eq!(example.length, 11);
    }
}
