//! Reach: every lot with a way to or from another, how it is reached, and between which moments.
//!
//! Each flow is tested against the next one by their own moments, so a way exists only if every step of it
//! could have come in order. Moments that overlap count as in order.

use super::channels::{Channels, Step, Towards, minutes};
use super::manner::{ALL_MANNERS, COVERED_BY, MANNERS, Manner};
use crate::farm::{Basis, Farm, FlowId, LotId, Moment, Relation, Serial};

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
    Channels::back(farm).trace(farm, start)
}

/// Returns everything that a lot could have reached, the lot itself left out.
pub fn forward(farm: &Farm, start: Start) -> Vec<Reached> {
    Channels::forward(farm).trace(farm, start)
}

/// Returns everything that any of these lots could have reached; one of them only where another reaches it.
pub fn forward_of_all(farm: &Farm, lots: &[LotId]) -> Vec<Reached> {
    let channels = Channels::forward(farm);
    let mut search = Search::new(farm, &channels);
    for lot in lots {
        let place = search.visit(*lot);
        search.reach(place, Manner::BEGUN, i32::MAX);
    }
    search.follow_all();
    search.gather(None)
}

/// How far one lot has been looked into.
struct Visit {
    lot: LotId,
    /// The manners in which it has been reached, as bits.
    met: u16,
    /// For each manner, the limit in time to which the lot has been reached.
    limits: [i32; MANNERS],
    /// For each manner, how many of the flows on have been followed.
    followed: [u32; MANNERS],
    span: Option<Span>,
}

/// The earliest and latest flow by which a lot was reached; a day without a time spans all its minutes.
struct Span {
    first: ((i32, i32), FlowId),
    last: ((i32, i32), FlowId),
}

impl Span {
    /// Begins with a flow, by the first and the last minute at which it may have been.
    fn of(minutes: (i32, i32), flow: FlowId) -> Self {
        let (first, last) = ((minutes, flow), (minutes, flow));
        Self { first, last }
    }

    fn widen(&mut self, minutes: (i32, i32), flow: FlowId) {
        let begin = |(earliest, latest): (i32, i32)| (earliest, -latest);
        let end = |(earliest, latest): (i32, i32)| (latest, -earliest);
        if begin(minutes) < begin(self.first.0) {
            self.first = (minutes, flow);
        }
        if end(minutes) > end(self.last.0) {
            self.last = (minutes, flow);
        }
    }
}

impl Visit {
    /// Tells whether the lot has been reached to a limit in a manner that tells as much.
    fn knows(&self, manner: Manner, limit: i32) -> bool {
        let mut covering = self.met & COVERED_BY[manner.index()];
        while covering != 0 {
            if self.limits[covering.trailing_zeros() as usize] >= limit {
                return true;
            }
            covering &= covering - 1;
        }
        false
    }
}

/// A search along channels.
pub(super) struct Search<'a> {
    farm: &'a Farm,
    channels: &'a Channels,
    /// For each lot, the place of its visit behind the first; 0 where it has not been reached.
    places: Vec<u32>,
    visits: Vec<Visit>,
    waiting: Vec<(usize, usize)>,
    /// The one pack that it is about, where it starts from a run and goes forward.
    pack: Option<Serial>,
}

impl<'a> Search<'a> {
    pub fn new(farm: &'a Farm, channels: &'a Channels) -> Self {
        Self {
            farm,
            channels,
            places: vec![0; farm.lot_count()],
            visits: Vec::new(),
            waiting: Vec::new(),
            pack: None,
        }
    }

    pub fn run(mut self, start: Start) -> Vec<Reached> {
        let towards = self.channels.towards;
        let limit = match (start.when, towards) {
            (None, _) => i32::MAX,
            (Some(when), Towards::Sources) => minutes(when.latest()),
            (Some(when), Towards::Uses) => -minutes(when.earliest()),
        };
        self.pack = start.serial.filter(|_| towards == Towards::Uses);
        let place = self.visit(start.lot);
        self.reach(place, Manner::BEGUN, limit);
        self.follow_all();
        self.gather(Some(start.lot))
    }

    /// Returns the place of a lot's visit.
    fn visit(&mut self, lot: LotId) -> usize {
        let place = self.places[lot.index()] as usize;
        if place > 0 {
            return place - 1;
        }
        self.visits.push(Visit {
            lot,
            met: 0,
            limits: [i32::MIN; MANNERS],
            followed: [0; MANNERS],
            span: None,
        });
        let count = u32::try_from(self.visits.len()).expect("lots are numbered in 32 bits");
        self.places[lot.index()] = count;
        self.visits.len() - 1
    }

    /// Notes that a lot is reached to a limit, unless that is known already.
    fn reach(&mut self, place: usize, manner: Manner, limit: i32) {
        let visit = &mut self.visits[place];
        if !visit.knows(manner, limit) {
            let manner = manner.index();
            visit.limits[manner] = limit;
            visit.met |= 1 << manner;
            self.waiting.push((place, manner));
        }
    }

    fn follow_all(&mut self) {
        while let Some((place, manner)) = self.waiting.pop() {
            self.follow(place, manner);
        }
    }

    /// Follows every flow that counts by now and did not before.
    fn follow(&mut self, place: usize, manner: usize) {
        let (channels, towards) = (self.channels, self.channels.towards);
        let steps = channels.steps(self.farm, self.visits[place].lot);
        loop {
            let visit = &mut self.visits[place];
            let next = steps.get(visit.followed[manner] as usize);
            let Some(step) = next.filter(|step| step.counts <= visit.limits[manner]) else {
                return;
            };
            visit.followed[manner] += 1;
            if place == 0 && !self.is_of_pack(step) {
                continue;
            }
            let on = self.visit(step.on);
            let manner = ALL_MANNERS[manner].along(step.class, step.basis);
            self.reach(on, manner, step.reaches);
            let (minutes, flow) = (step.minutes(towards), step.flow);
            let span = &mut self.visits[on].span;
            span.get_or_insert_with(|| Span::of(minutes, flow))
                .widen(minutes, flow);
        }
    }

    /// Tells whether a flow from where the search starts may have the pack in it that it is about.
    fn is_of_pack(&self, step: &Step) -> bool {
        let packs = || self.farm.flow(step.flow).packs;
        self.pack
            .is_none_or(|serial| packs().is_none_or(|range| range.holds(serial)))
    }

    fn gather(&self, start: Option<LotId>) -> Vec<Reached> {
        let visits = self.visits.iter();
        let mut reached: Vec<Reached> = visits
            .filter(|visit| Some(visit.lot) != start)
            .filter_map(|visit| {
                let span = visit.span.as_ref()?;
                let met = (0..MANNERS)
                    .filter(|i| visit.met & (1 << i) != 0)
                    .map(|i| ALL_MANNERS[i]);
                let part = met
                    .clone()
                    .filter(|m| m.ways.is_part())
                    .map(|m| m.weak)
                    .max();
                Some(Reached {
                    lot: visit.lot,
                    relation: met.map(|m| m.ways.relation()).min()?,
                    basis: part.unwrap_or(Basis::Weighed),
                    first: self.farm.flow(span.first.1).when,
                    last: self.farm.flow(span.last.1).when,
                })
            })
            .collect();
        reached.sort_by_cached_key(|r| {
            let when = self.farm.lot(r.lot).when;
            (when.earliest(), when.latest(), r.lot)
        });
        reached
    }
}
