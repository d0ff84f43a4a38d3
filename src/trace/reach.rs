//! Reach: every lot with a way to or from another, how it is reached, and between which moments.
//!
//! Each flow is tested against the next one by their own moments, so a way exists only if every step of it
//! could have come in order. Moments that overlap count as in order.

use crate::farm::{Basis, Class, Farm, Flow, FlowId, LotId, Moment, Serial};

/// How a lot is reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Relation {
    /// By bulk and whole flows only: it is in it.
    Part,
    /// By live and whole flows only: these are the animals, or their stock.
    Live,
    /// By any other way: a film on worms, a bag's inside.
    Carried,
}

impl Relation {
    /// Returns the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Live => "live",
            Self::Carried => "carried",
        }
    }
}

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
    let whole = Manner {
        bits: PART | LIVE,
        weak: Basis::Weighed,
    };
    for lot in lots {
        search.reach(*lot, whole, i64::MAX);
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

/// What a way so far can still be: bit 1 part, bit 0 live; and how weak its amounts are.
#[derive(Clone, Copy, PartialEq)]
struct Manner {
    bits: u8,
    weak: Basis,
}

/// Four kinds of way times three grades of amounts.
const MANNERS: usize = 12;
const PART: u8 = 2;
const LIVE: u8 = 1;

impl Manner {
    fn index(self) -> usize {
        usize::from(self.bits) * 3 + self.weak as usize
    }

    /// Goes one flow further.
    fn along(self, flow: &Flow) -> Self {
        let keeps = match flow.class {
            Class::Bulk => PART,
            Class::Live => LIVE,
            Class::Whole => PART | LIVE,
            Class::Touch => 0,
        };
        let bits = self.bits & keeps;
        // Amounts matter for shares, and only what is part has a share.
        let weak = if bits & PART == 0 {
            Basis::Weighed
        } else {
            self.weak.max(flow.much.basis())
        };
        Self { bits, weak }
    }

    /// Tells whether reaching by this manner tells everything that reaching by the other would.
    fn covers(self, other: Self) -> bool {
        self.bits & other.bits == other.bits && (other.bits & PART == 0 || self.weak >= other.weak)
    }
}

/// A manner by its index, the inverse of `Manner::index`.
const ALL_MANNERS: [Manner; MANNERS] = {
    let grades = [Basis::Weighed, Basis::Guess, Basis::Unknown];
    let mut all = [Manner {
        bits: 0,
        weak: Basis::Weighed,
    }; MANNERS];
    let mut i = 0;
    while i < MANNERS {
        all[i] = Manner {
            bits: (i / 3) as u8,
            weak: grades[i % 3],
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
        let whole = Manner {
            bits: PART | LIVE,
            weak: Basis::Weighed,
        };
        self.reach(start.lot, whole, limit);
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
                    .filter(|m| m.bits & PART != 0)
                    .map(|m| m.weak)
                    .max();
                let relation = match part {
                    Some(_) => Relation::Part,
                    None if met.clone().any(|m| m.bits & LIVE != 0) => Relation::Live,
                    None => Relation::Carried,
                };
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
