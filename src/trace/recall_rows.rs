//! The rows of one recall: what opened and closed it, who was told, what came back; and whom such a row is about.

use crate::farm::{
    EntryNumber, Event, Farm, Meant, Moment, PackPick, RecallStep, SerialRange, Which, Word,
};

use super::listed::ListedSale;

/// How a recall was closed.
#[derive(Clone, Debug, PartialEq)]
pub struct Closing {
    /// When.
    pub when: Moment,
    /// The entry.
    pub entry: EntryNumber,
    /// Why.
    pub why: Option<Word>,
}

/// A row of a recall about a buyer: told, or packs back.
#[derive(Clone, Debug, PartialEq)]
pub struct Reply {
    /// The entry.
    pub entry: EntryNumber,
    /// When.
    pub when: Moment,
    /// The buyer or the market.
    pub who: Option<Word>,
    /// The packs it is about, where the row says so.
    pub packs: Vec<PackPick<Meant>>,
    /// What was said.
    pub why: Option<Word>,
}

/// The rows of one recall since it was opened, or opened again after a close.
#[derive(Default)]
pub(super) struct Rows {
    pub(super) openings: Vec<usize>,
    pub(super) closed: Option<Closing>,
    pub(super) told: Vec<Reply>,
    pub(super) returned: Vec<Reply>,
}

impl Rows {
    pub(super) fn of(farm: &Farm, name: &str) -> Self {
        let mut rows = Self::default();
        for place in farm.order() {
            let entry = &farm.entries()[*place];
            let Some(Event::Recall {
                recall,
                step,
                packs,
                buyer,
                why,
                ..
            }) = &entry.event
            else {
                continue;
            };
            if **recall != *name {
                continue;
            }
            let reply = || Reply {
                entry: entry.number,
                when: entry.when,
                who: buyer.clone(),
                packs: packs.clone(),
                why: why.clone(),
            };
            match step {
                RecallStep::Open => {
                    if rows.closed.is_some() {
                        rows = Self::default();
                    }
                    rows.openings.push(*place);
                }
                RecallStep::Close => {
                    rows.closed = Some(Closing {
                        when: entry.when,
                        entry: entry.number,
                        why: why.clone(),
                    });
                }
                RecallStep::Told => rows.told.push(reply()),
                RecallStep::Returned => rows.returned.push(reply()),
            }
        }
        rows
    }
}

/// Tells whether a row is about that buyer or market.
pub(super) fn names_them(who: &Word, name: &Word) -> bool {
    who.said()
        .map_or_else(|| who == name, |who| is_of(who, name))
}

/// Tells whether a row's words name that buyer or market; `Quay market, notice at the stall` names the Quay market.
pub fn is_of(who: &str, name: &Word) -> bool {
    let rest = name.said().and_then(|name| who.strip_prefix(name));
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(','))
}

/// Tells whether a row that names packs is about packs of the sale; one that names none is about them all.
pub(super) fn covers(packs: &[PackPick<Meant>], sale: &ListedSale) -> bool {
    packs.is_empty()
        || sale.packs.iter().all(|sold| {
            let mut picks = packs.iter().filter(|pick| pick.run == sold.run);
            let named = |range: &SerialRange| {
                picks.clone().any(|pick| match pick.which {
                    Which::Serials(told) => told.holds(range.first()) && told.holds(range.last()),
                    Which::Unnumbered(_) | Which::All => true,
                })
            };
            sold.serials.iter().all(named) && (sold.unnumbered == 0 || picks.next().is_some())
        })
}
