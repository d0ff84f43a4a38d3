//! A proof while it is being made: looks at each label and each run, and gathers what it finds.

use std::collections::HashMap;

use crate::farm::{Farm, LotId, PackKind, Printer, Product, Settings};
use crate::trade::{ClaimFound, Claims};

use super::desk::Desk;
use super::finding::{Finding, Outdoors, Refused, Warned};
use super::item::Layout;
use super::length::Length;
use super::order::Subject;
use super::problem::Problem;
use super::problems::Problems;
use super::proof::{Conditions, Proof};
use super::proof_claims::Upstream;
use super::proof_layout::{self, Surface};
use super::proof_run::{self, OnPack, RunFacts};
use super::proof_said::text_of;
use super::span::Names;
use super::standing::Sale;
use super::usual::is_lid;

/// A proof that is being made.
pub struct Proofing<'a> {
    desk: &'a Desk<'a>,
    conditions: &'a Conditions<'a>,
    /// How many labels were looked at, and how many there are.
    looked_at: (usize, usize),
    claims: Claims,
    /// What was found in a text of a run's labels, its digits left aside: packs differ in no more than these.
    read: HashMap<(LotId, String), Vec<ClaimFound>>,
    upstream: HashMap<LotId, Upstream<'a>>,
    problems: Problems,
    refused: Gathered<Refused>,
    warned: Gathered<Warned>,
}

impl<'a> Proofing<'a> {
    /// Begins a proof of so many labels.
    pub fn new(desk: &'a Desk<'a>, conditions: &'a Conditions<'a>, labels: usize) -> Self {
        let own = desk.settings.claims.iter();
        Self {
            desk,
            conditions,
            looked_at: (0, labels),
            claims: Claims::with(own.map(|(name, claim)| (name.as_str(), &*claim.words))),
            read: HashMap::new(),
            upstream: HashMap::new(),
            problems: Problems::default(),
            refused: Gathered::default(),
            warned: Gathered::default(),
        }
    }

