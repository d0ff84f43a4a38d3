//! The page that answers "where did this go": pack runs, buyers, and the beds and batches on the way.

use std::collections::BTreeSet;

use crate::desk::alert::alerts;
use crate::desk::{called, mark_or_code};
use crate::farm::{Farm, LotId, LotSort};
use crate::trace::{Buyer, Question, Reached, Relation, Use};

use super::bed_list::{self, lived};
use super::phrase::{at, count, listed, paragraph};
use super::sales;
use super::shelves::Shelves;
use super::table::{Set, Table};

/// Where a lot went, ready to be told.
pub struct Page<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// What was asked.
    pub question: Question,
    /// Where it went, in the order of time.
    pub uses: &'a [Use],
    /// Who has packs of it.
    pub buyers: &'a [Buyer<'a>],
}

impl Page<'_> {
    /// Writes it.
    pub fn text(&self) -> String {
        let mut text = self.head();
        text += &self.sums();
        for (relation, head, who) in [
            (
                Relation::Part,
                "It is in these packs",
                "Who has those packs, or had them",
            ),
            (
                Relation::Live,
                "Its worms, or worms that come of them, are in these packs",
                "Who has those packs, or had them",
            ),
            (
                Relation::Carried,
                "Carried at most, on worms or inside a pack, into these",
                "Who has those, or had them",
            ),
        ] {
            text += &self.runs(relation, head);
            text += &self.sold(relation, who);
        }
        text += &self.beds(Relation::Part, "Beds it is in, or was");
        text += &self.beds(Relation::Live, "Beds its worms went on to");
        text += &self.rest();
        text
    }

    fn head(&self) -> String {
        let Question {
            lot, serial, when, ..
        } = self.question;
        let facts = self.farm.lot(lot);
        let code = facts.code;
        let subject = serial.map_or_else(|| code.to_string(), |serial| format!("{code}/{serial}"));
        let told = match (self.farm.delivery(lot), facts.sort) {
            (Some(delivery), _) => {
                let amount = self
                    .farm
                    .made_amount(lot)
                    .map(|amount| format!("{amount} "));
                let (amount, from) = (amount.unwrap_or_default(), &delivery.supplier);
                format!("{amount}from {from}, came {}", at(facts.when))
            }
            (None, LotSort::Bed) => {
                let ended = facts.ended.map(|ending| ending.when);
                format!("lived {}", lived(facts.when, ended))
            }
            (None, _) => format!("made {}", at(facts.when)),
        };
        let mut text = paragraph(&format!("{}, {told}: {subject}", called(self.farm, lot)), 0);
        for alert in alerts(self.farm, lot) {
            text += &paragraph(&alert, 0);
        }
        if let Some(when) = when {
            text += &format!("what left it {} or later\n", at(when));
        }
        text
    }

    fn of(&self, relation: Relation) -> impl Iterator<Item = Reached> {
        let reached = self.uses.iter().map(|used| used.reached);
        reached.filter(move |reached| reached.relation == relation)
    }

    /// The packs, added up.
    fn sums(&self) -> String {
        let mut text = String::new();
        for (relation, told) in [
            (Relation::Part, "in"),
            (Relation::Live, "alive in"),
            (Relation::Carried, "carried at most into"),
        ] {
            let packs = Shelves::of(self.farm, self.of(relation).map(|reached| reached.lot));
            if packs.runs > 0 {
                let runs = count(packs.runs, "pack run", "pack runs");
                let made = count(packs.made, "pack", "packs");
                let Shelves {
                    out, here, gone, ..
                } = packs;
                let told = format!(
                    "{told} {runs}: {made}, {out} with buyers, {here} in store, {gone} gone"
                );
                text += &paragraph(&told, 0);
            }
        }
        let is_run = self.farm.lot(self.question.lot).shelf.is_some();
        if text.is_empty() && !is_run {
            text += "in no pack\n";
        }
        text
    }

    fn runs(&self, relation: Relation, head: &str) -> String {
        let mut table = Table::new(&[
            ("packed", Set::Whole),
            ("product", Set::Whole),
            ("ref", Set::Whole),
            ("packs", Set::Number),
            ("out", Set::Number),
            ("in store", Set::Number),
            ("gone", Set::Number),
            ("run", Set::Whole),
        ]);
        for reached in self.of(relation) {
            let lot = self.farm.lot(reached.lot);
            if lot.shelf.is_none() {
                continue;
            }
            let mark = lot.mark.as_ref().map(ToString::to_string);
            let mut row = vec![
                lot.when.day().to_string(),
                self.farm
                    .product(reached.lot)
                    .map(|product| product.key.to_string())
                    .unwrap_or_default(),
                mark.unwrap_or_default(),
            ];
            row.extend(Shelves::of(self.farm, std::iter::once(reached.lot)).cells());
            row.push(lot.code.to_string());
            table.row(row);
        }
        if table.is_empty() {
            return String::new();
        }
        format!("\n{head} (out: with buyers):\n{table}")
    }

    /// Who bought packs of the runs of a relation; the subject's own packs count as those it is part of.
    fn sold(&self, relation: Relation, head: &str) -> String {
        let mut runs: BTreeSet<LotId> = self.of(relation).map(|reached| reached.lot).collect();
        if relation == Relation::Part {
            runs.insert(self.question.lot);
        }
        let own = runs.len() == 1 && runs.contains(&self.question.lot);
        let head = if own {
            "Who has packs of it, or had them"
        } else {
            head
        };
        let sales = sales::page(self.farm, self.buyers, |run| runs.contains(&run));
        if sales.is_empty() {
            return String::new();
        }
        format!("\n{head}:\n{sales}")
    }

    fn beds(&self, relation: Relation, head: &str) -> String {
        let is_bed = |reached: &Reached| self.farm.lot(reached.lot).sort == LotSort::Bed;
        let beds: Vec<Reached> = self.of(relation).filter(is_bed).collect();
        if beds.is_empty() {
            return String::new();
        }
        format!("\n{head}:\n{}", bed_list::page(self.farm, &beds, "reached"))
    }

    /// The batches, and the beds it was carried into at most.
    fn rest(&self) -> String {
        let sort = |reached: &Reached| self.farm.lot(reached.lot).sort;
        let mut text = String::new();
        let carried = self
            .of(Relation::Carried)
            .filter(|r| sort(r) == LotSort::Bed)
            .count();
        if carried > 0 {
            let beds = count(carried as u64, "bed", "beds");
            text += &format!("\nCarried at most, on worms that were moved, into {beds} more.\n");
        }
        let batches = self
            .of(Relation::Part)
            .filter(|r| matches!(sort(r), LotSort::Batch(_)));
        let names = batches.map(|reached| mark_or_code(self.farm, reached.lot));
        let names: Vec<String> = names.collect();
        if !names.is_empty() {
            text += &format!("\nBatches it is in:\n{}", paragraph(&listed(&names), 2));
        }
        text
    }
}
