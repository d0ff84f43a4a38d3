//! Pack runs as stock: what was made of each, what became of it, how old it is, and what is soon past its best by.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::desk::permission_words::days_between;
use crate::farm::{Farm, LotId, Shelf};
use crate::trace::recalled;

use super::stock::Holds;

/// A best by is told of so many days before it comes (a choice of ours, as long as a tub of worms lasts).
pub const DUE_DAYS: i32 = 14;

/// Numbers of packs. They close: made and over are sold less returned, thrown, opened, complained, lost and in store.
#[derive(Clone, Copy, Debug, Default, Serialize)]
pub struct Numbers {
    pub made: u32,
    /// Nothing where no print was noted.
    pub labelled: Option<u32>,
    pub sold: u32,
    pub returned: u32,
    pub out: u32,
    pub thrown: u32,
    pub opened: u32,
    pub complained: u32,
    pub lost: i64,
    pub over: u32,
    pub in_store: u32,
}

/// A pack run.
#[derive(Clone, Debug, Serialize)]
pub struct Run {
    pub code: String,
    #[serde(rename = "ref")]
    pub mark: Option<String>,
    pub product: String,
    pub name: String,
    pub net: String,
    pub when: String,
    pub age_days: i32,
    pub best_by: Option<String>,
    /// Days until then; below nothing where it is past.
    pub best_by_in: Option<i32>,
    #[serde(flatten)]
    pub numbers: Numbers,
    pub held: bool,
    /// Something of a held lot may have been carried over.
    pub flagged: bool,
    pub recalled: bool,
}

impl Run {
    /// Returns how many stand in store but are not to be sold.
    pub fn kept(&self) -> u32 {
        if self.held || self.recalled {
            self.numbers.in_store
        } else {
            0
        }
    }
}

/// All runs of a product.
#[derive(Clone, Debug, Serialize)]
pub struct Tally {
    pub product: String,
    pub runs: u32,
    #[serde(flatten)]
    pub numbers: Numbers,
    pub kept: u32,
}

/// A run of which packs in store are past their best by, or soon will be.
#[derive(Clone, Debug, Serialize)]
pub struct DueRun {
    pub code: String,
    #[serde(rename = "ref")]
    pub mark: Option<String>,
    pub product: String,
    pub best_by: String,
    pub best_by_in: i32,
    pub in_store: u32,
}

impl Numbers {
    fn of(shelf: &Shelf, labelled: Option<u32>) -> Self {
        Self {
            made: shelf.made(),
            labelled,
            sold: shelf.sold(),
            returned: shelf.returned(),
            out: shelf.out(),
            thrown: shelf.thrown(),
            opened: shelf.opened(),
            complained: shelf.complained(),
            lost: shelf.lost(),
            over: shelf.over(),
            in_store: shelf.in_store(),
        }
    }

    fn add(&mut self, other: &Self) {
        self.made += other.made;
        let labelled = [self.labelled, other.labelled];
        self.labelled = labelled.into_iter().flatten().reduce(|a, b| a + b);
        self.sold = self.sold.saturating_add(other.sold);
        self.returned = self.returned.saturating_add(other.returned);
        self.out = self.out.saturating_add(other.out);
        self.thrown = self.thrown.saturating_add(other.thrown);
        self.opened = self.opened.saturating_add(other.opened);
        self.complained = self.complained.saturating_add(other.complained);
        self.lost += other.lost;
        self.over = self.over.saturating_add(other.over);
        self.in_store = self.in_store.saturating_add(other.in_store);
    }
}

/// Returns the runs among some lots, in their order.
pub fn runs(
    farm: &Farm,
    lots: impl Iterator<Item = LotId>,
    holds: &Holds,
    today: Date,
) -> Vec<Run> {
    let (recalls, labelled) = (recalled(farm), farm.labelled());
    let runs = lots.filter_map(|id| {
        let lot = farm.lot(id);
        let (shelf, product) = (lot.shelf.as_ref()?, farm.product(id)?);
        let best_by = farm.best_by(id);
        Some(Run {
            code: lot.code.to_string(),
            mark: lot.mark.as_ref().map(ToString::to_string),
            product: product.key.to_string(),
            name: product.name.to_string(),
            net: product.net.to_string(),
            when: lot.when.to_string(),
            age_days: days_between(lot.when.day(), today),
            best_by: best_by.map(|day| day.to_string()),
            best_by_in: best_by.map(|day| days_between(today, day)),
            numbers: Numbers::of(shelf, labelled.get(&id).copied()),
            held: holds.held.contains_key(&id),
            flagged: holds.flagged.contains_key(&id),
            recalled: recalls.contains_key(&id),
        })
    });
    runs.collect()
}

/// Adds runs up product by product, by key.
pub fn tallies(runs: &[Run]) -> Vec<Tally> {
    let mut tallies: BTreeMap<&str, Tally> = BTreeMap::new();
    for run in runs {
        let tally = tallies.entry(&run.product).or_insert_with(|| Tally {
            product: run.product.clone(),
            runs: 0,
            numbers: Numbers::default(),
            kept: 0,
        });
        tally.runs += 1;
        tally.numbers.add(&run.numbers);
        tally.kept += run.kept();
    }
    tallies.into_values().collect()
}

/// Returns the runs in store that are past their best by, or soon will be, the longest past first.
pub fn due(runs: &[Run]) -> Vec<DueRun> {
    let due = runs.iter().filter_map(|run| {
        let best_by_in = run.best_by_in.filter(|left| *left <= DUE_DAYS)?;
        (run.numbers.in_store > 0).then(|| DueRun {
            code: run.code.clone(),
            mark: run.mark.clone(),
            product: run.product.clone(),
            best_by: run.best_by.clone().unwrap_or_default(),
            best_by_in,
            in_store: run.numbers.in_store,
        })
    });
    let mut due: Vec<DueRun> = due.collect();
    due.sort_by_key(|run| run.best_by_in);
    due
}
