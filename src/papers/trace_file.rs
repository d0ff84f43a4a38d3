//! The trace file of one lot, for an inspector or a certifier: what it is, one step back, one step forward, the full
//! lineage, and the entry that proves each line.

use crate::farm::{Basis, DeliveryKind, Farm, LotId, LotSort};
use crate::trace::{
    Carried, Listing, Question, Reached, Relation, Scope, Side, Source, Start, forward, held,
    recalled, trace, ways,
};

use super::error::PaperError;
use super::evidence::{Link, links};
use super::format::Format;
use super::lineage::{Drawn, draw};
use super::lot_words::{called, manner, whom};
use super::pack_list;
use super::paper::{Imprint, Paper};
use super::steps::{around, facts_of};
use super::table::{Column, Table};
use super::wording::{at, count, days, numbers, per_cent};

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
struct Known<'a> {
    farm: &'a Farm,
    lot: LotId,
    back: Vec<Source>,
    /// Of those that it came from, what was not only carried.
    near: Vec<Reached>,
    links: Vec<Link>,
    listing: Listing,
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
            "What this lot is, where it came from and where it went, with the number of each entry in the farm's \
             diary that says so.",
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
        let near = not_carried(&reached);
        let mut proven = ways(self.farm, self.lot, &near, Side::Back);
        proven.retain(|way| way.relation != Relation::Carried);
        Known {
            farm: self.farm,
            lot: self.lot,
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

    /// The deliveries that are in it, with their shares.
    fn made_from(&self, paper: &mut Paper) {
        let mut parts: Vec<&Source> = self
            .back
            .iter()
            .filter(|source| source.basis.is_some())
            .collect();
        if parts.is_empty() {
            return;
        }
        parts.sort_by(|a, b| b.share.unwrap_or(0.0).total_cmp(&a.share.unwrap_or(0.0)));
        paper.heading("What it was made from");
        paper.text(
            "By weight as recorded, each bed and batch taken as well mixed. ~ marks a share that rests on a guess or \
             on an amount divided over several beds; ? one that nobody can tell.",
        );
        let columns = [
            Column::number("share"),
            Column::code("lot"),
            Column::text("what"),
            Column::text("rests on"),
        ];
        let rows = parts.into_iter().map(|source| {
            let lot = source.reached.lot;
            [
                share(source),
                self.farm.lot(lot).code.to_string(),
                called(self.farm, lot),
                basis(source.basis).to_owned(),
            ]
        });
        paper.table(rows.fold(Table::new(columns), Table::row));
    }

    /// Every delivery that is in it or touched it: suppliers and packaging.
    fn step_back(&self, paper: &mut Paper) {
        paper.heading("One step back: who supplied it");
        if let Some(facts) = self.farm.delivery(self.lot) {
            paper.text(format!("It came from {}.", facts.supplier));
        }
        around(self.farm, self.lot, paper);
        let of = |wanted: fn(&Source, bool) -> bool| {
            let deliveries = self
                .back
                .iter()
                .filter(|s| self.farm.delivery(s.reached.lot).is_some());
            deliveries
                .filter(|source| wanted(source, self.is_packaging(source.reached.lot)))
                .collect::<Vec<_>>()
        };
        let in_it = of(|source, _| source.reached.relation != Relation::Carried);
        let packaging =
            of(|source, packing| source.reached.relation == Relation::Carried && packing);
        let carried =
            of(|source, packing| source.reached.relation == Relation::Carried && !packing);
        self.suppliers(paper, "Deliveries that are in it", &in_it);
        self.suppliers(paper, "Packaging that it touched", &packaging);
        self.suppliers(
            paper,
            "Carried at most, as a film on worms that were moved, or on a bag's inside",
            &carried,
        );
        if self.back.is_empty() && self.farm.delivery(self.lot).is_none() {
            paper.text("The diary names nothing that went into it.");
        }
    }

    fn is_packaging(&self, lot: LotId) -> bool {
        self.farm.lot(lot).sort == LotSort::Delivery(DeliveryKind::Packing)
    }

    fn suppliers(&self, paper: &mut Paper, heading: &str, sources: &[&Source]) {
        if sources.is_empty() {
            return;
        }
        let columns = [
            Column::code("lot"),
            Column::text("what"),
            Column::text("supplier"),
            Column::text("supplier's lot"),
            Column::code("came"),
            Column::number("amount"),
            Column::number("entry"),
        ];
        let rows = sources.iter().filter_map(|source| {
            let lot = self.farm.lot(source.reached.lot);
            let facts = self.farm.delivery(source.reached.lot)?;
            Some([
                lot.code.to_string(),
                called(self.farm, source.reached.lot),
                facts.supplier.to_string(),
                facts.supplier_lot.as_deref().unwrap_or_default().to_owned(),
                lot.when.day().to_string(),
                lot.made.map_or_else(String::new, |made| made.to_string()),
                self.farm.entries()[lot.entry].number.to_string(),
            ])
        });
        paper.sub_heading(heading);
        paper.table(rows.fold(Table::new(columns), Table::row));
    }

    /// Packs, where they are, and who has them.
    fn step_forward(&self, paper: &mut Paper) {
        paper.heading("One step forward: where it went");
        let listing = &self.listing;
        if listing.runs.is_empty() {
            paper.text("No pack of it, or with it, has been made.");
            return;
        }
        let columns = [
            Column::code("run"),
            Column::text("product"),
            Column::code("packed"),
            Column::text("how"),
            Column::number("made"),
            Column::number("in store"),
            Column::number("sold"),
            Column::number("back"),
            Column::number("thrown"),
            Column::number("opened"),
            Column::number("not found"),
        ];
        let mut table = Table::new(columns);
        for run in &listing.runs {
            let c = run.count;
            let numbers = [c.made, c.in_store, c.sold, c.back, c.thrown, c.opened];
            let words = [
                run.code.to_string(),
                super::lot_words::packed(&run.product),
                run.when.day().to_string(),
                manner(run.relation).to_owned(),
            ];
            let numbers = numbers.into_iter().chain([c.not_found + c.unplaced]);
            table = table.row(words.into_iter().chain(numbers.map(|n| n.to_string())));
        }
        if listing.runs.len() > 1 {
            let c = listing.count(|_| true);
            let all = [c.made, c.in_store, c.sold, c.back, c.thrown, c.opened];
            let all = all.into_iter().chain([c.not_found + c.unplaced]);
            let words = ["all", "", "", ""].map(str::to_owned);
            table = table.sum(words.into_iter().chain(all.map(|n| n.to_string())));
        }
        paper.table(table);
        buyers(listing, paper);
    }

    fn drawing(&self, paper: &mut Paper) -> Result<(), PaperError> {
        let (side, reached) = if self.near.is_empty() {
            let start = Start {
                lot: self.lot,
                serial: None,
                when: None,
            };
            (Side::Forward, not_carried(&forward(self.farm, start)))
        } else {
            (Side::Back, self.near.clone())
        };
        if reached.is_empty() {
            return Ok(());
        }
        let drawn = Drawn {
            farm: self.farm,
            subject: self.lot,
            reached: &reached,
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
                true => " So many that like is put with like; the list of links below names each.",
                false => "",
            }
        ));
        paper.drawing(slabs);
        Ok(())
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
            (_, _, 0) => "Nothing: the diary names no link before this lot.".to_owned(),
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

