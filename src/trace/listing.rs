//! The list behind a recall: every lot that is reached, every pack of it, where each pack is, and who was sold it.
//!
//! It is a list of what could hold the trouble, so nothing is left off it for being a small part, and a pack of
//! which nobody knows where it went is listed as such. Lots stand by code, so that lists of two times can be compared.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{
    EntryNumber, Event, Farm, Fate, LotCode, LotId, LotSort, Relation, SerialRange, Shelf, Spans,
};

use super::listed::{ListedLot, ListedPacks, ListedRun, ListedSale, SoldPacks, Whereabouts};
use super::out::still_out;
use super::pack_count::PackCount;
use super::scope::{Scope, only, reach};

/// Everything that is reached: lots in the order of time, those that are part before live before carried.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Listing {
    /// Deliveries, beds and batches.
    pub lots: Vec<ListedLot>,
    /// Pack runs.
    pub runs: Vec<ListedRun>,
    /// The sales that put packs out which have not come back, in the order of events.
    pub sales: Vec<ListedSale>,
}

impl Listing {
    /// Draws up the list.
    pub fn of(farm: &Farm, scope: Scope<'_>) -> Self {
        let mut listing = Self::default();
        let mut sales: BTreeMap<usize, Vec<SoldPacks>> = BTreeMap::new();
        let mut reached: Vec<(LotId, Option<Relation>)> = reach(farm, scope).into_iter().collect();
        reached.sort_by_key(|(lot, relation)| {
            let when = farm.lot(*lot).when;
            (*relation, when.earliest(), when.latest(), *lot)
        });
        for (lot, relation) in reached {
            match farm.lot(lot).sort {
                LotSort::Run(_) => {
                    let only = only(scope.packs, farm.lot(lot).code);
                    listing.runs.extend(run(farm, lot, relation, &only));
                    for (entry, sold) in sold(farm, lot, &only) {
                        sales.entry(entry).or_default().push(sold);
                    }
                }
                LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => {
                    listing.lots.push(listed(farm, lot, relation));
                }
            }
        }
        let mut sales: Vec<ListedSale> = sales
            .into_iter()
            .filter_map(|(entry, packs)| sale(farm, entry, packs))
            .collect();
        sales.sort_by_key(|sale| (sale.when.earliest(), sale.when.latest(), sale.entry));
        listing.sales = sales;
        listing
    }

    /// Returns how many packs are where, of those reached in a way that counts.
    pub fn count(&self, counts: impl Fn(Option<Relation>) -> bool) -> PackCount {
        let runs = self.runs.iter().filter(|run| counts(run.relation));
        runs.fold(PackCount::default(), |sum, run| sum.plus(run.count))
    }

    /// Returns what stands on this list and not on an earlier one.
    pub fn beyond(&self, earlier: &Self) -> Self {
        let known: BTreeSet<LotCode> = earlier.codes().collect();
        let sales: BTreeSet<EntryNumber> = earlier.sales.iter().map(|sale| sale.entry).collect();
        let is_new = |code: &LotCode| !known.contains(code);
        Self {
            lots: self
                .lots
                .iter()
                .filter(|lot| is_new(&lot.code))
                .cloned()
                .collect(),
            runs: self
                .runs
                .iter()
                .filter(|run| is_new(&run.code))
                .cloned()
                .collect(),
            sales: self
                .sales
                .iter()
                .filter(|sale| !sales.contains(&sale.entry))
                .cloned()
                .collect(),
        }
    }

    /// Tells whether nothing stands on it.
    pub fn is_empty(&self) -> bool {
        self.lots.is_empty() && self.runs.is_empty() && self.sales.is_empty()
    }

    fn codes(&self) -> impl Iterator<Item = LotCode> {
        let lots = self.lots.iter().map(|lot| lot.code);
        lots.chain(self.runs.iter().map(|run| run.code))
    }
}

