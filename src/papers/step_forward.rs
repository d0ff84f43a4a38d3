//! The part of a trace file that looks one step forward: packs, where they are, and who has them.

use crate::trace::Listing;

use super::lot_words::{manner, packed, whom};
use super::pack_list;
use super::paper::Paper;
use super::table::{Column, Table};
use super::trace_file::Known;

impl Known<'_> {
    /// Packs, where they are, and who has them.
    pub(super) fn step_forward(&self, paper: &mut Paper) {
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
                packed(&run.product),
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
