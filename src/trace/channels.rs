//! The flows as a search goes along them, lot by lot and in the order of time: worked out when a search first comes by, and
//! kept for the next one.

use std::sync::OnceLock;

use super::reach::{Reached, Search, Start};
use crate::farm::{Basis, Class, Farm, Flow, FlowId, LotId};

/// The ways that lead back from each lot of a farm, or forward. For whoever traces many lots; always asked of the same farm.
#[derive(Debug)]
pub struct Channels {
    pub(super) towards: Towards,
    lots: Vec<OnceLock<Box<[Step]>>>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Towards {
    Sources,
    Uses,
}

/// One flow to go along.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    /// It counts where the lot is reached to this limit; later limits count more, in both directions.
    pub counts: i32,
    /// To what limit it then reaches.
    pub reaches: i32,
    /// What it leads to.
    pub on: LotId,
    pub flow: FlowId,
    pub class: Class,
    pub basis: Basis,
}

impl Channels {
    /// Makes those that lead back.
    pub fn back(farm: &Farm) -> Self {
        Self::of(farm, Towards::Sources)
    }

    /// Makes those that lead forward.
    pub fn forward(farm: &Farm) -> Self {
        Self::of(farm, Towards::Uses)
    }

    fn of(farm: &Farm, towards: Towards) -> Self {
        let lots = std::iter::repeat_with(OnceLock::new);
        Self {
            towards,
            lots: lots.take(farm.lot_count()).collect(),
        }
    }

    /// Returns everything on a way to or from a lot, the lot itself left out.
    pub fn trace(&self, farm: &Farm, start: Start) -> Vec<Reached> {
        Search::new(farm, self).run(start)
    }

    /// Returns to what limit a lot of a trace was reached.
    pub(super) fn limit(&self, reached: &Reached) -> i32 {
        match self.towards {
            Towards::Sources => minutes(reached.last.latest()),
            Towards::Uses => -minutes(reached.first.earliest()),
        }
    }

    /// Returns the flows on from a lot, in the order of the limit that lets them count.
    pub(super) fn steps(&self, farm: &Farm, lot: LotId) -> &[Step] {
        self.lots[lot.index()].get_or_init(|| {
            let flows = match self.towards {
                Towards::Sources => &farm.lot(lot).inflows,
                Towards::Uses => &farm.lot(lot).outflows,
            };
            let steps = flows.iter().filter_map(|id| {
                let flow = farm.flow(*id);
                // What left the farm reaches nothing.
                let on = match self.towards {
                    Towards::Sources => flow.from,
                    Towards::Uses => flow.to?,
                };
                Some(self.step(*id, flow, on))
            });
            let mut steps: Box<[Step]> = steps.collect();
            steps.sort_by_key(|step| step.counts);
            steps
        })
    }

    fn step(&self, id: FlowId, flow: &Flow, on: LotId) -> Step {
        let (earliest, latest) = (minutes(flow.when.earliest()), minutes(flow.when.latest()));
        let (counts, reaches) = match self.towards {
            Towards::Sources => (earliest, latest),
            Towards::Uses => (-latest, -earliest),
        };
        Step {
            counts,
            reaches,
            on,
            flow: id,
            class: flow.class,
            basis: flow.much.basis(),
        }
    }
}

impl Step {
    /// Returns the first and the last minute at which it may have been.
    pub fn minutes(&self, towards: Towards) -> (i32, i32) {
        match towards {
            Towards::Sources => (self.counts, self.reaches),
            Towards::Uses => (-self.reaches, -self.counts),
        }
    }
}

/// Minutes in half the room.
pub(super) fn minutes(of_moment: i64) -> i32 {
    i32::try_from(of_moment).expect("the minutes of 4,000 years fit")
}
