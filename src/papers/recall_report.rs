//! The report of a recall: its numbers, who has been told, what came back, and how sure the links are.

use crate::farm::{Basis, LotCode, Moment};
use crate::trace::{ListedSale, Listing, PackCount, Relation, Side, Start, forward, ways};

use super::error::PaperError;
use super::evidence::links;
use super::format::Format;
use super::lot_words::{manner, packed, whom};
use super::pack_list;
use super::paper::{Imprint, Paper};
use super::recall_notice::RecallPapers;
use super::recall_tables::{lots_table, replies};
use super::table::{Column, Table};
use super::trace_file::NO_SUBSTITUTE;
use super::wording::{at, count};

/// What only people can say of a recall, with lines to write on.
const BY_HAND: [&str; 4] = [
    "What the cause was",
    "What was put right",
    "Tested again, and what was found",
    "Signed, and when",
];

impl RecallPapers<'_> {
    /// Writes the report as a PDF.
    pub fn report(&self, imprint: Imprint) -> Result<Vec<u8>, PaperError> {
        let file = self.file;
        let title = format!("Recall report: {}", file.name);
        let mut paper = Paper::new(Format::A4, &title, imprint);
        self.what_it_is(&mut paper);
        self.numbers(&mut paper);
        paper.heading("Who has packs, and whether they have been told");
        self.buyers(&file.frozen.sales, &mut paper);
        self.runs_table("Pack runs on the list", &file.frozen, &mut paper);
        lots_table(self.farm, &file.frozen, &mut paper);
        replies("Told", &file.told, &mut paper);
        replies("Came back", &file.returned, &mut paper);
        if !file.since.is_empty() {
            paper.heading("Reached since it was opened");
            paper.text("Made, sold or written down later; not in the numbers above.");
            self.runs_table("Pack runs", &file.since, &mut paper);
            self.buyers(&file.since.sales, &mut paper);
            lots_table(self.farm, &file.since, &mut paper);
        }
        self.surety(&mut paper);
        paper.heading("Done by hand");
        paper.facts(BY_HAND.map(|name| (name, "")));
        paper.small(NO_SUBSTITUTE);
        paper.to_pdf()
    }

    fn what_it_is(&self, paper: &mut Paper) {
        let file = self.file;
        let from: Vec<String> = file.from.iter().map(|code| self.named(*code)).collect();
        let mut facts = vec![
            (
                "Opened",
                format!("{} (entry {})", at(file.opened), file.entry),
            ),
            ("From", from.join("; ")),
            (
                "Why",
                file.why
                    .as_ref()
                    .map_or_else(|| "not said".to_owned(), ToString::to_string),
            ),
            (
                "Closed",
                match &file.closed {
                    Some(closed) => format!(
                        "{} (entry {}){}",
                        at(closed.when),
                        closed.entry,
                        closed
                            .why
                            .as_ref()
                            .map_or_else(String::new, |why| format!(": {why}"))
                    ),
                    None => "still open".to_owned(),
                },
            ),
        ];
        facts.extend(self.minutes());
        paper.facts(facts);
    }

    fn named(&self, code: LotCode) -> String {
        match self.farm.lot_of(code) {
            Some(lot) => format!("{code}, {}", super::lot_words::called(self.farm, lot)),
            None => code.to_string(),
        }
    }

    /// How long it took from the opening to the first and the last being told, where both have a time of day.
    fn minutes(&self) -> Vec<(&'static str, String)> {
        let timed = |moment: Moment| moment.minute().map(|_| moment.earliest());
        let Some(opened) = timed(self.file.opened) else {
            return Vec::new();
        };
        let told = self.file.told.iter().filter_map(|reply| timed(reply.when));
        let minutes: Vec<i64> = told.map(|told| told - opened).collect();
        match (minutes.iter().min(), minutes.iter().max()) {
            (Some(first), Some(last)) => vec![(
                "Minutes taken",
                format!(
                    "{} to the first who was told, {} to the last so far",
                    long(*first),
                    long(*last)
                ),
            )],
            _ => Vec::new(),
        }
    }

    fn numbers(&self, paper: &mut Paper) {
        let figures = self.file.figures();
        paper.heading("In numbers");
        let columns = [
            Column::text("packs"),
            Column::number("when opened"),
            Column::number("now"),
        ];
        let (then, now) = (figures.then, figures.now);
        let row = |name: &str, of: fn(PackCount) -> u32| {
            [name.to_owned(), of(then).to_string(), of(now).to_string()]
        };
        let table = Table::new(columns)
            .row(row("made", |count| count.made))
            .row(row("traced", PackCount::traced))
            .row(row("in store", |count| count.in_store))
            .row(row("with buyers", |count| count.sold))
            .row(row("back with a complaint, kept apart", |count| count.back))
            .row(row("thrown out", |count| count.thrown))
            .row(row("opened and used again", |count| count.opened))
            .sum(row("not accounted for", |count| {
                count.not_found.saturating_add(count.unplaced)
            }));
        paper.table(table);
        paper.facts([
            (
                "Buyers and market days told",
                format!(
                    "{} of {}, {} packs",
                    figures.buyers_told, figures.buyers, figures.told
                ),
            ),
            (
                "Came back under the recall",
                count(figures.returned, "pack", "packs"),
            ),
        ]);
    }

    fn buyers(&self, sales: &[ListedSale], paper: &mut Paper) {
        if sales.is_empty() {
            paper.text("No pack of these is with a buyer.");
            return;
        }
        let columns = [
            Column::code("sold"),
            Column::text("buyer or market"),
            Column::text("contact"),
            Column::number("packs"),
            Column::text("which"),
            Column::text("told"),
            Column::number("entry"),
        ];
        let rows = sales.iter().map(|sale| {
            [
                sale.when.day().to_string(),
                whom(&sale.to),
                sale.to
                    .contact
                    .as_ref()
                    .map_or_else(String::new, ToString::to_string),
                sale.count().to_string(),
                pack_list::of_sale(sale),
                if self.file.is_told(sale) {
                    "yes"
                } else {
                    "not yet"
                }
                .to_owned(),
                sale.entry.to_string(),
            ]
        });
        paper.table(rows.fold(Table::new(columns), Table::row));
    }

    fn runs_table(&self, heading: &str, listing: &Listing, paper: &mut Paper) {
        if listing.runs.is_empty() {
            return;
        }
        let columns = [
            Column::code("run"),
            Column::text("product"),
            Column::code("packed"),
            Column::text("serials"),
            Column::text("how"),
            Column::number("made"),
            Column::number("in store"),
            Column::number("sold"),
            Column::number("gone otherwise"),
        ];
        let rows = listing.runs.iter().map(|run| {
            let c = run.count;
            let gone = [c.back, c.thrown, c.opened, c.not_found, c.unplaced];
            let gone = gone.into_iter().fold(0, u32::saturating_add);
            let which = match &run.only[..] {
                [] => "all".to_owned(),
                some => pack_list::serials(some, 0),
            };
            [
                run.code.to_string(),
                packed(&run.product),
                run.when.day().to_string(),
                which,
                manner(run.relation).to_owned(),
                c.made.to_string(),
                c.in_store.to_string(),
                c.sold.to_string(),
                gone.to_string(),
            ]
        });
        paper.sub_heading(heading);
        paper.table(rows.fold(Table::new(columns), Table::row));
    }

    /// How many of the links rest on guesses.
    fn surety(&self, paper: &mut Paper) {
        let (mut all, mut guessed, mut unknown) = (0_usize, 0_usize, 0_usize);
        for lot in self
            .file
            .from
            .iter()
            .filter_map(|code| self.farm.lot_of(*code))
        {
            let start = Start {
                lot,
                serial: None,
                when: None,
            };
            let mut reached = forward(self.farm, start);
            reached.retain(|r| r.relation != Relation::Carried);
            let mut proven = ways(self.farm, lot, &reached, Side::Forward);
            proven.retain(|way| way.relation != Relation::Carried);
            for link in links(self.farm, &proven) {
                all += 1;
                guessed += usize::from(link.basis == Basis::Guess);
                unknown += usize::from(link.basis == Basis::Unknown);
            }
        }
        paper.heading("How sure the links are");
        paper.text(format!(
            "Of {} from what it was opened from to the packs, {guessed} rest on an amount that was guessed, turned \
             by a test or divided over several beds, and {unknown} on one that nobody knows. What is linked is on \
             the list all the same: nothing is left off for a small share.",
            count(all, "link", "links"),
        ));
    }
}

/// Writes minutes, and what they are in hours where there are many.
fn long(minutes: i64) -> String {
    const HOUR: i64 = 60;
    match minutes {
        ..180 => minutes.to_string(),
        _ => format!("{minutes} ({} h {} min)", minutes / HOUR, minutes % HOUR),
    }
}
