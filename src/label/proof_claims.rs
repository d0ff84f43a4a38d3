//! Holds claims against their ground, and claims about a constituent against the deliveries upstream.

use jiff::civil::Date;

use crate::farm::{DeliveryFacts, DeliveryKind, Event, Farm, HaySprayed, LotCode, LotId, Settings};
use crate::trace::{Reached, Relation, Start, back};
use crate::trade::{About, Bean, ClaimFound, Constituent};

use super::finding::{Against, Refused};

/// A run, and every lot that could have reached it.
pub struct Upstream<'a> {
    farm: &'a Farm,
    packed: Date,
    lots: Vec<Reached>,
}

impl<'a> Upstream<'a> {
    /// Looks up what could have reached a run.
    pub fn of(farm: &'a Farm, run: LotId) -> Self {
        let start = Start {
            lot: run,
            serial: None,
            when: None,
        };
        Self {
            farm,
            packed: farm.lot(run).when.day(),
            lots: back(farm, start),
        }
    }

    /// Returns what is wrong with a claim on the run's labels, printed that day.
    pub fn judge(&self, claim: &ClaimFound, settings: &Settings, today: Date) -> Vec<Refused> {
        let mut refused: Vec<Refused> = self.ground(claim, settings, today).into_iter().collect();
        if let About::Constituent(constituent) = claim.about {
            let against = self.against(constituent).into_iter();
            refused.extend(against.map(|(lot, against)| Refused::SpokenAgainst {
                claim: claim.name.clone(),
                words: claim.words.clone(),
                lot,
                against,
            }));
        }
        refused
    }

    /// Packs that were filled, or labelled, after the last day of a ground do not stand on it.
    fn ground(&self, claim: &ClaimFound, settings: &Settings, today: Date) -> Option<Refused> {
        let (words, name) = (claim.words.clone(), claim.name.clone());
        let own = settings.claims.get(&claim.name);
        let own = own.filter(|own| own.ground.is_some());
        let Some(own) = own else {
            return Some(Refused::NoGround { claim: name, words });
        };
        let until = own
            .until
            .filter(|until| today > *until || self.packed > *until)?;
        Some(Refused::OldGround {
            claim: name,
            words,
            until,
        })
    }

    /// Returns the lots that speak against a claim to be free of something, and how.
    fn against(&self, constituent: Constituent) -> Vec<(LotCode, Against)> {
        let heard = |reached: &Reached| {
            let code = self.farm.lot(reached.lot).code;
            let how = match constituent {
                // Weedkiller harms in traces, and may have been carried.
                Constituent::Weedkiller => self.sprayed(reached.lot),
                Constituent::Chemical => self
                    .sprayed(reached.lot)
                    .or_else(|| self.wormed(reached.lot)),
                Constituent::Peat | Constituent::Manure
                    if reached.relation == Relation::Carried =>
                {
                    None
                }
                Constituent::Peat => self.called(reached.lot, constituent),
                Constituent::Manure => self
                    .manure(reached.lot)
                    .or_else(|| self.called(reached.lot, constituent)),
            };
            how.map(|how| (code, how))
        };
        self.lots.iter().filter_map(heard).collect()
    }

    fn called(&self, lot: LotId, constituent: Constituent) -> Option<Against> {
        let facts = self.farm.delivery(lot)?;
        let texts = [
            Some(&facts.name),
            facts.origin.as_ref(),
            facts.animal.as_ref(),
        ];
        let named = texts
            .into_iter()
            .flatten()
            .find(|text| constituent.is_named_in(text));
        named.map(|text| Against::Called(text.to_string()))
    }

    fn manure(&self, lot: LotId) -> Option<Against> {
        let facts = self.farm.delivery(lot)?;
        (facts.kind == DeliveryKind::Manure).then(|| Against::Manure(facts.name.to_string()))
    }

    fn sprayed(&self, lot: LotId) -> Option<Against> {
        let bean = self.bean(lot);
        if bean == Some(false) {
            return Some(Against::BeanFailed);
        }
        let facts = self.farm.delivery(lot)?;
        let name = || facts.name.to_string();
        match facts.hay_sprayed {
            Some(HaySprayed::SaidYes) => Some(Against::Sprayed(name())),
            Some(HaySprayed::SaidNo) => None,
            Some(HaySprayed::NotKnown) | None => {
                (asks_of_hay(facts) && bean != Some(true)).then(|| Against::NotSaid(name()))
            }
        }
    }

    fn wormed(&self, lot: LotId) -> Option<Against> {
        let facts = self.farm.delivery(lot)?;
        let had = facts
            .wormer
            .as_deref()
            .is_some_and(|wormer| !denies(wormer));
        had.then(|| Against::Wormed(facts.name.to_string()))
    }

    /// Whether a lot passed its bean tests, if there are any; one that failed counts against it whatever came later.
    fn bean(&self, lot: LotId) -> Option<bool> {
        let tests = self.farm.lot(lot).tests.iter();
        let found = tests.filter_map(|place| match &self.farm.entries()[*place].event {
            Some(Event::Test { facts, .. }) => Bean::of(facts).map(|bean| !bean.damaged),
            _ => None,
        });
        found.min()
    }
}

/// Whether the hay behind a delivery matters: that of manure does, and of a delivery that says where its hay is from.
fn asks_of_hay(facts: &DeliveryFacts) -> bool {
    facts.kind == DeliveryKind::Manure || facts.hay_from.is_some() || facts.hay_sprayed.is_some()
}

/// Whether a remark on wormer says that there was none.
fn denies(wormer: &str) -> bool {
    matches!(
        wormer.trim().to_lowercase().as_str(),
        "" | "none" | "no" | "nothing" | "not given" | "-"
    )
}

#[cfg(test)]
#[path = "proof_claims_test.rs"]
mod tests;
