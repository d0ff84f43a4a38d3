//! Running totals of deliveries over twelve months against limits that the farm has set itself.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::farm::{Farm, LotCode, LotId, LotSort, TonnageLimit, Unit};

/// From so many hundredths of a limit on, it is told.
const NEAR_PER_CENT: u128 = 80;

/// The running total under one heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tonnage<'a> {
    /// The heading.
    pub name: &'a str,
    /// The farm's limit.
    pub limit: &'a TonnageLimit,
    /// The last day that counts.
    pub day: Date,
    /// Grams in the twelve months to that day.
    pub grams: u64,
    /// How many deliveries that is.
    pub deliveries: usize,
    /// Whether any of it is a guess: guessed, or litres taken for kilograms.
    pub guessed: bool,
    /// Deliveries of which nobody knows the weight.
    pub unknown: Vec<LotCode>,
}

/// How a total stands against its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Below four fifths.
    Below,
    /// Four fifths or more.
    Near,
    /// More than the limit.
    Over,
}

impl Level {
    /// Returns the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Below => "below",
            Self::Near => "near",
            Self::Over => "over",
        }
    }
}

impl Tonnage<'_> {
    /// Tells how it stands against the limit.
    pub fn level(&self) -> Level {
        let (grams, limit) = (u128::from(self.grams), u128::from(self.limit.grams));
        if grams > limit {
            Level::Over
        } else if grams * 100 >= limit * NEAR_PER_CENT {
            Level::Near
        } else {
            Level::Below
        }
    }

    /// Returns the total in whole hundredths of the limit, rounded down.
    pub fn per_cent(&self) -> u64 {
        let per_cent = u128::from(self.grams) * 100 / u128::from(self.limit.grams.max(1));
        u64::try_from(per_cent).unwrap_or(u64::MAX)
    }

    /// Returns the first day that counts.
    pub fn since(&self) -> Date {
        since(self.day)
    }
}

/// Returns the first of the twelve months of days that end with a day.
fn since(day: Date) -> Date {
    day.saturating_sub(1.year()).saturating_add(1.day())
}

/// Adds up every heading over the twelve months to a day.
pub fn tonnage<'a>(
    farm: &Farm,
    limits: &'a BTreeMap<String, TonnageLimit>,
    day: Date,
) -> Vec<Tonnage<'a>> {
    let all = limits.iter();
    all.map(|(name, limit)| total(farm, name, limit, day))
        .collect()
}

/// Returns the highest total of twelve months that a delivery is in, under each heading that counts it.
pub fn highest_with<'a>(
    farm: &Farm,
    limits: &'a BTreeMap<String, TonnageLimit>,
    delivery: LotId,
) -> Vec<Tonnage<'a>> {
    let first = farm.lot(delivery).when.day();
    let last = first.saturating_add(1.year()).saturating_sub(1.day());
    let counted = limits
        .iter()
        .filter(|(_, limit)| counts(farm, delivery, limit));
    let highest = |(name, limit): (&'a String, &'a TonnageLimit)| {
        let days = farm.lots().filter(|(id, _)| counts(farm, *id, limit));
        let days = days.map(|(_, lot)| lot.when.day());
        let ends = days.filter(|day| (first..=last).contains(day));
        let totals = ends.map(|day| total(farm, name, limit, day));
        totals.max_by_key(|total| (total.grams, std::cmp::Reverse(total.day)))
    };
    counted.filter_map(highest).collect()
}

fn total<'a>(farm: &Farm, name: &'a str, limit: &'a TonnageLimit, day: Date) -> Tonnage<'a> {
    let mut total = Tonnage {
        name,
        limit,
        day,
        grams: 0,
        deliveries: 0,
        guessed: false,
        unknown: Vec::new(),
    };
    for (id, lot) in farm.lots() {
        if !(since(day)..=day).contains(&lot.when.day()) || !counts(farm, id, limit) {
            continue;
        }
        total.deliveries += 1;
        let amount = lot
            .made
            .and_then(|amount| Some((amount, amount.quantity()?)));
        let grams = amount.and_then(|(amount, quantity)| match quantity.unit() {
            Unit::Grams => Some((quantity.value(), amount.is_weighed())),
            Unit::Millilitres => Some((litres(quantity.value(), farm, id), false)),
            Unit::Pieces => None,
        });
        match grams {
            Some((grams, sure)) => {
                total.grams = total.grams.saturating_add(grams);
                total.guessed |= !sure;
            }
            None => total.unknown.push(lot.code),
        }
    }
    total
}

/// Returns what millilitres weigh, by a density if there is one: else a litre is taken for a kilogram.
fn litres(millilitres: u64, farm: &Farm, id: LotId) -> u64 {
    let lot = farm.lot(id);
    let Some(density) = lot.density(lot.when) else {
        return millilitres;
    };
    // Thousandths of g/L times mL: a million to the gram.
    let grams = u128::from(millilitres) * u128::from(density.thousandths()) / 1_000_000;
    u64::try_from(grams).unwrap_or(u64::MAX)
}

/// Tells whether a delivery counts under a heading: it fits every list that the heading has.
fn counts(farm: &Farm, id: LotId, limit: &TonnageLimit) -> bool {
    let (LotSort::Delivery(kind), Some(facts)) = (farm.lot(id).sort, farm.delivery(id)) else {
        return false;
    };
    let within = |words: &[String], text: &str| {
        let text = text.to_lowercase();
        words.is_empty() || words.iter().any(|word| text.contains(&word.to_lowercase()))
    };
    (limit.kinds.is_empty() || limit.kinds.contains(&kind))
        && within(&limit.names, &facts.name)
        && within(&limit.animals, facts.animal.as_deref().unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::DeliveryKind;
    use crate::farm::scenario::Scenario;

    fn limits(grams: u64) -> BTreeMap<String, TonnageLimit> {
        let limit = TonnageLimit {
            kinds: vec![DeliveryKind::Manure],
            names: Vec::new(),
            animals: Vec::new(),
            grams,
        };
        BTreeMap::from([("dung".to_owned(), limit)])
    }

    #[test]
    fn a_year_ends_on_the_day_asked_for_and_begins_the_day_after_it_the_year_before() {
        let scenario = Scenario::of(&[
            "2025-06-01 delivery d1 manure 100kg",
            "2025-06-02 delivery d2 manure 30kg",
            "2026-06-01 delivery d3 manure 50kg",
            "2026-06-01 delivery d4 bedding 900kg",
            "2026-06-02 delivery d5 manure 70kg",
        ]);
        let limits = limits(100_000);
        let on = |day: &str| {
            let day: Date = day.parse().expect("a day");
            let total = tonnage(&scenario.farm, &limits, day).remove(0);
            (total.grams, total.level())
        };
        assert_eq!(on("2026-05-31"), (130_000, Level::Over));
        assert_eq!(on("2026-06-01"), (80_000, Level::Near));
        assert_eq!(on("2026-06-02"), (120_000, Level::Over));
        assert_eq!(on("2027-06-01"), (70_000, Level::Below));
        let highest = highest_with(&scenario.farm, &limits, scenario.id("d2"));
        assert_eq!(highest[0].grams, 130_000);
    }
}
