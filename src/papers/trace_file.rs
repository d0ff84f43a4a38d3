//! The trace file of one lot, for an inspector or a certifier: what it is, one step back, one step forward, the full
//! lineage, and the entry that proves each line.

use crate::farm::{Basis, Farm, LotId};
use crate::trace::{
    Carried, Listing, Question, Reached, Relation, Scope, Side, Source, Start, forward, held,
    recalled, trace, ways,
};

use super::error::PaperError;
use super::evidence::{Link, links};
use super::format::Format;
use super::lineage::{Drawn, draw};
use super::lot_words::{called, manner};
use super::paper::{Imprint, Paper};
use super::steps::facts_of;
use super::table::{Column, Table};
use super::wording::{at, count, days, numbers};

/// Said once on each paper.
pub const NO_SUBSTITUTE: &str = "This paper says what the farm's diary says, and no more. castlot is no substitute \
                                 for local codes and licensed practice.";

/// What a trace file is made from.
#[derive(Clone, Copy)]
pub struct TraceFile<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// The lot.
    pub lot: LotId,
}

/// Everything a trace file is about, worked out once.
pub(super) struct Known<'a> {
    pub(super) farm: &'a Farm,
    pub(super) lot: LotId,
    pub(super) back: Vec<Source>,
    /// Which way its lineage is drawn: back, or forward from what nothing stands behind.
    side: Side,
    /// What is drawn: what it came from, or went into, but was not only carried.
    near: Vec<Reached>,
    links: Vec<Link>,
    pub(super) listing: Listing,
}

impl<'a> TraceFile<'a> {
    /// Returns the list of packs that the lot is in, or that are its own.
    pub fn listing(&self) -> Listing {
        let scope = Scope {
            from: &[self.lot],
            packs: &[],
            carried: Carried::In,
        };
        Listing::of(self.farm, scope)
    }

    /// Lays the paper out and writes it as a PDF.
    pub fn to_pdf(&self, imprint: Imprint) -> Result<Vec<u8>, PaperError> {
        self.paper(imprint)?.to_pdf()
    }

    fn paper(&self, imprint: Imprint) -> Result<Paper, PaperError> {
        let known = self.known();
        let code = self.farm.lot(self.lot).code;
        let mut paper = Paper::new(Format::A4, &format!("Trace file of {code}"), imprint);
        paper.text(
            "What this lot is, where it came from and where it went, with the numbers of the diary's entries.",
        );
        known.what_it_is(&mut paper);
        known.stopped(&mut paper);
        known.made_from(&mut paper);
        known.step_back(&mut paper);
        known.step_forward(&mut paper);
        known.drawing(&mut paper)?;
        known.evidence(&mut paper);
        known.guesses(&mut paper);
        paper.small(NO_SUBSTITUTE);
        Ok(paper)
    }

    fn known(&self) -> Known<'a> {
        let question = Question {
            lot: self.lot,
            serial: None,
            when: None,
            side: Side::Back,
        };
        let back = trace(self.farm, question).back.unwrap_or_default();
        let reached: Vec<Reached> = back.iter().map(|source| source.reached).collect();
        let (mut side, mut near) = (Side::Back, not_carried(&reached));
        if near.is_empty() {
            let start = Start {
                lot: self.lot,
                serial: None,
                when: None,
            };
            (side, near) = (Side::Forward, not_carried(&forward(self.farm, start)));
        }
        let mut proven = ways(self.farm, self.lot, &near, side);
        proven.retain(|way| way.relation != Relation::Carried);
        Known {
            farm: self.farm,
            lot: self.lot,
            side,
            near,
            links: links(self.farm, &proven),
            back,
            listing: self.listing(),
        }
    }
}

fn not_carried(reached: &[Reached]) -> Vec<Reached> {
    let near = reached.iter().filter(|r| r.relation != Relation::Carried);
    near.copied().collect()
}

