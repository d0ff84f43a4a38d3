//! What a line-up of suspects is worth: whether it tells anything apart, and which test would tell most.

use crate::farm::{Event, Farm, LotId, LotSort, Moment, Way};

use super::reach::{Start, back};
use super::suspects::{Lineup, Suspect};
use crate::farm::Relation;

/// A p below this is taken to tell something: the usual one in twenty (Fisher 1925, from memory).
pub const TELLING: f64 = 0.05;
/// A test whose outcome is between one in four and three in four splits well enough. A judgement, no source.
const EVEN: f64 = 0.25;
/// One complaint is told apart from nothing.
const FEWEST_CALLS: u64 = 2;

/// Below this, one p is as good as another, and its inverse can still be added up.
const LEAST_P: f64 = 1e-300;

/// What the line-up says.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// No pack is known that somebody complained of.
    NoPack,
    /// Nothing upstream can have started it.
    NoSuspect,
    /// Too few complaints to tell anything apart.
    TooFew,
    /// The first of them explain the complaints equally well.
    Alike(Vec<LotId>),
    /// The first stands out.
    Leads(LotId),
}

/// What a test of a lot found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tested {
    /// Whether it passed.
    pub passed: bool,
    /// When.
    pub when: Moment,
}

/// A sample that can be tested.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// The lot that it is of.
    pub lot: LotId,
    /// Where it is kept, if the delivery's row says so; else what is left of the lot.
    pub kept: Option<Box<str>>,
    /// The leading suspects that it would find guilty or clear.
    pub covers: Vec<LotId>,
    /// How likely it is that one of these is behind it, among the leading suspects, by the complaints alone.
    pub weight: f64,
}

impl Lineup {
    /// Returns the suspects that the cause can have started with.
    pub fn starters(&self) -> impl Iterator<Item = &Suspect> {
        self.suspects.iter().filter(|suspect| suspect.can_start)
    }

    /// Returns the other suspects of its rank that reached just the same runs.
    pub fn same_as<'a>(&'a self, suspect: &'a Suspect) -> impl Iterator<Item = &'a Suspect> {
        let same = move |other: &&Suspect| {
            other.lot != suspect.lot
                && other.can_start == suspect.can_start
                && other.odds == suspect.odds
                && other.reached == suspect.reached
        };
        self.suspects.iter().filter(same)
    }

    /// Says what the line-up is worth.
    pub fn verdict(&self) -> Verdict {
        if self.complained == 0 {
            return Verdict::NoPack;
        }
        let Some(first) = self.starters().next() else {
            return Verdict::NoSuspect;
        };
        let alike: Vec<LotId> = self
            .starters()
            .take_while(|suspect| suspect.is_like(first))
            .map(|suspect| suspect.lot)
            .collect();
        if self.complained < FEWEST_CALLS || first.p >= TELLING {
            Verdict::TooFew
        } else if alike.len() > 1 {
            Verdict::Alike(alike)
        } else {
            Verdict::Leads(first.lot)
        }
    }

    /// Returns the most that chance alone can do: that the best of so many compared is as good (Bonferroni's bound).
    pub fn chance_of_best(&self) -> Option<f64> {
        let first = self.starters().next()?;
        Some((self.starters().count() as f64 * first.p).min(1.0))
    }

    /// Returns the sample whose test would tell most: that which splits the leading suspects most evenly by how likely
    /// each of them is.
    ///
    /// If one lot is behind all complaints, and any of its packs is as likely as another to be complained of, then the
    /// chance of just these complaints is as 1 to p; so 1/p is how much a suspect that explains them all weighs.
    pub fn most_telling(&self, farm: &Farm, test: &str) -> Option<Sample> {
        let weights = self.weights(farm, test);
        let all: f64 = weights.iter().map(|(_, weight)| weight).sum();
        let samples = self.samples(farm, &weights).into_iter();
        let mut samples: Vec<Sample> = samples
            .map(|sample| Sample {
                weight: sample.weight / all,
                ..sample
            })
            .collect();
        samples.sort_by(|a, b| {
            let uneven = |sample: &Sample| (sample.weight - 0.5).abs();
            // Of samples that split well enough that of a single suspect: a failure names it, and nothing thins it.
            let mixed = |sample: &Sample| sample.covers != [sample.lot] || uneven(sample) > EVEN;
            mixed(a)
                .cmp(&mixed(b))
                .then(uneven(a).total_cmp(&uneven(b)))
                .then(a.covers.len().cmp(&b.covers.len()))
                .then(a.lot.cmp(&b.lot))
        });
        samples.into_iter().next()
    }

