//! Words on pages that need ground: the same claims as on labels, looked for in the words of the farm's own that stand on
//! the pages of its runs.
//!
//! A page is not stopped for them, as a label is: what it says was printed on packs long ago. The farm is told.

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;

use crate::farm::{Farm, LotCode, LotId, LotSort, Settings};
use crate::label::{Refused, Upstream};
use crate::trade::{ClaimFound, Claims};

use super::lot_page::own_words;

/// Words that need ground and have none, or that what is upstream speaks against.
#[derive(Debug)]
pub struct Unfounded {
    /// What is wrong with them.
    pub wrong: Refused,
    /// The runs whose pages have them.
    pub runs: Vec<LotCode>,
}

/// Returns the words on a farm's pages that need ground and have none that day, each once.
pub fn unfounded(farm: &Farm, settings: &Settings, today: Date) -> Vec<Unfounded> {
    let own = settings.claims.iter();
    let claims = Claims::with(own.map(|(name, claim)| (name.as_str(), &*claim.words)));
    // Runs of one product have the same words.
    let mut read: HashMap<Vec<String>, Vec<ClaimFound>> = HashMap::new();
    let mut wrong: BTreeMap<String, Unfounded> = BTreeMap::new();
    for (run, lot) in farm.lots() {
        if !matches!(lot.sort, LotSort::Run(_)) {
            continue;
        }
        let words = words_on_page(farm, settings, run);
        let found = read
            .entry(words)
            .or_insert_with_key(|words| found(&claims, words));
        if found.is_empty() {
            continue;
        }
        let upstream = Upstream::of(farm, run);
        for refused in found
            .iter()
            .flat_map(|claim| upstream.judge(claim, settings, today))
        {
            let same = wrong
                .entry(refused.to_string())
                .or_insert_with(|| Unfounded {
                    wrong: refused,
                    runs: Vec::new(),
                });
            same.runs.push(lot.code);
        }
    }
    wrong.into_values().collect()
}

/// Returns the words of the farm's own on a run's page, each text by itself.
fn words_on_page(farm: &Farm, settings: &Settings, run: LotId) -> Vec<String> {
    let name = farm.product(run).map(|product| product.name.to_string());
    let own = own_words(farm, run, settings);
    let mut words = vec![settings.name.clone()];
    words.extend(name);
    words.extend(own);
    words
}

fn found(claims: &Claims, words: &[String]) -> Vec<ClaimFound> {
    let mut all: Vec<ClaimFound> = Vec::new();
    for claim in words.iter().flat_map(|text| claims.found(text)) {
        if !all.contains(&claim) {
            all.push(claim);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use crate::farm::{OwnClaim, QrForm};
    use crate::site::fixture::{farm, lot, settings};

    use super::*;

    fn told(settings: &Settings, farm: &Farm) -> Vec<String> {
        let today = jiff::civil::date(2026, 4, 1);
        let told = unfounded(farm, settings, today).into_iter();
        told.map(|unfounded| format!("{} on {}", unfounded.wrong, unfounded.runs.len()))
            .collect()
    }

    #[test]
    fn castlots_own_words_and_a_plain_farm_make_no_claim() {
        assert_eq!(told(&settings(QrForm::Web), &farm()), Vec::<String>::new());
    }

    #[test]
    fn a_claim_in_the_farms_name_or_words_is_told_of_with_the_runs_it_stands_on() {
        let farm = farm();
        let mut own = settings(QrForm::Web);
        own.name = "Organic Worms".to_owned();
        assert_eq!(
            told(&own, &farm),
            ["`Organic` is a claim that needs ground (`organic`) on 2"]
        );
        own.name = "Worms".to_owned();
        own.wording.using = Some("Peat-free: dig it in.".to_owned());
        let told_of = told(&own, &farm);
        assert!(told_of[0].starts_with("`Peat-free`"), "{told_of:?}");
        let ground = OwnClaim {
            ground: Some("straw of our own".to_owned()),
            ..OwnClaim::default()
        };
        own.claims.insert("peat-free".to_owned(), ground);
        assert_eq!(told(&own, &farm), Vec::<String>::new());
    }

    #[test]
    fn what_is_upstream_speaks_against_a_claim_that_has_ground() {
        let farm = farm();
        let mut own = settings(QrForm::Web);
        own.wording.keeping = Some("Manure-free.".to_owned());
        let ground = OwnClaim {
            ground: Some("we use none".to_owned()),
            ..OwnClaim::default()
        };
        own.claims.insert("manure-free".to_owned(), ground);
        let today = jiff::civil::date(2026, 4, 1);
        let told = unfounded(&farm, &own, today);
        let bags = farm.lot(lot(&farm, "mark-of-run")).code;
        assert!(
            told.iter().any(|unfounded| unfounded.runs.contains(&bags)
                && matches!(unfounded.wrong, Refused::SpokenAgainst { .. })),
            "{told:?}"
        );
    }
}
