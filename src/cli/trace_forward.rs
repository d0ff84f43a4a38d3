//! The page that answers "where did this go": pack runs, buyers, and the beds and batches on the way.

use std::collections::BTreeSet;

use crate::farm::{Farm, LotId, LotSort};
use crate::trace::{Buyer, Question, Relation, Use};

use super::alert::alerts;
use super::beds::short_species;
use super::named::{called, title};
use super::phrase::{at, count, listed, paragraph};
use super::sales;
use super::table::{Set, Table};
use super::trace_back::lived;

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
    /// Whether the subject is a pack run itself.
    pub is_run: bool,
}

impl Page<'_> {
    /// Writes it.
    pub fn text(&self) -> String {
        let mut text = self.head();
        text += &self.sum();
        for (relation, head) in [
            (Relation::Part, "It is in these packs"),
            (
                Relation::Live,
                "Its worms, or worms that come of them, are in these packs",
            ),
            (
                Relation::Carried,
                "Carried at most, as a film on worms or inside a pack, into these",
            ),
        ] {
            let runs = self.runs(relation);
            if !runs.is_empty() {
                text += &format!("\n{head}:\n{runs}");
            }
        }
        if !self.buyers.is_empty() {
            let sales = sales::table(self.farm, self.buyers);
            text += &format!("\nWho has packs, or had them, of any of these:\n{sales}");
        }
        text += &self.beds();
        text += &self.batches();
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
                let amount = amount.unwrap_or_default();
                format!(
                    "{amount}from {}, came {}",
                    delivery.supplier,
                    at(facts.when)
                )
            }
            (None, LotSort::Bed) => {
                format!("lived {}", lived(facts.when, facts.ended.map(|e| e.when)))
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

    fn sum(&self) -> String {
        let mut text = String::new();
        for (relation, told) in [
            (Relation::Part, "in"),
            (Relation::Live, "alive in"),
            (Relation::Carried, "carried at most into"),
        ] {
            let of = self
                .uses
                .iter()
                .filter(|used| used.reached.relation == relation);
            let runs: Vec<&Use> = of.filter(|used| used.packs.is_some()).collect();
            if runs.is_empty() {
                continue;
            }
            let made: u32 = runs
                .iter()
                .filter_map(|run| run.packs)
                .map(|(made, _)| made)
                .sum();
            let sold: u32 = runs
                .iter()
                .filter_map(|run| run.packs)
                .map(|(_, sold)| sold)
                .sum();
            let shelves = runs
                .iter()
                .filter_map(|run| self.farm.lot(run.reached.lot).shelf.as_ref());
            let here: u32 = shelves.map(|shelf| shelf.in_store()).sum();
            let runs = count(runs.len() as u64, "pack run", "pack runs");
            let packs = count(made, "pack", "packs");
            text += &format!("{told} {runs}: {packs}, {sold} sold, {here} in store\n");
        }
        if text.is_empty() && !self.is_run {
            text += "in no pack\n";
        }
        let buyers: BTreeSet<String> = self
            .buyers
            .iter()
            .filter_map(|sale| sale.to.buyer.as_ref())
            .map(ToString::to_string)
            .collect();
        let days: BTreeSet<_> = self
            .buyers
            .iter()
            .filter(|sale| sale.to.buyer.is_none())
            .map(|sale| sale.when.day())
            .collect();
        if !self.buyers.is_empty() {
            let buyers = count(buyers.len() as u64, "buyer", "buyers");
            let days = count(days.len() as u64, "market day", "market days");
            text += &format!("sold to {buyers} by name, and on {days} without names\n");
        }
        text
    }

    fn runs(&self, relation: Relation) -> String {
        let mut table = Table::new(&[
            ("packed", Set::Whole),
            ("product", Set::Text),
            ("ref", Set::Whole),
            ("packs", Set::Number),
            ("sold", Set::Number),
            ("in store", Set::Number),
            ("run", Set::Whole),
        ]);
        for used in self
            .uses
            .iter()
            .filter(|used| used.reached.relation == relation)
        {
            let lot = self.farm.lot(used.reached.lot);
            let (Some((made, sold)), Some(shelf)) = (used.packs, &lot.shelf) else {
                continue;
            };
            table.row(vec![
                lot.when.day().to_string(),
                title(self.farm, used.reached.lot),
                lot.mark
                    .as_ref()
                    .map(ToString::to_string)
                    .unwrap_or_default(),
                made.to_string(),
                sold.to_string(),
                shelf.in_store().to_string(),
                lot.code.to_string(),
            ]);
        }
        if table.is_empty() {
            String::new()
        } else {
            table.to_string()
        }
    }

    fn beds(&self) -> String {
        let mut text = String::new();
        for (relation, head) in [
            (Relation::Part, "Beds it is in"),
            (Relation::Live, "Beds its worms went on to"),
        ] {
            let mut table = Table::new(&[
                ("bin", Set::Whole),
                ("species", Set::Whole),
                ("lived", Set::Whole),
                ("first reached", Set::Whole),
                ("bed", Set::Whole),
            ]);
            for used in self
                .uses
                .iter()
                .filter(|used| used.reached.relation == relation)
            {
                let lot = self.farm.lot(used.reached.lot);
                if lot.sort == LotSort::Bed {
                    table.row(vec![
                        bins(self.farm, used.reached.lot),
                        self.farm
                            .species(used.reached.lot)
                            .map(short_species)
                            .unwrap_or_default(),
                        lived(lot.when, lot.ended.map(|ending| ending.when)),
                        used.reached.first.day().to_string(),
                        lot.code.to_string(),
                    ]);
                }
            }
            if !table.is_empty() {
                text += &format!("\n{head}:\n{table}");
            }
        }
        let carried = self.uses.iter().filter(|used| {
            used.reached.relation == Relation::Carried
                && self.farm.lot(used.reached.lot).sort == LotSort::Bed
        });
        let carried = carried.count();
        if carried > 0 {
            let beds = count(carried as u64, "bed", "beds");
            text += &format!("\nCarried at most, on worms that were moved, into {beds} more.\n");
        }
        text
    }

    fn batches(&self) -> String {
        let names: Vec<String> = self
            .uses
            .iter()
            .filter(|used| used.reached.relation == Relation::Part)
            .filter(|used| matches!(self.farm.lot(used.reached.lot).sort, LotSort::Batch(_)))
            .map(|used| {
                let lot = self.farm.lot(used.reached.lot);
                lot.mark
                    .as_ref()
                    .map_or_else(|| lot.code.to_string(), ToString::to_string)
            })
            .collect();
        if names.is_empty() {
            return String::new();
        }
        let head = format!("\nBatches it is in ({}):\n", names.len());
        head + &paragraph(&listed(&names), 2)
    }
}

fn bins(farm: &Farm, bed: LotId) -> String {
    let stays = &farm.lot(bed).stays;
    let bins: Vec<String> = stays.iter().map(|stay| stay.bin.to_string()).collect();
    bins.join(", ")
}