impl Known<'_> {
    fn what_it_is(&self, paper: &mut Paper) {
        paper.heading("What it is");
        paper.facts(facts_of(self.farm, self.lot));
    }

    fn stopped(&self, paper: &mut Paper) {
        let code = |lot: LotId| self.farm.lot(lot).code;
        let mut lines = Vec::new();
        for hold in held(self.farm).get(&self.lot).into_iter().flatten() {
            let entry = self.farm.entries()[hold.hold.entry].number;
            let since = at(hold.hold.since);
            lines.push(match hold.relation {
                None => format!("On hold since {since} (entry {entry})."),
                Some(relation) => format!(
                    "On hold since {since} for {}, {} (entry {entry}).",
                    code(hold.origin),
                    manner(Some(relation)),
                ),
            });
        }
        if let Some(by) = recalled(self.farm).get(&self.lot) {
            let entry = self.farm.entries()[by.entry].number;
            lines.push(format!(
                "Asked back since {} for {}, recall {} (entry {entry}).",
                at(by.since),
                code(by.origin),
                by.recall,
            ));
        }
        if !lines.is_empty() {
            paper.callout("This lot is stopped", lines);
        }
    }

    fn drawing(&self, paper: &mut Paper) -> Result<(), PaperError> {
        let (side, reached) = (self.side, &self.near);
        if reached.is_empty() {
            return Ok(());
        }
        let drawn = Drawn {
            farm: self.farm,
            subject: self.lot,
            reached,
            side,
        };
        let (slabs, grouped) = draw(drawn, paper.room())?;
        let lots = count(reached.len(), "lot", "lots");
        paper.heading(match side {
            Side::Back => "Lineage: everything that went into it",
            Side::Forward => "Lineage: everything it went into",
        });
        paper.text(format!(
            "{lots} beside this one. A line runs from the dots where something was taken to the tip where it went \
             in; a dashed line stands for the worms themselves or their parents.{}",
            match grouped {
                true => " So many that like is put with like; each is named below.",
                false => "",
            }
        ));
        paper.drawing(slabs);
        if grouped {
            self.every_lot(paper);
        }
        Ok(())
    }

    /// Names each lot of a drawing that put some together.
    fn every_lot(&self, paper: &mut Paper) {
        let columns = [
            Column::code("lot"),
            Column::text("what"),
            Column::text("how"),
            Column::code("made"),
            Column::number("entry"),
        ];
        let rows = self.near.iter().map(|reached| {
            let lot = self.farm.lot(reached.lot);
            [
                lot.code.to_string(),
                called(self.farm, reached.lot),
                manner(Some(reached.relation)).to_owned(),
                lot.when.day().to_string(),
                self.farm.entries()[lot.entry].number.to_string(),
            ]
        });
        paper.sub_heading("Each of these lots");
        paper.table(rows.fold(Table::new(columns), Table::row));
    }

    /// Every link of the lineage with its entries.
    fn evidence(&self, paper: &mut Paper) {
        if self.links.is_empty() {
            return;
        }
        paper.heading("The entries behind each line");
        paper.text("Amounts as recorded; entries by their number in the diary.");
        let columns = [
            Column::code("from"),
            Column::code("into"),
            Column::text("by"),
            Column::code("when"),
            Column::number("amount"),
            Column::text("entries"),
        ];
        let rows = self.links.iter().map(|link| {
            [
                self.farm.lot(link.from).code.to_string(),
                self.farm.lot(link.to).code.to_string(),
                link.nouns.iter().copied().collect::<Vec<_>>().join(", "),
                days(link.days.0, link.days.1),
                link.amount.clone(),
                numbers(link.entries.clone()),
            ]
        });
        paper.table(rows.fold(Table::new(columns), Table::row));
    }

    fn guesses(&self, paper: &mut Paper) {
        let of = |basis: Basis| self.links.iter().filter(|link| link.basis == basis).count();
        let (guessed, unknown) = (of(Basis::Guess), of(Basis::Unknown));
        paper.heading("What rests on a guess");
        paper.text(match (guessed, unknown, self.links.len()) {
            (_, _, 0) => "Nothing: the diary names no link to or from this lot.".to_owned(),
            (0, 0, all) => format!("None of the {} above.", count(all, "link", "links")),
            (guessed, unknown, all) => format!(
                "Of the {} above, {guessed} rest on an amount that was guessed, turned by a test or divided over \
                 several beds, and {unknown} on one that nobody knows. The lots are linked all the same: only how \
                 much went over is unsure.",
                count(all, "link", "links"),
            ),
        });
    }
}
