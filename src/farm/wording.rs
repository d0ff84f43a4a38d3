//! A farm's own words on labels: what it says in place of castlot's, and the claims it has ground for.

use std::collections::BTreeMap;

use jiff::civil::Date;

/// Words that stand in place of castlot's own. An empty text takes the words away.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wording {
    /// What it is, in one line.
    pub statement: Option<String>,
    /// How to use it.
    pub using: Option<String>,
    /// How to keep it.
    pub keeping: Option<String>,
    /// What to do when something is wrong with it.
    pub trouble: Option<String>,
    /// What it was made from; the proof holds it against the trace.
    pub made_from: Option<String>,
    /// Cautions, by the key of the one each replaces.
    pub cautions: BTreeMap<String, String>,
}

impl Wording {
    /// Returns these words, and for what they leave open those of another.
    #[must_use]
    pub fn or(&self, other: &Self) -> Self {
        let own =
            |own: &Option<String>, other: &Option<String>| own.as_ref().or(other.as_ref()).cloned();
        let mut cautions = other.cautions.clone();
        cautions.extend(self.cautions.clone());
        Self {
            statement: own(&self.statement, &other.statement),
            using: own(&self.using, &other.using),
            keeping: own(&self.keeping, &other.keeping),
            trouble: own(&self.trouble, &other.trouble),
            made_from: own(&self.made_from, &other.made_from),
            cautions,
        }
    }
}

/// A claim of castlot.toml: the ground for one that castlot looks for, or words of the farm's own to look for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OwnClaim {
    /// Words that make the claim, beside those castlot knows.
    pub words: Vec<String>,
    /// What the farm stands on when it says so; without it the claim is refused.
    pub ground: Option<String>,
    /// The last day on which that ground holds.
    pub until: Option<Date>,
}
