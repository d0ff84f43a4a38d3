//! How many packs of each run have their labels, by the prints that were confirmed.

use std::collections::BTreeMap;

use super::entry::Event;
use super::farm::Farm;
use super::lot::LotId;
use super::naming::Meant;
use super::packs::{PackPick, Which};
use super::spans::Spans;

impl Farm {
    /// Returns how many packs of each run have a good label of every template that was printed for it.
    ///
    /// A run of which no print was noted is not in the answer. A row that prints labels of several runs says for
    /// all of them together how many were spoiled; they are then taken off the last.
    pub fn labelled(&self) -> BTreeMap<LotId, u32> {
        let mut good: BTreeMap<LotId, BTreeMap<&str, Labels>> = BTreeMap::new();
        for place in &self.order {
            let Some(Event::Print { packs, facts }) = &self.entries[*place].event else {
                continue;
            };
            let mut left = facts.printed.saturating_sub(facts.spoiled);
            for (pick, last) in packs.iter().zip((0..packs.len()).rev()) {
                let Some((run, many)) = self.many(pick) else {
                    continue;
                };
                // A last run takes what is left: labels printed again stand in the row as more than its packs.
                let of_run = if last == 0 { left } else { left.min(many) };
                left -= of_run;
                let templates = good.entry(run).or_default();
                templates
                    .entry(&facts.template)
                    .or_insert_with(|| Labels::none(self.made_packs(run)))
                    .add(pick, many, of_run);
            }
        }
        let runs = good.into_iter().map(|(run, templates)| {
            let least = templates.values().map(Labels::packs).min();
            (run, least.unwrap_or(0).min(self.made_packs(run)))
        });
        runs.collect()
    }

    /// Returns the run of a pick, and how many of its packs are meant.
    fn many(&self, pick: &PackPick<Meant>) -> Option<(LotId, u32)> {
        let run = self.lot_of(pick.run)?;
        let many = match pick.which {
            Which::Serials(range) => range.count(),
            Which::Unnumbered(count) => count,
            Which::All => self.made_packs(run),
        };
        Some((run, many.min(self.made_packs(run))))
    }

    fn made_packs(&self, run: LotId) -> u32 {
        self.lot(run).shelf.as_ref().map_or(0, |shelf| shelf.made())
    }
}

/// Labels of one template for one run.
struct Labels {
    good: u32,
    /// The serials that were printed; one that was printed again is one pack all the same.
    serials: Spans<bool>,
    unnumbered: u32,
}

impl Labels {
    fn none(made: u32) -> Self {
        Self {
            good: 0,
            serials: Spans::new(made, false),
            unnumbered: 0,
        }
    }

    fn add(&mut self, pick: &PackPick<Meant>, many: u32, good: u32) {
        self.good = self.good.saturating_add(good);
        match pick.which {
            Which::Serials(range) => self.serials.set(range, true),
            Which::Unnumbered(_) | Which::All => {
                self.unnumbered = self.unnumbered.saturating_add(many);
            }
        }
    }

    fn packs(&self) -> u32 {
        let named = self.serials.iter().filter(|(_, printed)| *printed);
        let named: u32 = named.map(|(range, _)| range.count()).sum();
        self.good.min(named.saturating_add(self.unnumbered))
    }
}
