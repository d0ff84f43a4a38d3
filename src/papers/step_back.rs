//! The part of a trace file that looks one step back: what a lot was made from, who supplied it, and in what packaging.

use crate::farm::{Basis, DeliveryKind, LotId, LotSort, Relation};
use crate::trace::Source;

use super::lot_words::called;
use super::paper::Paper;
use super::steps::around;
use super::table::{Column, Table};
use super::trace_file::Known;
use super::wording::per_cent;

impl Known<'_> {
    /// The deliveries that are in it, with their shares.
    pub(super) fn made_from(&self, paper: &mut Paper) {
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
    pub(super) fn step_back(&self, paper: &mut Paper) {
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
        self.suppliers(
            paper,
            "Deliveries that are in it, or whose worms it is",
            &in_it,
        );
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
