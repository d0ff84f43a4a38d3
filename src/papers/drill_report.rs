//! The report of a drill: which lot was drawn and how, how long it took, what was found, and what was not.

use crate::farm::{Basis, DeliveryKind, Farm, LotCode, LotSort};
use crate::trace::{
    Carried, DrillLot, Listing, Question, Reached, Relation, Scope, Side, Source, Start, forward,
    trace, ways,
};

use super::drill_gaps::gaps;
use super::drill_tables::{by_hand, pack_numbers};
use super::error::PaperError;
use super::evidence::{Link, links};
use super::format::Format;
use super::lot_words::called;
use super::pack_list;
use super::paper::{Imprint, Paper};
use super::trace_file::{NO_SUBSTITUTE, TraceFile};
use super::wording::{count, grouped};

/// What the clock said.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DrillClock {
    /// When the lot was drawn.
    pub started: String,
    /// Tenths of a second from then until the lists were ready.
    pub lists: u64,
    /// Minutes from then until everybody had been reached, once somebody says so.
    pub minutes: Option<u64>,
}

/// A drill.
pub struct Drill<'a> {
    pub(super) farm: &'a Farm,
    drawn: DrillLot,
    seed: u64,
    back: Vec<Source>,
    links: Vec<Link>,
    /// Everything that would be asked back.
    pub listing: Listing,
}

impl<'a> Drill<'a> {
    /// Traces the lot that was drawn.
    pub fn of(farm: &'a Farm, drawn: DrillLot, seed: u64) -> Self {
        let lot = drawn.lot;
        let question = Question {
            lot,
            serial: None,
            when: None,
            side: Side::Back,
        };
        let back = trace(farm, question).back.unwrap_or_default();
        let sources: Vec<Reached> = back.iter().map(|source| source.reached).collect();
        let start = Start {
            lot,
            serial: None,
            when: None,
        };
        let mut proven = ways(farm, lot, &sources, Side::Back);
        proven.extend(ways(farm, lot, &forward(farm, start), Side::Forward));
        proven.retain(|way| way.relation != Relation::Carried);
        let scope = Scope {
            from: &[lot],
            packs: &[],
            carried: Carried::Out,
        };
        Self {
            farm,
            drawn,
            seed,
            links: links(farm, &proven),
            back,
            listing: Listing::of(farm, scope),
        }
    }

