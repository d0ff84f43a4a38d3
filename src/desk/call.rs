//! A complaint as it stands: what was said, the pack it is about, or every run that may be meant.

use crate::farm::{
    ComplaintFacts, Entry, Event, Farm, LotId, Mark, Meant, PackName, Serial, Settings, Word,
};
use crate::trade::Sign;

use super::candidates::{Wanted, found};
use super::half_code::HalfCode;
use super::period::Period;

/// A complaint.
pub struct Call<'a> {
    /// Its name.
    pub name: Mark,
    /// The entry that took it.
    pub entry: &'a Entry,
    /// What was said.
    pub facts: &'a ComplaintFacts,
    /// Why it was settled, where it was, the last time last.
    pub settled: Vec<&'a Entry>,
    /// The pack or run that was named; else the runs that may be meant.
    pub about: About,
}

/// What a complaint is about.
pub enum About {
    /// One run, and the pack of it where the serial is known.
    Pack(LotId, Option<Serial>),
    /// Any of these.
    AnyOf(Vec<Candidate>, Because),
}

/// A run that may be meant, with why.
pub struct Candidate {
    /// The run.
    pub run: LotId,
    /// The serial, where one was heard that the run has.
    pub serial: Option<Serial>,
    /// Why it may be the one, a line each.
    pub why: Vec<String>,
}

/// Why runs are candidates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// They fit what was said.
    TheyFit,
    /// Nothing that was said tells them apart: all that had been sold of the product, or of everything.
    NothingTells,
}

impl<'a> Call<'a> {
    /// Returns every complaint that stands, in the order of recording.
    pub fn all(farm: &'a Farm, settings: &Settings) -> Vec<Self> {
        let all = farm.complaints().iter();
        let entries = all.map(|complaint| &farm.entries()[complaint.entry]);
        entries
            .filter_map(|entry| Self::of_entry(farm, settings, entry))
            .collect()
    }

    /// Returns the complaint that an entry took, if it stands.
    pub fn of_entry(farm: &'a Farm, settings: &Settings, entry: &'a Entry) -> Option<Self> {
        let Some(Event::Complaint { pack, facts }) = &entry.event else {
            return None;
        };
        let name = farm.complaint_name(entry.number)?;
        let complaint = farm.complaint(name)?;
        let settled = complaint.settled.iter().map(|at| &farm.entries()[*at]);
        Some(Self {
            name: name.clone(),
            entry,
            facts,
            settled: settled.collect(),
            about: about(farm, settings, entry, pack.as_ref(), facts),
        })
    }

    /// Tells whether nobody has settled it.
    pub fn is_open(&self) -> bool {
        self.settled.is_empty()
    }

    /// Tells whether the run is known.
    pub fn is_narrowed(&self) -> bool {
        matches!(self.about, About::Pack(..))
    }

    /// Returns the rows of the table of signs that it leads to.
    pub fn signs(&self) -> Vec<&'static Sign> {
        self.facts.sign.said().map(Sign::all_in).unwrap_or_default()
    }
}

fn about(
    farm: &Farm,
    settings: &Settings,
    entry: &Entry,
    pack: Option<&PackName<Meant>>,
    facts: &ComplaintFacts,
) -> About {
    if let Some(pack) = pack
        && let Some(run) = farm.lot_of(pack.run)
    {
        return About::Pack(run, pack.serial);
    }
    let wanted = wanted(settings, entry, facts);
    let asked = wanted.code.is_some() || wanted.bought.is_some() || wanted.about.is_some();
    let mut fit: Vec<Candidate> = if asked {
        let found = found(farm, &wanted).candidates.into_iter();
        found
            .map(|found| Candidate {
                run: found.lot,
                serial: found.serial,
                why: found.why,
            })
            .collect()
    } else {
        Vec::new()
    };
    fit.retain(|candidate| was_sold(farm, candidate.run, entry));
    let of_product = |run: LotId| is_product(farm, run, facts.product.as_deref());
    if fit.iter().any(|candidate| of_product(candidate.run)) {
        fit.retain(|candidate| of_product(candidate.run));
    }
    if !fit.is_empty() {
        return About::AnyOf(fit, Because::TheyFit);
    }
    About::AnyOf(all_sold(farm, entry, of_product), Because::NothingTells)
}

/// What is looked for. What cannot be read is left aside: the call is saved as it was said.
fn wanted(settings: &Settings, entry: &Entry, facts: &ComplaintFacts) -> Wanted {
    let said = |word: &Word| word.said().map(str::to_owned);
    let heard = facts.heard.as_ref().and_then(said);
    let about = facts.bought_about.as_deref();
    Wanted {
        code: heard
            .as_deref()
            .and_then(HalfCode::read)
            .filter(HalfCode::has_a_digit),
        bought: facts.bought_at.as_deref().map(str::to_owned),
        about: about.and_then(|about| Period::read(about, settings.dates, entry.when.day())),
    }
}

/// Tells whether packs of a run had been sold when the call came.
fn was_sold(farm: &Farm, run: LotId, call: &Entry) -> bool {
    let lot = farm.lot(run);
    let lines = lot.shelf.iter().flat_map(|shelf| shelf.lines());
    let mut sales = lines.filter(|line| line.fate == crate::farm::Fate::Sold);
    sales.any(|line| farm.entries()[line.entry].when.could_precede(call.when))
}

/// Tells whether a run is of the product as somebody called it: its key, or every word of it in its name.
fn is_product(farm: &Farm, run: LotId, called: Option<&str>) -> bool {
    let (Some(product), Some(called)) = (farm.product(run), called) else {
        return called.is_none();
    };
    let called = called.to_lowercase();
    let name = format!("{} {} {}", product.name, product.kind, product.net).to_lowercase();
    product.key.eq_ignore_ascii_case(&called)
        || called.split_whitespace().all(|word| name.contains(word))
}

/// Returns every run that had been sold by the call: of the product, or of any where none of it had been.
fn all_sold(farm: &Farm, call: &Entry, of_product: impl Fn(LotId) -> bool) -> Vec<Candidate> {
    let sold = farm.lots().map(|(id, _)| id);
    let sold: Vec<LotId> = sold.filter(|id| was_sold(farm, *id, call)).collect();
    let narrow = sold.iter().any(|run| of_product(*run));
    let kept = sold.into_iter().filter(|run| !narrow || of_product(*run));
    kept.map(|run| Candidate {
        run,
        serial: None,
        why: Vec::new(),
    })
    .collect()
}
