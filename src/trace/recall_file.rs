//! A recall from its opening to its close: the list as it was frozen, what has come to be reached since, who was
//! told, what came back, and the state of it in numbers.
//!
//! The list is what the entries up to the opening entry say, as they stood then: a row that is written, struck or
//! put right afterwards does not change it. What such rows add is shown apart. Nothing is left off for its share.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{
    EntryNumber, Event, Farm, LotCode, LotId, Meant, Moment, PackPick, SerialRange, Spans, Which,
    Word,
};

use super::listed::ListedSale;
use super::listing::Listing;
use super::pack_count::PackCount;
use super::recall_rows::{Closing, Reply, Rows, covers, names_them};
use super::scope::{Carried, Scope, beginnings};

/// A recall.
#[derive(Clone, Debug, PartialEq)]
pub struct RecallFile {
    /// Its name.
    pub name: String,
    /// When it was opened; where that was done again, the last time.
    pub opened: Moment,
    /// The entry that opened it, the last where there are several.
    pub entry: EntryNumber,
    /// Why.
    pub why: Option<Word>,
    /// The lots it was opened from; those named for being carried are not among them.
    pub from: Vec<LotCode>,
    /// How it was closed, if it has been.
    pub closed: Option<Closing>,
    /// The list as it was frozen.
    pub frozen: Listing,
    /// The same lots and packs as they stand now.
    pub now: Listing,
    /// What has come to be reached since: made, sold or recorded later.
    pub since: Listing,
    /// Who has been told.
    pub told: Vec<Reply>,
    /// What has come back.
    pub returned: Vec<Reply>,
}

/// The state of a recall in numbers. Packs unless it says otherwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Figures {
    /// Where they were when the list was frozen.
    pub then: PackCount,
    /// Where the same packs are now.
    pub now: PackCount,
    /// How many sales put some out.
    pub sales: usize,
    /// How many buyers and market days those were.
    pub buyers: usize,
    /// How many of those have been told.
    pub buyers_told: usize,
    /// Sold to buyers, or on market days, that have been told.
    pub told: u32,
    /// Came back under the recall.
    pub returned: u32,
}

/// Draws up a recall; `None` where there is none of that name.
pub fn recall_file(farm: &Farm, name: &str) -> Option<RecallFile> {
    let rows = Rows::of(farm, name);
    let last = rows.openings.last()?;
    let opened = &farm.entries()[*last];
    let mut codes: Vec<LotCode> = Vec::new();
    let mut packs: Vec<PackPick<Meant>> = Vec::new();
    let mut why = None;
    for place in &rows.openings {
        if let Some(Event::Recall {
            lots,
            packs: named,
            why: said,
            ..
        }) = &farm.entries()[*place].event
        {
            codes.extend(
                lots.iter()
                    .filter(|code| !codes.contains(code))
                    .collect::<Vec<_>>(),
            );
            packs.extend(named.iter().cloned());
            why = said.clone().or(why);
        }
    }
    let then = farm.as_written(opened.number);
    let frozen = list(&then, &codes, &packs);
    let all = list(farm, &codes, &packs);
    let since = all.beyond(&frozen);
    let begun = beginnings(&then, &ids(&then, &codes));
    Some(RecallFile {
        name: name.to_owned(),
        opened: opened.when,
        entry: opened.number,
        why,
        from: begun.into_iter().map(|lot| then.lot(lot).code).collect(),
        closed: rows.closed,
        now: all.beyond(&since),
        frozen,
        since,
        told: rows.told,
        returned: rows.returned,
    })
}

fn list(farm: &Farm, codes: &[LotCode], packs: &[PackPick<Meant>]) -> Listing {
    let scope = Scope {
        from: &ids(farm, codes),
        packs,
        carried: Carried::Out,
    };
    Listing::of(farm, scope)
}

fn ids(farm: &Farm, codes: &[LotCode]) -> Vec<LotId> {
    codes.iter().filter_map(|code| farm.lot_of(*code)).collect()
}