/// Adds the table of who got packs.
pub fn buyers(listing: &Listing, paper: &mut Paper) {
    if listing.sales.is_empty() {
        paper.text("No pack of these is with a buyer.");
        return;
    }
    let columns = [
        Column::code("sold"),
        Column::text("buyer or market"),
        Column::text("contact"),
        Column::text("note"),
        Column::number("packs"),
        Column::text("which"),
        Column::number("entry"),
    ];
    let rows = listing.sales.iter().map(|sale| {
        [
            sale.when.day().to_string(),
            whom(&sale.to),
            sale.to
                .contact
                .as_ref()
                .map_or_else(String::new, ToString::to_string),
            sale.to.document.as_deref().unwrap_or_default().to_owned(),
            sale.count().to_string(),
            pack_list::of_sale(sale),
            sale.entry.to_string(),
        ]
    });
    paper.sub_heading("Who has packs");
    paper.table(rows.fold(Table::new(columns), Table::row));
}

fn share(source: &Source) -> String {
    let mark = match source.basis {
        Some(Basis::Guess) => "~",
        Some(Basis::Unknown) => "?",
        Some(Basis::Weighed) | None => "",
    };
    source.share.map_or_else(
        || "?".to_owned(),
        |share| format!("{mark}{}", per_cent(share)),
    )
}

fn basis(basis: Option<Basis>) -> &'static str {
    match basis {
        Some(Basis::Weighed) => "weighed",
        Some(Basis::Guess) => "a guess",
        Some(Basis::Unknown) => "not known",
        None => "",
    }
}
