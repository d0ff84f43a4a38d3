//! The farm as the entries add up to it. Only `fold` makes one; everything here only looks.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rustc_hash::FxHashMap;

use super::amount::Amount;
use super::bin_code::{BinCode, Mark};
use super::code::{LotCode, LotLetter};
use super::complaints::Complaint;
use super::entry::{Entry, EntryNumber, Event};
use super::facts::{BinStanding, DeliveryFacts};
use super::flow::{Flow, FlowId, Recount};
use super::holding::Holding;
use super::lot::{Lot, LotId};
use super::naming::Meant;
use super::product::Product;
use super::refusal::Refusal;
use super::warning::Warning;

/// A farm: every entry, the order in which they happened, and what they add up to.
#[derive(Clone, Debug, Default)]
pub struct Farm {
    pub(super) entries: Vec<Entry>,
    /// For each entry, the number of the one that struck it.
    pub(super) struck: Vec<Option<EntryNumber>>,
    /// Unstruck entries with an event, as places in `entries`, in the order in which they happened.
    pub(super) order: Vec<usize>,
    pub(super) lots: Vec<Lot>,
    pub(super) by_code: FxHashMap<LotCode, LotId>,
    pub(super) by_mark: FxHashMap<Mark, LotId>,
    /// Every code ever given, with the entry that gave it last, so that none is given again.
    pub(super) given: FxHashMap<LotCode, EntryNumber>,
    pub(super) highest: FxHashMap<(LotLetter, u8, u16), u32>,
    pub(super) flows: Vec<Flow>,
    pub(super) recounts: Vec<Recount>,
    /// Standing holds, with what they reach.
    pub(super) holdings: Vec<Holding>,
    pub(super) bins: BTreeMap<BinCode, Bin>,
    /// Complaints that stand, in the order of recording.
    pub(super) complaints: Vec<Complaint>,
    /// The name of every complaint, struck or not, by its entry's place.
    pub(super) complaint_names: BTreeMap<usize, Mark>,
    pub(super) faults: Vec<Fault>,
    pub(super) warnings: Vec<(usize, Warning)>,
}

/// A bin as it stands now.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bin {
    /// Where it stands and what it is, if it was set up.
    pub standing: Option<BinStanding>,
    /// The bed in it.
    pub bed: Option<LotId>,
    /// All beds it has held, in order.
    pub beds: Vec<LotId>,
}

/// What is wrong with an entry, in its place among the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The entry, as its place in `Farm::entries`.
    pub entry: usize,
    /// What is wrong.
    pub refusal: Refusal,
}

impl Farm {
    /// Returns every entry, struck or not, by number.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Returns the entry of that number.
    pub fn entry(&self, number: EntryNumber) -> Option<&Entry> {
        self.entries
            .get(usize::try_from(number.checked_sub(1)?).ok()?)
    }

    /// Returns the farm as the diary stood when that entry had just been written: nothing later is known or struck.
    pub fn as_written(&self, last: EntryNumber) -> Self {
        let entries = self.entries.iter().take_while(|entry| entry.number <= last);
        Self::of(entries.cloned().collect())
    }

    /// Returns the farm as it was at the end of a day, by all that is known now: what struck is struck, and tests
    /// made later still turn units.
    pub fn until(&self, day: Date) -> Self {
        let mut entries = self.entries.clone();
        for entry in &mut entries {
            let is_test = matches!(entry.event, Some(Event::Test { .. }));
            if entry.when.day() > day && !is_test {
                entry.event = None;
            }
        }
        Self::of(entries)
    }

    /// Returns the number of the entry that struck this one, if one did.
    pub fn struck_by(&self, number: EntryNumber) -> Option<EntryNumber> {
        self.struck
            .get(usize::try_from(number.checked_sub(1)?).ok()?)
            .copied()
            .flatten()
    }

    /// Returns the unstruck entries, as places in `entries`, in the order in which they happened.
    pub fn order(&self) -> &[usize] {
        &self.order
    }

    /// Returns every lot that stands, in the order of recording.
    pub fn lots(&self) -> impl Iterator<Item = (LotId, &Lot)> {
        self.lots
            .iter()
            .zip(0..)
            .map(|(lot, place)| (LotId(place), lot))
    }

    /// Returns how many lots there are; every `LotId` is below it.
    pub fn lot_count(&self) -> usize {
        self.lots.len()
    }

    /// Returns a lot.
    pub fn lot(&self, id: LotId) -> &Lot {
        &self.lots[id.index()]
    }