impl RecallFile {
    /// Tells whether whoever got a sale has been told.
    pub fn is_told(&self, sale: &ListedSale) -> bool {
        let names: Vec<&Word> = sale.to.buyer.iter().chain(&sale.to.market).collect();
        self.told.iter().any(|reply| {
            let who = reply.who.as_ref();
            let is_them = names
                .iter()
                .any(|name| who.is_some_and(|who| names_them(who, name)));
            // Nobody has been told of what they were sold only afterwards.
            is_them && sale.when.could_precede(reply.when) && covers(&reply.packs, sale)
        })
    }

    /// Returns the sales on the frozen list, and those since, whose buyers or market days have not been told.
    pub fn not_told(&self) -> Vec<&ListedSale> {
        let sales = self.frozen.sales.iter().chain(&self.since.sales);
        sales.filter(|sale| !self.is_told(sale)).collect()
    }

    /// Works out the state in numbers.
    pub fn figures(&self) -> Figures {
        let sales = &self.frozen.sales;
        let told: Vec<&ListedSale> = sales.iter().filter(|sale| self.is_told(sale)).collect();
        let buyers: BTreeSet<String> = sales.iter().map(whom).collect();
        let open: BTreeSet<String> = sales
            .iter()
            .filter(|sale| !self.is_told(sale))
            .map(whom)
            .collect();
        Figures {
            then: self.frozen.count(|_| true),
            now: self.now.count(|_| true),
            sales: sales.len(),
            buyers: buyers.len(),
            buyers_told: buyers.difference(&open).count(),
            told: told
                .iter()
                .map(|sale| sale.count())
                .fold(0, u32::saturating_add),
            returned: self.came_back(),
        }
    }

    /// Counts the packs of the list that came back: each serial once.
    fn came_back(&self) -> u32 {
        let listed = || self.frozen.runs.iter().chain(&self.since.runs);
        let meant = |run: LotCode| {
            let runs = listed().filter(move |one| one.code == run);
            runs.flat_map(|one| one.packs.iter().map(|packs| packs.serials))
        };
        let mut ranges: BTreeMap<LotCode, Vec<SerialRange>> = BTreeMap::new();
        let mut unnumbered = 0_u32;
        for pick in self.returned.iter().flat_map(|reply| &reply.packs) {
            match pick.which {
                Which::Serials(range) => {
                    let of_run = ranges.entry(pick.run).or_default();
                    of_run.extend(meant(pick.run).filter_map(|packs| packs.both(range)));
                }
                Which::Unnumbered(count) => {
                    let is_listed = listed().any(|one| one.code == pick.run);
                    unnumbered = unnumbered.saturating_add(if is_listed { count } else { 0 });
                }
                Which::All => {
                    let run = self.frozen.runs.iter().find(|run| run.code == pick.run);
                    unnumbered = unnumbered.saturating_add(run.map_or(0, |run| run.count.sold));
                }
            }
        }
        let numbered = ranges.values().map(|ranges| each_once(ranges));
        numbered.fold(unnumbered, u32::saturating_add)
    }
}

/// Counts the serials of ranges that may overlap.
fn each_once(ranges: &[SerialRange]) -> u32 {
    let last = ranges.iter().map(|range| range.last().number()).max();
    let mut named = Spans::new(last.unwrap_or(0), false);
    for range in ranges {
        named.set(*range, true);
    }
    let named = named.iter().filter(|(_, is_named)| *is_named);
    named.map(|(range, _)| range.count()).sum()
}

/// Names a buyer, or a market with its day: each market day is told by itself.
fn whom(sale: &ListedSale) -> String {
    match (&sale.to.buyer, &sale.to.market) {
        (Some(buyer), _) => format!("{buyer}"),
        (None, Some(market)) => format!("{market} {}", sale.when.day()),
        (None, None) => format!("entry {}", sale.entry),
    }
}
