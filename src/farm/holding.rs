//! What each standing hold reaches, kept while the farm is folded, so that a use is judged at its own moment.
//!
//! A hold is followed from the moment it stands: first along the flows that came before it, then along each new one.
//! Flows are tested by their own moments, as in a trace, and the same lots are reached. Nothing is done while no
//! hold stands.

use std::collections::{BTreeMap, BTreeSet};

use super::code::LotCode;
use super::farm::Farm;
use super::flow::Flow;
use super::kinds::Reach;
use super::lot::{Hold, LotId};
use super::moment::Moment;
use super::refusal::Refusal;
use super::relation::{Relation, Ways};

/// A standing hold and what it reaches.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// The lot that is held itself.
    pub origin: LotId,
    /// The hold on it.
    pub hold: Hold,
    /// For each lot that is reached and each kind of way, the earliest moment by which it could have been.
    since: BTreeMap<LotId, [i64; Ways::COUNT]>,
    /// Lots that were released by themselves.
    freed: BTreeSet<LotId>,
}

const NEVER: i64 = i64::MAX;

impl Holding {
    fn new(origin: LotId, hold: Hold) -> Self {
        Self {
            origin,
            hold,
            since: BTreeMap::from([(origin, begun())]),
            freed: BTreeSet::new(),
        }
    }

    /// Returns every lot that it reaches and how; `None` for the lot that is held itself.
    ///
    /// Lots that were released by themselves are left out.
    pub fn reached(&self) -> impl Iterator<Item = (LotId, Option<Relation>)> {
        let lots = self.since.keys().copied();
        lots.filter(|lot| !self.freed.contains(lot))
            .map(|lot| (lot, self.relation(lot)))
    }

    /// Returns the lots that were released by themselves.
    pub fn freed(&self) -> &BTreeSet<LotId> {
        &self.freed
    }

    /// Tells whether what is reached in that way is stopped, or only flagged.
    pub fn stops(&self, relation: Option<Relation>) -> bool {
        match (relation, self.hold.reach) {
            (Some(Relation::Carried), Reach::Parts) => false,
            (Some(Relation::Carried), Reach::All) => true,
            (None | Some(Relation::Part | Relation::Live), _) => true,
        }
    }

    fn relation(&self, lot: LotId) -> Option<Relation> {
        if lot == self.origin {
            return None;
        }
        let since = self.since.get(&lot)?;
        let met = (0..Ways::COUNT).filter(|way| since[*way] != NEVER);
        met.map(|way| Ways::at(way).relation()).min()
    }

    /// Returns why a lot that it stops is not used.
    pub(super) fn refusal(&self, farm: &Farm, code: LotCode, may_despite: bool) -> Refusal {
        let (origin, since) = (farm.lot(self.origin).code, self.hold.since);
        if origin == code {
            return Refusal::Held {
                code,
                since,
                may_despite,
            };
        }
        Refusal::HeldFor {
            code,
            origin,
            since,
            may_despite,
        }
    }

    /// Tells whether the use of a lot is stopped.
    pub fn is_stopped(&self, lot: LotId) -> bool {
        self.since.contains_key(&lot)
            && !self.freed.contains(&lot)
            && self.stops(self.relation(lot))
    }

    /// Follows a flow that has just been, and what it now reaches further on.
    fn follow(&mut self, farm: &Farm, flow: &Flow) {
        let mut waiting: Vec<LotId> = self.step(flow).into_iter().collect();
        while let Some(lot) = waiting.pop() {
            for id in &farm.lot(lot).outflows {
                waiting.extend(self.step(farm.flow(*id)));
            }
        }
    }

    /// Goes along one flow; returns the lot at its end, if more is known of that now.
    fn step(&mut self, flow: &Flow) -> Option<LotId> {
        let (from, to) = (*self.since.get(&flow.from)?, flow.to?);
        let mut grown = false;
        for (way, since) in from.iter().enumerate() {
            if *since == NEVER || flow.when.latest() < *since {
                continue;
            }
            let on = Ways::at(way).along(flow.class);
            let reached = self.since.entry(to).or_insert([NEVER; Ways::COUNT]);
            let arrives = flow.when.earliest();
            let known = |at: usize| reached[at] <= arrives && Ways::at(at).allows(on);
            if !(0..Ways::COUNT).any(known) {
                reached[on.index()] = arrives;
                grown = true;
            }
        }
        grown.then_some(to)
    }
}

fn begun() -> [i64; Ways::COUNT] {
    let mut since = [NEVER; Ways::COUNT];
    since[Ways::BEGUN.index()] = i64::MIN;
    since
}

impl Farm {
    /// Returns every standing hold and what it reaches, in the order in which they were put on.
    pub fn holdings(&self) -> &[Holding] {
        &self.holdings
    }

    /// Returns what stops the use of a lot, a hold on the lot itself first.
    pub(super) fn stop(&self, lot: LotId) -> Option<&Holding> {
        let stops = || self.holdings.iter().filter(|held| held.is_stopped(lot));
        let held = stops().find(|held| held.origin == lot);
        held.or_else(|| stops().next())
    }

    /// Puts a hold on a lot and follows it along all that came before.
    pub(super) fn put_on_hold(&mut self, lot: LotId, hold: Hold) {
        self.lots[lot.index()].holds.push(hold);
        let mut holding = Holding::new(lot, hold);
        for id in &self.lot(lot).outflows {
            holding.follow(self, self.flow(*id));
        }
        self.holdings.push(holding);
    }

    /// Lifts the holds on a lot itself, and what they reach with them; holds from elsewhere stand.
    pub(super) fn lift_holds(&mut self, lot: LotId, when: Moment) {
        let holds = self.lots[lot.index()].holds.iter_mut();
        holds
            .filter(|hold| hold.released.is_none())
            .for_each(|hold| hold.released = Some(when));
        self.holdings.retain(|held| held.origin != lot);
    }

    /// Follows standing holds along the flow that came last.
    pub(super) fn follow_holds(&mut self) {
        if self.holdings.is_empty() {
            return;
        }
        let mut holdings = std::mem::take(&mut self.holdings);
        if let Some(flow) = self.flows.last() {
            holdings.iter_mut().for_each(|held| held.follow(self, flow));
        }
        self.holdings = holdings;
    }

    /// Frees a lot, alone, of the holds that reach it from elsewhere; tells whether there was one.
    pub(super) fn free(&mut self, lot: LotId) -> bool {
        let reaching = self.holdings.iter_mut().filter(|held| held.is_stopped(lot));
        let mut freed = false;
        for held in reaching {
            freed |= held.freed.insert(lot);
        }
        freed
    }
}
