//! Reach: every lot with a way to or from another, how it is reached, and between which moments.
//!
//! Each flow is tested against the next one by their own moments, so a way exists only if every step of it
//! could have come in order. Moments that overlap count as in order.

use crate::farm::{Basis, Farm, Flow, FlowId, LotId, Moment, Relation, Serial, Ways};

/// A lot that was reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reached {
    /// The lot.
    pub lot: LotId,
    /// How it is reached, by its nearest way.
    pub relation: Relation,
    /// The weakest amount on any way by which it is part.
    pub basis: Basis,
    /// The earliest counted flow: out of the lot when looking back, into it when looking forward.
    pub first: Moment,
    /// The latest counted flow.
    pub last: Moment,
}

/// Where a trace starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// The lot.
    pub lot: LotId,
    /// The one pack it is about, where the lot is a run.
    pub serial: Option<Serial>,
    /// The moment it is asked for; all time where there is none.
    pub when: Option<Moment>,
}

/// Returns everything that could have reached a lot, the lot itself left out.
pub fn back(farm: &Farm, start: Start) -> Vec<Reached> {
    Search::new(farm, Towards::Sources).run(start)
}

/// Returns everything that a lot could have reached, the lot itself left out.
pub fn forward(farm: &Farm, start: Start) -> Vec<Reached> {
    Search::new(farm, Towards::Uses).run(start)
}

/// Returns everything that any of these lots could have reached; one of them only where another reaches it.
pub fn forward_of_all(farm: &Farm, lots: &[LotId]) -> Vec<Reached> {
    let mut search = Search::new(farm, Towards::Uses);
    for lot in lots {
        search.reach(*lot, Manner::BEGUN, i64::MAX);
    }
    while let Some((lot, manner)) = search.waiting.pop() {
        search.follow(lot, manner);
    }
    search.gather(None)
}

#[derive(Clone, Copy, PartialEq)]
enum Towards {
    Sources,
    Uses,
}

/// What a way so far can still be, and how weak its amounts are.
#[derive(Clone, Copy, PartialEq)]
struct Manner {
    ways: Ways,
    weak: Basis,
}

/// Three grades of amounts.
const GRADES: [Basis; 3] = [Basis::Weighed, Basis::Guess, Basis::Unknown];
/// Kinds of way times grades of amounts.
const MANNERS: usize = Ways::COUNT * GRADES.len();

impl Manner {
    /// A way that begins.
    const BEGUN: Self = Self {
        ways: Ways::BEGUN,
        weak: Basis::Weighed,
    };

    fn index(self) -> usize {
        self.ways.index() * GRADES.len() + self.weak as usize
    }

    /// Goes one flow further.
    fn along(self, flow: &Flow) -> Self {
        let ways = self.ways.along(flow.class);
        // Amounts matter for shares, and only what is part has a share.
        let weak = if ways.is_part() {
            self.weak.max(flow.much.basis())
        } else {
            Basis::Weighed
        };
        Self { ways, weak }
    }

    /// Tells whether reaching by this manner tells everything that reaching by the other would.
    fn covers(self, other: Self) -> bool {
        self.ways.allows(other.ways) && (!other.ways.is_part() || self.weak >= other.weak)
    }
}

/// A manner by its index, the inverse of `Manner::index`.
const ALL_MANNERS: [Manner; MANNERS] = {
    let mut all = [Manner::BEGUN; MANNERS];
    let mut i = 0;
    while i < MANNERS {
        all[i] = Manner {
            ways: Ways::at(i / GRADES.len()),
            weak: GRADES[i % GRADES.len()],
        };
        i += 1;
    }
    all
};

/// How far one lot has been looked into.
struct Visit {
    /// For each manner, the limit in time to which the lot has been reached.
    limits: [i64; MANNERS],
    /// For each manner, how many of `flows` have been followed.
    followed: [u32; MANNERS],
    /// The flows on from here, in the order of the time that lets them count.
    flows: Vec<FlowId>,
    /// The earliest and latest flow by which the lot was reached; a day without a time spans all its minutes.
    span: Option<(Moment, Moment)>,
}

struct Search<'a> {
    farm: &'a Farm,
    towards: Towards,
    visits: Vec<Option<Box<Visit>>>,
    waiting: Vec<(LotId, usize)>,
}

impl<'a> Search<'a> {
    fn new(farm: &'a Farm, towards: Towards) -> Self {
        let visits = std::iter::repeat_with(|| None)
            .take(farm.lot_count())
            .collect();
        Self {
            farm,
            towards,
            visits,
            waiting: Vec::new(),
        }
    }

