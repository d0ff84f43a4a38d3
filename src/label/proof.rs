//! A proof of labels: what is wrong with them, before any is printed.
//!
//! It looks at labels as they are laid out, and at what the diary knows of what they are for. It tells everything at
//! once, and says once what is wrong with many packs in the same way.

use std::fmt;

use jiff::civil::Date;

use super::error::LabelError;
use super::finding::{Finding, Refused, Warned};
use super::problem::Problem;
use super::problems::Problems;
use super::sheaf::Sheaf;

/// What a proof is told beside the farm and its labels.
#[derive(Clone, Copy, Debug)]
pub struct Conditions<'a> {
    /// The day of printing, by which the ground of a claim may have lapsed.
    pub today: Date,
    /// The printer that somebody named.
    pub printer: Option<&'a str>,
    /// Why lots that are held or recalled are to be labelled all the same.
    pub despite: Option<&'a str>,
    /// Who is told how far the proof is.
    pub watch: Watch<'a>,
}

/// Somebody who is told of each label that is looked at, with how many there are; or nobody.
#[derive(Clone, Copy, Default)]
pub struct Watch<'a>(Option<&'a dyn Fn(usize, usize)>);

impl<'a> Watch<'a> {
    /// Has these told.
    pub fn by(told: &'a dyn Fn(usize, usize)) -> Self {
        Self(Some(told))
    }

    pub(super) fn tell(self, looked_at: usize, all: usize) {
        if let Some(told) = self.0 {
            told(looked_at, all);
        }
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Watch").field(&self.0.is_some()).finish()
    }
}

impl Conditions<'_> {
    /// Makes the conditions of a print on a day, of which no more is said.
    pub fn on(today: Date) -> Self {
        Self {
            today,
            printer: None,
            despite: None,
            watch: Watch::default(),
        }
    }
}

/// What was found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proof {
    /// What keeps the labels from being printed.
    pub refused: Vec<Finding<Refused>>,
    /// What is only told.
    pub warned: Vec<Finding<Warned>>,
}

impl Proof {
    /// Makes the error of a label that cannot be laid out.
    pub fn not_laid_out(problems: Vec<Problem>) -> LabelError {
        let mut gathered = Problems::default();
        problems
            .into_iter()
            .for_each(|problem| gathered.add(problem));
        let proof = Self {
            refused: gathered.found().collect(),
            warned: Vec::new(),
        };
        LabelError::Refused {
            proof: Box::new(proof),
        }
    }
}

/// Labels, and what the proof of them found.
#[derive(Clone)]
pub struct Proofed<'a> {
    sheaves: Vec<Sheaf<'a>>,
    proof: Proof,
}

impl<'a> Proofed<'a> {
    pub(super) fn new(sheaves: Vec<Sheaf<'a>>, proof: Proof) -> Self {
        Self { sheaves, proof }
    }

    /// Returns what was found.
    pub fn proof(&self) -> &Proof {
        &self.proof
    }

    /// Returns the labels to be looked at, refused or not; those that cannot be laid out are not among them.
    pub fn to_look_at(&self) -> &[Sheaf<'a>] {
        &self.sheaves
    }

    /// Returns the labels to be printed, or everything that keeps them from it.
    pub fn to_print(self) -> Result<Vec<Sheaf<'a>>, LabelError> {
        match self.proof.refused.is_empty() {
            true => Ok(self.sheaves),
            false => Err(LabelError::Refused {
                proof: Box::new(self.proof),
            }),
        }
    }
}