    /// Returns the farm.
    pub fn farm(&self) -> &'a Farm {
        self.desk.farm
    }

    /// Returns what the proof was told.
    pub fn conditions(&self) -> &'a Conditions<'a> {
        self.conditions
    }

    /// Tells what a template's labels of a subject are printed on, and where they live.
    pub fn surface<'p>(
        &self,
        subject: &Subject,
        template: &str,
        printer: Option<&'p Printer>,
    ) -> Surface<'p> {
        let product = self.product(subject);
        // A lid is flat; so is the side of a bag.
        let is_lid = is_lid(template);
        let across = product
            .and_then(|product| self.desk.settings.products.get(&*product.key))
            .and_then(|setting| setting.across_um)
            .filter(|_| !is_lid);
        let outdoors = match subject {
            Subject::Bin(_) => Some(Outdoors::Bin),
            Subject::Rack(_) => Some(Outdoors::Rack),
            Subject::Packs(..) => match product.map(|product| product.kind) {
                Some(PackKind::Bag) => Some(Outdoors::Bag),
                Some(PackKind::Tub | PackKind::Bottle) | None => None,
            },
            Subject::Lot(_) | Subject::Hold(_) => None,
        };
        Surface {
            printer,
            across: across.map(|um| Length::of_micrometres(i64::from(um))),
            outdoors,
        }
    }

    fn product(&self, subject: &Subject) -> Option<&'a Product> {
        match subject {
            Subject::Packs(run, _) => self.desk.farm.product(*run),
            Subject::Lot(_) | Subject::Hold(_) | Subject::Bin(_) | Subject::Rack(_) => None,
        }
    }

    /// Takes in why labels cannot be laid out.
    pub fn problems(&mut self, problems: Vec<Problem>) {
        for problem in problems {
            self.problems.add(problem);
        }
    }

    /// Looks at a label.
    pub fn label(&mut self, subject: &Subject, label: &Layout, surface: &Surface) {
        let (looked_at, all) = self.looked_at;
        self.conditions.watch.tell(looked_at, all);
        self.looked_at = (looked_at + 1, all);
        let net = self.product(subject).map(|product| product.net);
        let (refused, warned) = proof_layout::look(label, surface, net);
        for what in refused {
            self.refused.add(&label.name, what);
        }
        for what in warned {
            self.warned.add(&label.name, what);
        }
        if let Subject::Packs(run, _) = subject {
            self.claims(*run, label);
        }
    }

    fn claims(&mut self, run: LotId, label: &Layout) {
        let text = text_of(label);
        let shape = text.replace(|c: char| c.is_ascii_digit(), "0");
        let claims = &self.claims;
        let found = self
            .read
            .entry((run, shape))
            .or_insert_with(|| claims.found(&text));
        if found.is_empty() {
            return;
        }
        let desk = self.desk;
        let upstream = self
            .upstream
            .entry(run)
            .or_insert_with(|| Upstream::of(desk.farm, run));
        let settings: &Settings = desk.settings;
        for claim in found.iter() {
            for what in upstream.judge(claim, settings, self.conditions.today) {
                self.refused.add(&label.name, what);
            }
        }
    }

    /// Looks at a run, and at one pack's labels taken together.
    pub fn run(&mut self, subject: &Subject, set: Option<&[OnPack]>) {
        let (Subject::Packs(run, _), Some(product)) = (subject, self.product(subject)) else {
            return;
        };
        let code = self.desk.farm.lot(*run).code.to_string();
        match (self.desk.standing.for_sale(*run), self.conditions.despite) {
            (Sale::Free, _) => {}
            (Sale::Stopped(stop), None) => self.refused.add(&code, Refused::Stopped { stop }),
            (Sale::Stopped(stop), Some(why)) => {
                let why = why.to_owned();
                self.warned.add(&code, Warned::Despite { stop, why });
            }
            (Sale::Despite(stop, why), _) => {
                let why = why.into_string();
                self.warned.add(&code, Warned::Despite { stop, why });
            }
        }
        for (origin, since) in self.desk.standing.flags(*run) {
            let since = since.day();
            self.warned.add(&code, Warned::Flagged { origin, since });
        }
        let facts = RunFacts {
            farm: self.desk.farm,
            settings: self.desk.settings,
            run: *run,
            product,
        };
        let (refused, warned) = proof_run::look(&facts, set);
        for what in refused {
            self.refused.add(&code, what);
        }
        for what in warned {
            self.warned.add(&code, what);
        }
    }

    /// Ends the proof.
    pub fn finish(self) -> Proof {
        let problems = self.problems.found();
        Proof {
            refused: problems.chain(self.refused.told()).collect(),
            warned: self.warned.told().collect(),
        }
    }
}

/// Findings, each once, with the names of all that it is about.
struct Gathered<W>(Vec<(W, Names)>);

impl<W> Default for Gathered<W> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

/// Findings that may be one.
trait Alike: PartialEq {
    /// Takes another in, where the two are the same for a person who reads them.
    fn takes_in(&mut self, other: &Self) -> bool {
        self == other
    }
}

impl Alike for Warned {}

impl Alike for Refused {
    /// The letters of a serial are of different widths, so that some stand nearer to the edge than others: the nearest
    /// is told.
    fn takes_in(&mut self, other: &Self) -> bool {
        if let (
            Self::NearCut {
                field,
                text,
                near,
                least: _,
            },
            Self::NearCut {
                field: other_field,
                text: other_text,
                near: other_near,
                least: _,
            },
        ) = (&mut *self, other)
            && field == other_field
            && text == other_text
        {
            *near = (*near).min(*other_near);
            return true;
        }
        self == other
    }
}

impl<W: Alike> Gathered<W> {
    fn add(&mut self, on: &str, what: W) {
        let known = self
            .0
            .iter_mut()
            .find_map(|(known, names)| known.takes_in(&what).then_some(names));
        match known {
            Some(names) => names.add(on),
            None => {
                let mut names = Names::default();
                names.add(on);
                self.0.push((what, names));
            }
        }
    }

    fn told(self) -> impl Iterator<Item = Finding<W>> {
        self.0.into_iter().map(|(what, names)| Finding {
            on: names.said(),
            what,
        })
    }
}

#[cfg(test)]
#[path = "proofing_test.rs"]
mod tests;