    /// Returns the trace file of the lot.
    pub fn trace_file(&self) -> TraceFile<'a> {
        TraceFile {
            farm: self.farm,
            lot: self.drawn.lot,
        }
    }

    /// Returns the code of the lot.
    pub fn code(&self) -> LotCode {
        self.farm.lot(self.drawn.lot).code
    }

    /// Returns the lots behind it, a row each: code, what, relation, share, supplier, when.
    pub fn back_rows(&self) -> Vec<[String; 6]> {
        let rows = self.back.iter().map(|source| {
            let id = source.reached.lot;
            let facts = self.farm.delivery(id);
            [
                self.farm.lot(id).code.to_string(),
                called(self.farm, id),
                source.reached.relation.word().to_owned(),
                source
                    .share
                    .map_or_else(String::new, |share| format!("{share:.9}")),
                facts.map_or_else(String::new, |facts| facts.supplier.to_string()),
                self.farm.lot(id).when.to_string(),
            ]
        });
        rows.collect()
    }

    /// Returns who has packs, a row each: buyer, market, contact, date, packs, which.
    pub fn buyer_rows(&self) -> Vec<[String; 6]> {
        let rows = self.listing.sales.iter().map(|sale| {
            let said = |word: &Option<crate::farm::Word>| {
                word.as_ref().map_or_else(String::new, ToString::to_string)
            };
            [
                said(&sale.to.buyer),
                said(&sale.to.market),
                said(&sale.to.contact),
                sale.when.to_string(),
                sale.count().to_string(),
                pack_list::of_sale(sale),
            ]
        });
        rows.collect()
    }

    /// Writes the report as a PDF.
    pub fn report(&self, clock: &DrillClock, imprint: Imprint) -> Result<Vec<u8>, PaperError> {
        let title = format!("Drill report: {}", self.code());
        let mut paper = Paper::new(Format::A4, &title, imprint);
        self.drawn(&mut paper);
        self.clock(clock, &mut paper);
        self.found(&mut paper);
        self.balance(&mut paper);
        self.calls(&mut paper);
        self.gaps(&mut paper);
        by_hand(&mut paper);
        paper.small(NO_SUBSTITUTE);
        paper.to_pdf()
    }

    fn drawn(&self, paper: &mut Paper) {
        paper.text("An exercise: nothing is wrong with this lot as far as anybody knows, and nothing was recorded.");
        paper.facts([
            (
                "Lot",
                format!("{}, {}", self.code(), called(self.farm, self.drawn.lot)),
            ),
            ("Drawn", self.how_drawn()),
            (
                "Draw it again",
                format!("castlot drill --seed {}", self.seed),
            ),
        ]);
    }

    fn how_drawn(&self) -> String {
        match self.drawn.candidates {
            // Of a drill that was finished after the diary had grown.
            0 => format!("by seed {}, from the diary as it was then", self.seed),
            candidates => format!(
                "by seed {}, from {}, the easier ones left out, and the likelier the more lots stand before and behind it; this one has {}",
                self.seed,
                count(candidates, "lot", "lots"),
                grouped(self.drawn.reaches as u64),
            ),
        }
    }

    fn clock(&self, clock: &DrillClock, paper: &mut Paper) {
        paper.heading("The clock");
        let minutes = clock
            .minutes
            .map(|minutes| count(minutes, "minute", "minutes"));
        paper.facts([
            ("Lot drawn", clock.started.clone()),
            (
                "Lists ready",
                format!("after {}.{} seconds", clock.lists / 10, clock.lists % 10),
            ),
            (
                "Everybody reached",
                minutes.map_or_else(String::new, |minutes| format!("after {minutes}")),
            ),
        ]);
    }

    fn found(&self, paper: &mut Paper) {
        let of = |wanted: fn(LotSort) -> bool| {
            let lots = self
                .back
                .iter()
                .map(|source| self.farm.lot(source.reached.lot).sort);
            lots.filter(|sort| wanted(*sort)).count().to_string()
        };
        let basis = |basis: Basis| self.links.iter().filter(|link| link.basis == basis).count();
        let packs = self.listing.count(|_| true);
        paper.heading("What was found");
        let packing = LotSort::Delivery(DeliveryKind::Packing);
        let packaging = self
            .back
            .iter()
            .filter(|s| self.farm.lot(s.reached.lot).sort == packing);
        paper.facts([
            (
                "Back: deliveries",
                of(|sort| matches!(sort, LotSort::Delivery(_))),
            ),
            ("of them packaging", packaging.count().to_string()),
            ("Back: beds", of(|sort| sort == LotSort::Bed)),
            (
                "Back: batches",
                of(|sort| matches!(sort, LotSort::Batch(_))),
            ),
            ("Forward: pack runs", self.listing.runs.len().to_string()),
            ("Forward: sales", self.listing.sales.len().to_string()),
            (
                "Links",
                format!(
                    "{}, of which {} rest on guesses and {} on amounts that nobody knows",
                    self.links.len(),
                    basis(Basis::Guess),
                    basis(Basis::Unknown),
                ),
            ),
        ]);
        paper.table(pack_numbers(packs));
    }

    fn gaps(&self, paper: &mut Paper) {
        paper.heading("What could not be found");
        let gaps = gaps(self.farm, &self.back, &self.links, &self.listing);
        match gaps.is_empty() {
            true => paper.text(
                "Nothing: every pack, buyer and amount that the drill asked for is in the diary.",
            ),
            false => paper.steps(gaps),
        };
    }
}