    fn run(mut self, start: Start) -> Vec<Reached> {
        let limit = match (start.when, self.towards) {
            (None, _) => i64::MAX,
            (Some(when), Towards::Sources) => when.latest(),
            (Some(when), Towards::Uses) => -when.earliest(),
        };
        self.reach(start.lot, Manner::BEGUN, limit);
        if let (Some(serial), Towards::Uses) = (start.serial, self.towards) {
            let farm = self.farm;
            let visit = self.visits[start.lot.index()]
                .as_mut()
                .expect("the start was just reached");
            visit
                .flows
                .retain(|id| farm.flow(*id).packs.is_none_or(|range| range.holds(serial)));
        }
        while let Some((lot, manner)) = self.waiting.pop() {
            self.follow(lot, manner);
        }
        self.gather(Some(start.lot))
    }

    /// Returns when a flow counts, and to what limit it then reaches; later limits count more, in both directions.
    fn times(&self, flow: &Flow) -> (i64, i64) {
        match self.towards {
            Towards::Sources => (flow.when.earliest(), flow.when.latest()),
            Towards::Uses => (-flow.when.latest(), -flow.when.earliest()),
        }
    }

    /// Notes that a lot is reached to a limit, unless that is known already.
    fn reach(&mut self, lot: LotId, manner: Manner, limit: i64) {
        if self.visits[lot.index()].is_none() {
            let flows = self.flows_on(lot);
            let visit = Visit {
                limits: [i64::MIN; MANNERS],
                followed: [0; MANNERS],
                flows,
                span: None,
            };
            self.visits[lot.index()] = Some(Box::new(visit));
        }
        let visit = self.visits[lot.index()]
            .as_mut()
            .expect("it was just put there");
        let known = |i: &usize| visit.limits[*i] >= limit && ALL_MANNERS[*i].covers(manner);
        if (0..MANNERS).any(|i| known(&i)) {
            return;
        }
        visit.limits[manner.index()] = limit;
        self.waiting.push((lot, manner.index()));
    }

    fn flows_on(&self, lot: LotId) -> Vec<FlowId> {
        let lot = self.farm.lot(lot);
        let mut flows: Vec<FlowId> = match self.towards {
            Towards::Sources => lot.inflows.clone(),
            Towards::Uses => lot
                .outflows
                .iter()
                .copied()
                .filter(|id| self.farm.flow(*id).to.is_some())
                .collect(),
        };
        flows.sort_by_key(|id| self.times(self.farm.flow(*id)).0);
        flows
    }

    /// Follows every flow that counts by now and did not before.
    fn follow(&mut self, lot: LotId, manner: usize) {
        loop {
            let farm = self.farm;
            let visit = self.visits[lot.index()]
                .as_mut()
                .expect("what waits has been reached");
            let next = visit.followed[manner] as usize;
            let Some(flow) = visit.flows.get(next).map(|id| farm.flow(*id)) else {
                return;
            };
            let limit = visit.limits[manner];
            let (counts, reaches) = self.times(flow);
            if counts > limit {
                return;
            }
            if let Some(visit) = self.visits[lot.index()].as_mut() {
                visit.followed[manner] += 1;
            }
            let on = match self.towards {
                Towards::Sources => flow.from,
                Towards::Uses => flow.to.expect("flows out of the farm are not followed"),
            };
            self.reach(on, ALL_MANNERS[manner].along(flow), reaches);
            self.widen(on, flow.when);
        }
    }

    fn widen(&mut self, lot: LotId, when: Moment) {
        let Some(visit) = self.visits[lot.index()].as_mut() else {
            return;
        };
        visit.span = Some(match visit.span {
            None => (when, when),
            Some((first, last)) => (
                std::cmp::min_by_key(first, when, |m| (m.earliest(), -m.latest())),
                std::cmp::max_by_key(last, when, |m| (m.latest(), -m.earliest())),
            ),
        });
    }

    fn gather(&self, start: Option<LotId>) -> Vec<Reached> {
        let mut reached: Vec<Reached> = self
            .farm
            .lots()
            .filter(|(id, _)| Some(*id) != start)
            .filter_map(|(id, _)| {
                let visit = self.visits[id.index()].as_ref()?;
                let (first, last) = visit.span?;
                let met = (0..MANNERS)
                    .filter(|i| visit.limits[*i] > i64::MIN)
                    .map(|i| ALL_MANNERS[i]);
                let part = met
                    .clone()
                    .filter(|m| m.ways.is_part())
                    .map(|m| m.weak)
                    .max();
                let relation = met.map(|m| m.ways.relation()).min()?;
                Some(Reached {
                    lot: id,
                    relation,
                    basis: part.unwrap_or(Basis::Weighed),
                    first,
                    last,
                })
            })
            .collect();
        reached.sort_by_key(|r| {
            let when = self.farm.lot(r.lot).when;
            (when.earliest(), when.latest(), r.lot)
        });
        reached
    }
}