fn listed(farm: &Farm, id: LotId, relation: Option<Relation>) -> ListedLot {
    let lot = farm.lot(id);
    ListedLot {
        code: lot.code,
        mark: lot.mark.clone(),
        sort: lot.sort,
        when: lot.when,
        relation,
        bin: lot.bin(),
        left: lot.stock.left(),
    }
}

fn run(
    farm: &Farm,
    id: LotId,
    relation: Option<Relation>,
    only: &[SerialRange],
) -> Option<ListedRun> {
    let lot = farm.lot(id);
    let shelf = lot.shelf.as_ref()?;
    let packs = packs(farm, id, shelf, only);
    let count = if only.is_empty() {
        PackCount::of_shelf(shelf)
    } else {
        PackCount::of_packs(&packs)
    };
    Some(ListedRun {
        code: lot.code,
        mark: lot.mark.clone(),
        product: farm.product(id)?.clone(),
        when: lot.when,
        relation,
        only: only.to_vec(),
        packs,
        count,
    })
}

/// Returns where each pack of a run is.
fn packs(farm: &Farm, run: LotId, shelf: &Shelf, only: &[SerialRange]) -> Vec<ListedPacks> {
    let on_shelf = shelf.ranges_of(Fate::InStore);
    let on_shelf: u32 = on_shelf.iter().map(|range| range.count()).sum();
    let unsold = if on_shelf > shelf.in_store() {
        // Some have left the store that nobody can point to.
        Whereabouts::Unplaced
    } else {
        Whereabouts::InStore
    };
    let mut at = Spans::new(shelf.made(), unsold);
    let fates = [
        (Fate::Sold, Whereabouts::Unplaced),
        (Fate::Complained, Whereabouts::Back),
        (Fate::Thrown, Whereabouts::Thrown),
        (Fate::Opened, Whereabouts::Opened),
    ];
    for (fate, whereabouts) in fates {
        for range in shelf.ranges_of(fate) {
            at.set(range, whereabouts);
        }
    }
    for out in still_out(farm, run) {
        let sold = Whereabouts::Sold(farm.entries()[out.entry].number);
        for range in overlap(&out.serials, &shelf.ranges_of(Fate::Sold)) {
            at.set(range, sold);
        }
    }
    let mut meant = Spans::new(shelf.made(), only.is_empty());
    for range in only {
        meant.set(*range, true);
    }
    let meant = meant.iter().filter(|(_, is_meant)| *is_meant);
    meant
        .flat_map(|(range, _)| at.within(range))
        .map(|(serials, at)| ListedPacks { serials, at })
        .collect()
}

/// Returns what sales put out of a run, as far as it is meant.
fn sold(farm: &Farm, run: LotId, only: &[SerialRange]) -> Vec<(usize, SoldPacks)> {
    let lot = farm.lot(run);
    let mut all = Vec::new();
    for out in still_out(farm, run) {
        let serials = if only.is_empty() {
            out.serials
        } else {
            overlap(&out.serials, only)
        };
        if serials.is_empty() && out.unnumbered == 0 {
            continue;
        }
        let packs = SoldPacks {
            run: lot.code,
            mark: lot.mark.clone(),
            serials,
            unnumbered: out.unnumbered,
        };
        all.push((out.entry, packs));
    }
    all
}

fn overlap(some: &[SerialRange], others: &[SerialRange]) -> Vec<SerialRange> {
    let pairs = some.iter().flat_map(|a| others.iter().map(move |b| (a, b)));
    pairs.filter_map(|(a, b)| a.both(*b)).collect()
}

fn sale(farm: &Farm, place: usize, packs: Vec<SoldPacks>) -> Option<ListedSale> {
    let entry = &farm.entries()[place];
    let Some(Event::Sale { to, .. }) = &entry.event else {
        return None;
    };
    Some(ListedSale {
        entry: entry.number,
        when: entry.when,
        to: (**to).clone(),
        packs,
    })
}
