//! The answer to a trace: both sides of it, with shares and buyers, ready to be told.

use crate::farm::{Basis, Farm, LotId, LotSort, Moment, Relation, Serial};

use super::balance::balance;
use super::buyers::{Buyer, buyers};
use super::reach::{Reached, Start, back, forward};

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question {
    /// The lot.
    pub lot: LotId,
    /// The one pack, where the lot is a run.
    pub serial: Option<Serial>,
    /// The moment it is asked for.
    pub when: Option<Moment>,
    /// Which side is asked for; both, or the one that suits the lot.
    pub side: Side,
}

/// Which way to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Where it came from.
    Back,
    /// Where it went.
    Forward,
}

impl Side {
    /// Returns the side that suits a lot: back from a pack, run or batch, forward from a delivery or bed.
    pub fn that_suits(sort: LotSort) -> Self {
        match sort {
            LotSort::Run(_) | LotSort::Batch(_) => Self::Back,
            LotSort::Delivery(_) | LotSort::Bed => Self::Forward,
        }
    }
}

/// A lot that could have reached the subject.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// How it is reached, and between which moments something left it.
    pub reached: Reached,
    /// Its share of the subject's bulk; stands on deliveries that are part of it, where it can be told.
    pub share: Option<f64>,
    /// The weakest amount on the way; stands on deliveries that are part.
    pub basis: Option<Basis>,
}

/// A lot that the subject could have reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Use {
    /// How it is reached, and between which moments something went into it.
    pub reached: Reached,
    /// How many packs it made and how many of them were sold, for a pack run.
    pub packs: Option<(u32, u32)>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace<'a> {
    /// What was asked.
    pub question: Question,
    /// Where it came from, in the order of time.
    pub back: Option<Vec<Source>>,
    /// Where it went, in the order of time.
    pub forward: Option<Vec<Use>>,
    /// Who has packs of it.
    pub buyers: Vec<Buyer<'a>>,
}

/// Answers a question.
pub fn trace(farm: &Farm, question: Question) -> Trace<'_> {
    let start = Start {
        lot: question.lot,
        serial: question.serial,
        when: question.when,
    };
    let is_run = matches!(farm.lot(question.lot).sort, LotSort::Run(_));
    match question.side {
        Side::Back => {
            let runs: &[LotId] = if is_run { &[question.lot] } else { &[] };
            let sources = sources(farm, start);
            Trace {
                question,
                back: Some(sources),
                forward: None,
                buyers: buyers(farm, runs, question.serial),
            }
        }
        Side::Forward => {
            let uses = uses(farm, start);
            let mut sold = if is_run {
                buyers(farm, &[question.lot], question.serial)
            } else {
                Vec::new()
            };
            let runs: Vec<LotId> = uses
                .iter()
                .filter(|u| u.packs.is_some())
                .map(|u| u.reached.lot)
                .collect();
            sold.extend(buyers(farm, &runs, None));
            sold.sort_by_key(|sale| (sale.when.earliest(), sale.when.latest()));
            Trace {
                question,
                back: None,
                forward: Some(uses),
                buyers: sold,
            }
        }
    }
}

fn sources(farm: &Farm, start: Start) -> Vec<Source> {
    let reached = back(farm, start);
    let parts = reached
        .iter()
        .filter(|r| r.relation == Relation::Part)
        .map(|r| r.lot);
    let balance = balance(farm, start.lot, parts, start.when);
    let tell = |reached: Reached| {
        let is_delivery = matches!(farm.lot(reached.lot).sort, LotSort::Delivery(_));
        if !is_delivery || reached.relation != Relation::Part {
            return Source {
                reached,
                share: None,
                basis: None,
            };
        }
        let share = balance
            .shares
            .as_ref()
            .map(|shares| shares.get(&reached.lot).copied().unwrap_or(0.0));
        let basis = if share.is_some() {
            reached.basis
        } else {
            Basis::Unknown
        };
        Source {
            reached,
            share,
            basis: Some(basis),
        }
    };
    reached.into_iter().map(tell).collect()
}

fn uses(farm: &Farm, start: Start) -> Vec<Use> {
    let packs = |lot: LotId| {
        farm.lot(lot)
            .shelf
            .as_ref()
            .map(|shelf| (shelf.made(), shelf.sold()))
    };
    forward(farm, start)
        .into_iter()
        .map(|reached| Use {
            reached,
            packs: packs(reached.lot),
        })
        .collect()
}
