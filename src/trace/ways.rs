//! The ways of a trace: each flow by which one lot of it leads to the next, and how it counts.
//!
//! `reach` says which lots; this says by which flows, so that a drawing has its lines and a paper its entries.

use crate::farm::{Class, Farm, Flow, FlowId, LotId, Relation};

use super::answer::Side;
use super::channels::{Channels, Towards};
use super::reach::Reached;

/// One flow of a trace.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// The flow.
    pub flow: FlowId,
    /// Where from.
    pub from: LotId,
    /// Where to.
    pub to: LotId,
    /// How it counts on the way: as stuff that is in it, as its animals, or as a film.
    pub relation: Relation,
}

/// A lot of a trace that leads to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Link {
    /// Where from.
    pub from: LotId,
    /// Where to.
    pub to: LotId,
    /// How it counts on the way.
    pub relation: Relation,
}

/// Returns what `ways` does of a trace along channels, without the flows: for whoever draws many.
pub fn links(farm: &Farm, channels: &Channels, subject: LotId, reached: &[Reached]) -> Vec<Link> {
    let mut found: Vec<Option<Relation>> = vec![None; farm.lot_count()];
    for r in reached.iter().filter(|r| r.lot != subject) {
        found[r.lot.index()] = Some(r.relation);
    }
    let nears = reached
        .iter()
        .filter(|r| r.lot != subject)
        .map(|r| (r.lot, Some(r)));
    let mut links = Vec::new();
    for (near, at) in nears.chain([(subject, None)]) {
        let limit = at.map_or(i32::MAX, |at| channels.limit(at));
        let steps = channels.steps(farm, near).iter();
        for step in steps.take_while(|step| step.counts <= limit) {
            let far = step.on;
            if let Some(beyond) = found[far.index()].filter(|_| far != near) {
                let (from, to) = match channels.towards {
                    Towards::Sources => (far, near),
                    Towards::Uses => (near, far),
                };
                let relation = relation(step.class, beyond, at.map(|r| r.relation));
                links.push(Link { from, to, relation });
            }
        }
    }
    links
}

/// Returns the flows between a lot and what a trace of it reached, lot by lot. What left the lot and came back to
/// it is left out.
pub fn ways(farm: &Farm, subject: LotId, reached: &[Reached], side: Side) -> Vec<Way> {
    let mut found: Vec<Option<&Reached>> = vec![None; farm.lot_count()];
    for r in reached {
        found[r.lot.index()] = Some(r);
    }
    let mut ways = Vec::new();
    for near in reached.iter().map(|r| r.lot).chain([subject]) {
        let at = found[near.index()].filter(|_| near != subject);
        let flows = match side {
            Side::Back => &farm.lot(near).inflows,
            Side::Forward => &farm.lot(near).outflows,
        };
        for id in flows {
            let flow = farm.flow(*id);
            let Some(to) = flow.to else {
                continue;
            };
            let far = match side {
                Side::Back => flow.from,
                Side::Forward => to,
            };
            let beyond = found[far.index()].filter(|_| far != subject && far != near);
            if let Some(beyond) = beyond.filter(|_| counts(flow, at, side)) {
                ways.push(Way {
                    flow: *id,
                    from: flow.from,
                    to,
                    relation: relation(flow.class, beyond.relation, at.map(|r| r.relation)),
                });
            }
        }
    }
    ways
}

/// Tells whether a flow could have come in time: before the last one out that counted, or after the first one in.
fn counts(flow: &Flow, near: Option<&Reached>, side: Side) -> bool {
    near.is_none_or(|near| match side {
        Side::Back => flow.when.earliest() <= near.last.latest(),
        Side::Forward => flow.when.latest() >= near.first.earliest(),
    })
}

/// Returns how a flow counts between a lot that is farther from the subject and one nearer to it, `None` for the
/// subject itself.
fn relation(class: Class, far: Relation, near: Option<Relation>) -> Relation {
    match (class, near) {
        (Class::Touch, _) | (_, Some(Relation::Carried)) => Relation::Carried,
        (Class::Whole, near) => near.unwrap_or(far),
        (Class::Bulk, None | Some(Relation::Part)) => Relation::Part,
        (Class::Bulk, Some(Relation::Live)) => Relation::Carried,
        (Class::Live, None | Some(Relation::Live)) => Relation::Live,
        (Class::Live, Some(Relation::Part)) => match far {
            Relation::Live => Relation::Live,
            Relation::Part | Relation::Carried => Relation::Carried,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::scenario::Scenario;
    use crate::trace::{Start, back, forward};

    fn farm() -> Scenario {
        Scenario::of(&[
            "2026-03-01 delivery dung manure 50kg",
            "2026-03-01 delivery late manure 50kg",
            "2026-03-02 bed b1 A01 dung=4kg",
            "2026-03-20 sieve c1 castings 2kg - A01",
            "2026-03-25 feed A01 late=1kg",
            "2026-03-28 pack p1 1 c1=1kg",
        ])
    }

    fn told(scenario: &Scenario, lot: &str, side: Side) -> Vec<(LotId, LotId)> {
        let start = Start {
            lot: scenario.id(lot),
            serial: None,
            when: None,
        };
        let reached = match side {
            Side::Back => back(&scenario.farm, start),
            Side::Forward => forward(&scenario.farm, start),
        };
        same_links(&scenario.farm, start.lot, &reached, side);
        let mut ways: Vec<_> = ways(&scenario.farm, start.lot, &reached, side)
            .into_iter()
            .map(|way| (way.from, way.to))
            .collect();
        ways.sort_unstable();
        ways
    }

    #[test]
    fn each_flow_on_the_way_is_named_and_a_feed_after_the_sieving_is_not() {
        let scenario = farm();
        let [dung, bed, castings, run] = ["dung", "b1", "c1", "p1"].map(|mark| scenario.id(mark));
        let chain = [(dung, bed), (bed, castings), (castings, run)];
        assert_eq!(told(&scenario, "p1", Side::Back), chain);
        assert_eq!(told(&scenario, "dung", Side::Forward), chain);
        assert_eq!(
            told(&scenario, "late", Side::Forward),
            [(scenario.id("late"), bed)]
        );
    }

    fn same_links(farm: &Farm, subject: LotId, reached: &[Reached], side: Side) {
        let channels = match side {
            Side::Back => Channels::back(farm),
            Side::Forward => Channels::forward(farm),
        };
        let short = |from: LotId, to: LotId, relation: Relation| (from, to, relation);
        let links = links(farm, &channels, subject, reached);
        let mut links: Vec<_> = links
            .iter()
            .map(|link| short(link.from, link.to, link.relation))
            .collect();
        let ways = ways(farm, subject, reached, side);
        let mut ways: Vec<_> = ways
            .iter()
            .map(|way| short(way.from, way.to, way.relation))
            .collect();
        links.sort_unstable();
        ways.sort_unstable();
        assert_eq!(links, ways);
    }
}
