//! The page of a lot: what it is, how it stands, where it came from, its tests, and what to heed.

use askama::Template;

use crate::farm::{BatchKind, Farm, LotId, LotSort, PackKind, PublicFact, Settings, Wording};
use crate::label::{Heeded, heeded, keeping, using};
use crate::trace::{Balance, Channels, Start};
use crate::trade::{NO_SUBSTITUTE, handled_like};

use super::banner::{Banner, status};
use super::drawing::Drawing;
use super::facts::Test;
use super::frame::{Frame, Known};
use super::shown::Shown;
use super::sources::Sources;
use super::standing::Standing;
use super::wording;

/// The page of a lot.
#[derive(Template)]
#[template(path = "pages/lot.html")]
pub struct LotPage<'a> {
    /// What is around it.
    pub frame: Frame<'a>,
    sort: &'static str,
    what: String,
    code: String,
    banner: Option<Banner>,
    status: String,
    known: Vec<Known>,
    sources: Sources,
    beds: Beds,
    drawing: Option<Drawing>,
    tests: Vec<Test>,
    advice: Option<Advice>,
    cautions: Vec<Heeded>,
    no_substitute: &'static str,
    /// Whether it is worms, whose own way is told first.
    is_worms: bool,
    is_delivery: bool,
}

/// The beds behind a lot.
struct Beds {
    /// How many, in words.
    count: String,
    codes: Vec<String>,
    more: usize,
}

/// How a product is used and kept.
pub struct Advice {
    pub using: String,
    pub keeping: String,
}

/// Beds beyond so many are counted only.
const BEDS: usize = 36;

/// What a lot's page is made from.
pub struct Subject<'a> {
    pub farm: &'a Farm,
    pub lot: LotId,
    pub standing: &'a Standing,
    pub balance: Balance,
    /// The ways back, kept from one page to the next.
    pub ways_back: &'a Channels,
}

impl<'a> LotPage<'a> {
    /// Makes the page of a lot.
    pub fn of(subject: Subject<'a>, frame: Frame<'a>) -> Self {
        let Subject {
            farm,
            lot: id,
            standing,
            balance,
            ways_back,
        } = subject;
        let lot = farm.lot(id);
        let start = Start {
            lot: id,
            serial: None,
            when: None,
        };
        let reached = ways_back.trace(farm, start);
        let shown = Shown::of(farm, frame.settings);
        let sources = Sources::of(shown, &reached, &balance);
        let shows_way = shown.lets_out(PublicFact::Way);
        Self {
            sort: wording::sort(lot.sort),
            what: shown.what(id),
            code: lot.code.to_string(),
            banner: Banner::of(standing, lot.sort, &frame),
            status: status(standing),
            known: shown.known(id),
            beds: beds(farm, &sources.beds),
            sources,
            drawing: shows_way
                .then(|| Drawing::of(shown, ways_back, id, &reached))
                .flatten(),
            tests: shown.tests(id),
            advice: advice(lot.sort, &words_of(farm, id, frame.settings)),
            cautions: cautions(farm, id, frame.settings),
            no_substitute: NO_SUBSTITUTE,
            is_worms: matches!(
                lot.sort,
                LotSort::Run(PackKind::Tub) | LotSort::Batch(BatchKind::Worms)
            ),
            is_delivery: matches!(lot.sort, LotSort::Delivery(_)),
            frame,
        }
    }
}

fn beds(farm: &Farm, beds: &[LotId]) -> Beds {
    let codes = beds.iter().rev().take(BEDS).rev();
    Beds {
        count: wording::count(beds.len(), "bed", "beds"),
        codes: codes.map(|bed| farm.lot(*bed).code.to_string()).collect(),
        more: beds.len().saturating_sub(BEDS),
    }
}

/// Returns the farm's own words for a lot: those of its product, else those for all.
fn words_of(farm: &Farm, lot: LotId, settings: &Settings) -> Wording {
    match farm.product(lot) {
        Some(product) => settings.wording_of(&product.key),
        None => settings.wording.clone(),
    }
}

/// Returns how a pack is used and kept; a lot that is not packed has no such words, nor has one whose farm took them away.
fn advice(sort: LotSort, wording: &Wording) -> Option<Advice> {
    match sort {
        LotSort::Run(kind) => {
            let (using, keeping) = (using(kind, wording), keeping(kind, wording));
            let is_said = !(using.is_empty() && keeping.is_empty());
            is_said.then_some(Advice { using, keeping })
        }
        LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => None,
    }
}

/// Returns what a run's page says in words that the farm can choose: how it is used and kept, and what to heed.
pub fn own_words(farm: &Farm, run: LotId, settings: &Settings) -> Vec<String> {
    let advice = advice(farm.lot(run).sort, &words_of(farm, run, settings));
    let advice = advice.map(|advice| [advice.using, advice.keeping]);
    let heeded = cautions(farm, run, settings);
    let heeded = heeded.into_iter().map(|caution| caution.long);
    advice.into_iter().flatten().chain(heeded).collect()
}

/// What only the opener of a bag needs to hear.
const OF_BAGS: &[&str] = &["open", "woods"];

/// Returns the cautions for a lot in the farm's country, in its own words where it has some.
pub fn cautions(farm: &Farm, lot: LotId, settings: &Settings) -> Vec<Heeded> {
    let sort = farm.lot(lot).sort;
    let wording = words_of(farm, lot, settings);
    let mut cautions = heeded(handled_like(sort), &settings.country, &wording);
    if !matches!(sort, LotSort::Run(_)) {
        cautions.retain(|caution| !OF_BAGS.contains(&caution.key));
    }
    cautions
}
