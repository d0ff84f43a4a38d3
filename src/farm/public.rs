//! What a farm's public pages show: a list of facts, each named by one word of castlot.toml.
//!
//! Whatever is listed, no page names a supplier, a buyer or a worker, or shows a mark, a remark, or a hold that only
//! waits for its test: for these there is no word.

use std::collections::BTreeSet;
use std::fmt;

use super::kinds::{KindError, words};

words! {
    /// A fact that public pages show where the farm lists it.
    PublicFact {
        /// The kinds of goods that a lot was made from.
        MadeFrom = "made-from",
        /// How much of each.
        Shares = "shares",
        /// The animal that a manure is of.
        Animals = "animals",
        /// The months in which goods came in.
        Months = "months",
        /// The codes of deliveries, which tell the day they came.
        Deliveries = "deliveries",
        /// The codes of beds.
        Beds = "beds",
        /// The drawing of the way a lot came.
        Way = "way",
        /// The species of worms.
        Species = "species",
        /// Tests and what they found.
        Tests = "tests",
        /// The day by which a pack is best.
        BestBy = "best-by",
        /// The farm's postal address.
        Address = "address",
        /// The farm's telephone number.
        Phone = "phone",
        /// How much there is of a batch.
        Amounts = "amounts",
        /// Where bins stand, and which beds are and were in them.
        Places = "places",
        /// A list of the runs packed last.
        Runs = "runs",
    }
}

impl PublicFact {
    /// Returns what has to be shown for this to say anything, or to say no more than is listed.
    pub fn needs(self) -> &'static [Self] {
        match self {
            Self::Shares | Self::Months | Self::Way => &[Self::MadeFrom],
            Self::Deliveries => &[Self::MadeFrom, Self::Months],
            Self::MadeFrom
            | Self::Animals
            | Self::Beds
            | Self::Species
            | Self::Tests
            | Self::BestBy
            | Self::Address
            | Self::Phone
            | Self::Amounts
            | Self::Places
            | Self::Runs => &[],
        }
    }

    /// Tells whether it is shown where a farm lists nothing: what a buyer asks for is, and what only tells how big the
    /// farm is and where its things stand is not.
    fn is_usual(self) -> bool {
        match self {
            Self::Amounts | Self::Places | Self::Runs => false,
            Self::MadeFrom
            | Self::Shares
            | Self::Animals
            | Self::Months
            | Self::Deliveries
            | Self::Beds
            | Self::Way
            | Self::Species
            | Self::Tests
            | Self::BestBy
            | Self::Address
            | Self::Phone => true,
        }
    }
}

/// What a farm's public pages show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Public {
    facts: BTreeSet<PublicFact>,
    /// Whether search engines are told of the pages.
    pub sitemap: bool,
}

impl Default for Public {
    /// The usual facts, and nothing for search engines.
    fn default() -> Self {
        let all = PublicFact::ALL.iter().copied();
        Self {
            facts: all.filter(|fact| fact.is_usual()).collect(),
            sitemap: false,
        }
    }
}

impl Public {
    /// Makes the list of these facts; of one without what it needs, returns the two.
    pub fn of(
        facts: impl IntoIterator<Item = PublicFact>,
    ) -> Result<Self, (PublicFact, PublicFact)> {
        let facts: BTreeSet<PublicFact> = facts.into_iter().collect();
        for fact in &facts {
            if let Some(needed) = fact.needs().iter().find(|needed| !facts.contains(needed)) {
                return Err((*fact, *needed));
            }
        }
        Ok(Self {
            facts,
            sitemap: false,
        })
    }

    /// Tells whether a fact is shown.
    pub fn shows(&self, fact: PublicFact) -> bool {
        self.facts.contains(&fact)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_list_has_all_that_its_facts_need() {
        let usual = Public::default();
        assert_eq!(Public::of(usual.facts.clone()), Ok(usual));
    }

    #[test]
    fn a_fact_is_refused_without_what_it_would_let_out_or_leaves_unsaid() {
        let refused = Public::of([PublicFact::Deliveries, PublicFact::MadeFrom]);
        assert_eq!(refused, Err((PublicFact::Deliveries, PublicFact::Months)));
        let refused = Public::of([PublicFact::Shares]);
        assert_eq!(refused, Err((PublicFact::Shares, PublicFact::MadeFrom)));
        assert!(Public::of([]).is_ok_and(|none| !none.shows(PublicFact::Phone)));
    }
}