    /// Returns the leading suspects and what each weighs; what passed the test is out.
    fn weights(&self, farm: &Farm, test: &str) -> Vec<(LotId, f64)> {
        let passed = |suspect: &&Suspect| {
            tested(farm, suspect.lot, test).is_none_or(|tested| !tested.passed)
        };
        let explains = self.starters().filter(passed);
        let any = self.starters().any(Suspect::explains_all);
        let leading = explains.filter(|suspect| suspect.explains_all() || !any);
        leading
            .map(|suspect| (suspect.lot, 1.0 / suspect.p.max(LEAST_P)))
            .collect()
    }

    /// Returns the samples there are: of deliveries that are kept or not used up, and of batches in store.
    fn samples(&self, farm: &Farm, weights: &[(LotId, f64)]) -> Vec<Sample> {
        let mut samples = Vec::new();
        for suspect in &self.suspects {
            let lot = farm.lot(suspect.lot);
            let kept = farm
                .delivery(suspect.lot)
                .and_then(|facts| facts.kept_sample.clone());
            let is_left = lot.stock.left().is_some_and(|left| left.value() > 0);
            if kept.is_none() && !is_left {
                continue;
            }
            let covers: Vec<LotId> = match lot.sort {
                LotSort::Delivery(_) => vec![suspect.lot],
                LotSort::Batch(_) => upstream(farm, suspect.lot, self.way),
                LotSort::Bed | LotSort::Run(_) => continue,
            };
            let covered = weights.iter().filter(|(lot, _)| covers.contains(lot));
            let weight = covered.clone().map(|(_, weight)| weight).sum();
            let covers: Vec<LotId> = covered.map(|(lot, _)| *lot).collect();
            if !covers.is_empty() {
                samples.push(Sample {
                    lot: suspect.lot,
                    kept,
                    covers,
                    weight,
                });
            }
        }
        samples
    }
}

/// Returns a batch and what is in it by the ways that the cause travels.
fn upstream(farm: &Farm, lot: LotId, way: Way) -> Vec<LotId> {
    let start = Start {
        lot,
        serial: None,
        when: None,
    };
    let is_in = |relation| match way {
        Way::Part => relation == Relation::Part,
        // A delivery of worms is never part of anything by stuff alone.
        Way::Live => relation != Relation::Carried,
        Way::Any => true,
    };
    let reached = back(farm, start).into_iter();
    let reached = reached.filter(|reached| is_in(reached.relation));
    reached.map(|reached| reached.lot).chain([lot]).collect()
}

/// Returns what the last test of that name found about a lot, where it found pass or fail.
pub fn tested(farm: &Farm, lot: LotId, test: &str) -> Option<Tested> {
    let entries = farm.lot(lot).tests.iter().map(|at| &farm.entries()[*at]);
    let found = entries.filter_map(|entry| {
        let Some(Event::Test { facts, .. }) = &entry.event else {
            return None;
        };
        if !facts.test.eq_ignore_ascii_case(test) {
            return None;
        }
        let said = [facts.result.as_deref(), Some(&*facts.value)];
        let passed = said.into_iter().flatten().find_map(|said| {
            let is = |word: &str| said.trim().eq_ignore_ascii_case(word);
            match (is("pass"), is("fail")) {
                (true, _) => Some(true),
                (_, true) => Some(false),
                (false, false) => None,
            }
        })?;
        Some(Tested {
            passed,
            when: entry.when,
        })
    });
    found.max_by_key(|tested| (tested.when.earliest(), tested.when.latest()))
}
