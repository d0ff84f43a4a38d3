//! The tables of a drill's report: packs, quantities, whom to ring, and the lines to write on.

use crate::farm::Quantity;
use crate::trace::{Account, Counted, PackCount, Terms, books};

use super::drill_report::Drill;
use super::lot_words::{packed, whom};
use super::pack_list;
use super::paper::Paper;
use super::table::{Column, Table};
use super::wording::listed;

impl Drill<'_> {
    /// The mass balance of the lot and of every run on the list.
    pub(super) fn balance(&self, paper: &mut Paper) {
        let on_list = |account: &Account| {
            account.code == self.code()
                || self.listing.runs.iter().any(|run| run.code == account.code)
        };
        let columns = [
            Column::code("lot"),
            Column::number("came in"),
            Column::number("used"),
            Column::number("sold"),
            Column::number("thrown"),
            Column::number("lost"),
            Column::number("written off"),
            Column::number("apart"),
            Column::number("in store"),
            Column::number("not accounted for"),
        ];
        let mut table = Table::new(columns);
        for account in books(self.farm).iter().filter(|account| on_list(account)) {
            let Terms {
                opening: _,
                came_in,
                used,
                sold,
                thrown,
                lost,
                written_off,
                apart,
                in_store,
                unaccounted,
            } = account.terms;
            let numbers = [
                came_in,
                used,
                sold,
                thrown,
                lost,
                written_off,
                apart,
                in_store,
                unaccounted,
            ];
            let cells = numbers.map(|value| amount(account.counted, value));
            table = table.row(std::iter::once(account.code.to_string()).chain(cells));
        }
        paper.heading("Quantities");
        paper.text("What came in is the sum of all that stands behind it. Lots in their own unit, runs in packs.");
        paper.table(table);
    }

    /// Whom one would ring, with room for the answers.
    pub(super) fn calls(&self, paper: &mut Paper) {
        paper.heading("Whom to ring, and what they said");
        if self.listing.sales.is_empty() {
            paper.text("No pack of these is with a buyer.");
            return;
        }
        let columns = [
            Column::text("buyer or market"),
            Column::text("contact"),
            Column::code("sold"),
            Column::number("packs"),
            Column::text("which"),
            Column::blank("rung at"),
            Column::blank("still has"),
        ];
        let rows = self.listing.sales.iter().map(|sale| {
            [
                whom(&sale.to),
                sale.to
                    .contact
                    .as_ref()
                    .map_or_else(String::new, ToString::to_string),
                sale.when.day().to_string(),
                sale.count().to_string(),
                pack_list::of_sale(sale),
                String::new(),
                String::new(),
            ]
        });
        paper.table(rows.fold(Table::new(columns), Table::row));
        let products: Vec<String> = self
            .listing
            .runs
            .iter()
            .map(|run| packed(&run.product))
            .collect();
        let mut products = products;
        products.sort();
        products.dedup();
        paper.small(format!("Products: {}.", listed(&products)));
    }
}

/// Returns how many packs are where.
pub fn pack_numbers(packs: PackCount) -> Table {
    let columns = [
        "made",
        "traced",
        "in store",
        "with buyers",
        "back",
        "thrown",
        "opened",
        "not accounted for",
    ];
    let numbers = [
        packs.made,
        packs.traced(),
        packs.in_store,
        packs.sold,
        packs.back,
        packs.thrown,
        packs.opened,
        packs.not_found.saturating_add(packs.unplaced),
    ];
    let columns = std::iter::once(Column::text("packs")).chain(columns.map(Column::number));
    let cells = numbers.map(|number| number.to_string());
    Table::new(columns).row(std::iter::once("all runs on the list".to_owned()).chain(cells))
}

fn amount(counted: Counted, value: i64) -> String {
    match counted {
        Counted::Packs => value.to_string(),
        Counted::In(unit) => {
            let sign = if value < 0 { "-" } else { "" };
            format!("{sign}{}", Quantity::new(value.unsigned_abs(), unit))
        }
    }
}

/// What only people can do, with lines to write on.
pub fn by_hand(paper: &mut Paper) {
    paper.heading("Done by hand");
    let lines = [
        "Stock put apart, at",
        "Message drafted, at",
        "Calls begun, at",
        "Last answer, at",
        "What went wrong",
        "What is changed for next time",
        "Signed",
    ];
    paper.facts(lines.map(|name| (name, "")));
}