    /// Returns the lot of that code, unless it was struck or never was.
    pub fn lot_of(&self, code: LotCode) -> Option<LotId> {
        self.by_code.get(&code).copied()
    }

    /// Returns the lot with that mark.
    pub fn marked(&self, mark: &Mark) -> Option<LotId> {
        self.by_mark.get(mark).copied()
    }

    /// Returns the lot with that mark, given as text.
    pub fn marks(&self) -> impl Iterator<Item = (&Mark, LotId)> {
        self.by_mark.iter().map(|(mark, id)| (mark, *id))
    }

    /// Returns the entry that gave out a code, struck or not.
    pub fn giver(&self, code: LotCode) -> Option<EntryNumber> {
        self.given.get(&code).copied()
    }

    /// Returns every code ever given out, in no order.
    pub fn codes(&self) -> impl Iterator<Item = LotCode> {
        self.given.keys().copied()
    }

    /// Returns every flow, in the order in which they happened.
    pub fn flows(&self) -> &[Flow] {
        &self.flows
    }

    /// Returns a flow.
    pub fn flow(&self, id: FlowId) -> &Flow {
        &self.flows[id.index()]
    }

    /// Returns the counts that set what was left of a lot, in the order in which they happened.
    pub fn recounts(&self) -> &[Recount] {
        &self.recounts
    }

    /// Returns every bin that was set up or used.
    pub fn bins(&self) -> &BTreeMap<BinCode, Bin> {
        &self.bins
    }

    /// Returns the bins in walking order: by rack, shelf and place; those without a place last.
    pub fn walking_order(&self) -> Vec<BinCode> {
        let place = |bin: &Bin| bin.standing.as_ref().map(|standing| standing.place.walk());
        let mut bins: Vec<BinCode> = self.bins.keys().copied().collect();
        bins.sort_by_cached_key(|code| {
            let place = place(&self.bins[code]);
            (place.is_none(), place, *code)
        });
        bins
    }

    /// Returns what is wrong with entries, in their order; nothing, in a diary castlot wrote.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// Returns what was let pass with a word, each with its entry's place.
    pub fn warnings(&self) -> &[(usize, Warning)] {
        &self.warnings
    }

    /// Returns the event that made a lot.
    pub fn making(&self, id: LotId) -> &Event<Meant> {
        self.entries[self.lot(id).entry]
            .event
            .as_ref()
            .expect("an entry that makes a lot has an event")
    }

    /// Returns what is known of a delivery; `None` for lots of other sorts.
    pub fn delivery(&self, id: LotId) -> Option<&DeliveryFacts> {
        match self.making(id) {
            Event::Delivery { facts, .. } => Some(facts),
            _ => None,
        }
    }

    /// Returns the product of a pack run; `None` for lots of other sorts.
    pub fn product(&self, id: LotId) -> Option<&Product> {
        match self.making(id) {
            Event::Pack { product, .. } => Some(product),
            _ => None,
        }
    }

    /// Returns the day a run is best by: the one noted when it was packed, else by the product's rule.
    pub fn best_by(&self, run: LotId) -> Option<Date> {
        match self.making(run) {
            Event::Pack {
                best_by, product, ..
            } => best_by.or_else(|| product.best_by(self.lot(run).when.day())),
            _ => None,
        }
    }

    /// Returns the species a bed or a delivery was recorded with, or else that of the bin or the worms put in.
    pub fn species(&self, id: LotId) -> Option<&str> {
        match self.making(id) {
            Event::Bed {
                species: Some(species),
                ..
            } => Some(species),
            Event::Delivery { facts, .. } => facts.species.as_deref(),
            Event::Bed { bin, .. } => self
                .bins
                .get(bin)?
                .standing
                .as_ref()?
                .facts
                .species
                .as_deref(),
            Event::Split { .. }
            | Event::Sieving { .. }
            | Event::Blend { .. }
            | Event::Pack { .. } => {
                let mut sources = self.lot(id).inflows.iter().map(|flow| self.flow(*flow));
                sources
                    .find(|flow| {
                        matches!(
                            flow.class,
                            super::flow::Class::Live | super::flow::Class::Whole
                        )
                    })
                    .and_then(|flow| self.species(flow.from))
            }
            _ => None,
        }
    }

    /// Returns how much of a lot was made, where anybody knows; for a bed and a pack run nobody does.
    pub fn made_amount(&self, id: LotId) -> Option<Amount> {
        self.lot(id).made
    }
}
