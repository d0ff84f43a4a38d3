//! The balance of beds in grams: bedding, feed and worms in; castings, overs, worms, cocoons and liquid out.
//!
//! Everything that was weighed counts, the worms too. A split takes its share of what is in the bed by the book, a tip
//! all of it. An amount that was weighed for several beds together is divided by the bulk that each held, to the gram.

use std::collections::BTreeMap;

use crate::farm::{Amount, Class, Farm, Flow, LotId, LotSort, Much, Portion, Unit};

use super::books::{Gap, whole};
use super::terms::Terms;

/// What went into a bed and came out of it.
#[derive(Clone, Debug, Default)]
pub(super) struct BedBook {
    came_in: i64,
    used: i64,
    thrown: i64,
    /// What it holds of bulk: worms left out.
    bulk: i64,
    gaps: Vec<Gap>,
    guesses: (usize, i64),
}

/// What a flow weighs.
#[derive(Clone, Copy)]
struct Weight {
    grams: i64,
    sure: Sure,
}

/// How sure a weight is.
#[derive(Clone, Copy, PartialEq)]
enum Sure {
    /// Weighed, or a share of what is there.
    Yes,
    /// Guessed, turned or divided.
    Guess,
    /// A litre was taken for a kilogram.
    NoDensity,
    /// Pieces of which nobody knows what they weigh.
    NoWeight,
    /// Nobody knows.
    Unknown,
    /// It is nothing that a bed is made of: bags, lids.
    Nothing,
}

impl Weight {
    /// Returns the grams, where anybody knows them; a litre without a density counts as a kilogram.
    fn known(self) -> Option<i64> {
        match self.sure {
            Sure::Yes | Sure::Guess | Sure::NoDensity => Some(self.grams),
            Sure::Nothing => Some(0),
            Sure::NoWeight | Sure::Unknown => None,
        }
    }
}

impl BedBook {
    /// Returns what is in it by the book; below nothing where more came out than went in.
    fn holds(&self) -> i64 {
        self.came_in
            .saturating_sub(self.used)
            .saturating_sub(self.thrown)
    }

    /// Closes the balance: what is left of an ended bed is written off.
    pub(super) fn settled(self, ended: bool) -> (Terms, Vec<Gap>) {
        let left = self.holds().max(0);
        let terms = Terms {
            came_in: self.came_in,
            used: self.used,
            thrown: self.thrown,
            written_off: if ended { left } else { 0 },
            in_store: if ended { 0 } else { left },
            ..Terms::default()
        };
        let mut gaps = self.gaps;
        let (count, amount) = self.guesses;
        if count > 0 {
            gaps.push(Gap::Guesses { count, amount });
        }
        (terms.closed(), gaps)
    }

    fn note(&mut self, weight: Weight, unknown: Gap, entry: u32) {
        match weight.sure {
            Sure::Yes | Sure::Nothing => {}
            Sure::Guess => {
                self.guesses.0 += 1;
                self.guesses.1 = self.guesses.1.saturating_add(weight.grams);
            }
            Sure::NoDensity => self.gaps.push(Gap::NoDensity { entry }),
            Sure::NoWeight => self.gaps.push(Gap::NoWeight { entry }),
            Sure::Unknown => self.gaps.push(unknown),
        }
    }
}

/// Keeps the book of every bed.
pub(super) fn bed_books(farm: &Farm) -> BTreeMap<LotId, BedBook> {
    weighed(farm, |_, _| {})
}

/// Keeps the books, and shows every flow with the grams it moved, in the order of events; `None` where nobody knows.
pub(super) fn weighed(
    farm: &Farm,
    mut show: impl FnMut(&Flow, Option<i64>),
) -> BTreeMap<LotId, BedBook> {
    let mut books: BTreeMap<LotId, BedBook> = BTreeMap::new();
    for flows in farm.flows().chunk_by(|a, b| a.entry == b.entry) {
        let weights: Vec<Weight> = weigh(farm, flows, &books);
        let entry = farm.entries()[flows[0].entry].number;
        for (flow, weight) in flows.iter().zip(weights) {
            show(flow, weight.known());
            let is_bulk = matches!(flow.class, Class::Bulk | Class::Whole);
            let bulk = if is_bulk { weight.grams } else { 0 };
            if farm.lot(flow.from).sort == LotSort::Bed {
                let book = books.entry(flow.from).or_default();
                let out = if flow.to.is_some() {
                    &mut book.used
                } else {
                    &mut book.thrown
                };
                *out = out.saturating_add(weight.grams);
                book.bulk = book.bulk.saturating_sub(bulk).max(0);
                book.note(weight, Gap::UnknownOut { entry }, entry);
            }
            if let Some(to) = flow.to.filter(|to| farm.lot(*to).sort == LotSort::Bed) {
                let book = books.entry(to).or_default();
                book.came_in = book.came_in.saturating_add(weight.grams);
                book.bulk = book.bulk.saturating_add(bulk);
                book.note(weight, Gap::UnknownIn { entry }, entry);
            }
        }
    }
    books
}

/// Returns what each flow of one entry weighs, by what the beds held before it.
fn weigh(farm: &Farm, flows: &[Flow], books: &BTreeMap<LotId, BedBook>) -> Vec<Weight> {
    let holds = |flow: &Flow| {
        let book = books.get(&flow.from);
        book.map_or(0, |book| book.holds().max(0))
    };
    let shared = flows.iter().find_map(|flow| match flow.much {
        Much::Divided(amount) => Some(in_grams(farm, flow, amount)),
        _ => None,
    });
    let bulks: Vec<i64> = flows
        .iter()
        .map(|flow| books.get(&flow.from).map_or(0, |book| book.bulk))
        .collect();
    let parts = shared.map(|whole| divided(whole.grams, &bulks));
    let weight = |(at, flow): (usize, &Flow)| match flow.much {
        Much::Amount(amount) => in_grams(farm, flow, amount),
        Much::Portion(share) => Weight {
            grams: portion(holds(flow), share),
            sure: Sure::Yes,
        },
        Much::All => Weight {
            grams: holds(flow),
            sure: Sure::Yes,
        },
        Much::Divided(_) => match (&shared, &parts) {
            (Some(whole), Some(Some(parts))) => Weight {
                grams: parts[at],
                sure: match whole.sure {
                    Sure::Yes => Sure::Guess,
                    other => other,
                },
            },
            (_, _) => Weight {
                grams: 0,
                sure: Sure::Unknown,
            },
        },
    };
    flows.iter().enumerate().map(weight).collect()
}

fn portion(holds: i64, share: Portion) -> i64 {
    let part = i128::from(holds) * i128::from(share.parts()) / i128::from(share.of());
    i64::try_from(part).unwrap_or(i64::MAX)
}

/// Divides a whole by weights, so that the parts make the whole; `None` where there is nothing to divide it by.
fn divided(whole: i64, weights: &[i64]) -> Option<Vec<i64>> {
    let total: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
    if total <= 0 {
        return None;
    }
    let exact = |weight: &i64| i128::from(whole) * i128::from(*weight);
    let mut parts: Vec<i64> = weights
        .iter()
        .map(|weight| i64::try_from(exact(weight) / total).unwrap_or(i64::MAX))
        .collect();
    let rest = whole - parts.iter().sum::<i64>();
    let mut by_rest: Vec<usize> = (0..weights.len()).collect();
    by_rest.sort_by_key(|at| std::cmp::Reverse(exact(&weights[*at]) % total));
    for at in by_rest.into_iter().take(usize::try_from(rest).unwrap_or(0)) {
        parts[at] += 1;
    }
    Some(parts)
}

/// Turns an amount into grams. What is sieved out of a bed has its density measured as a batch.
fn in_grams(farm: &Farm, flow: &Flow, amount: Amount) -> Weight {
    let Some(quantity) = amount.quantity() else {
        return Weight {
            grams: 0,
            sure: Sure::Unknown,
        };
    };
    let sure = if amount.is_weighed() {
        Sure::Yes
    } else {
        Sure::Guess
    };
    let value = whole(quantity.value());
    let from = farm.lot(flow.from);
    let measured = match (from.sort, flow.to) {
        (LotSort::Bed, Some(to)) => farm.lot(to),
        _ => from,
    };
    match quantity.unit() {
        Unit::Grams => Weight { grams: value, sure },
        Unit::Millilitres => match measured.density(flow.when) {
            // Thousandths of g/L times mL: a million to the gram.
            Some(rate) => Weight {
                grams: by(value, rate.thousandths(), 1_000_000),
                sure: Sure::Guess,
            },
            None => Weight {
                grams: value,
                sure: Sure::NoDensity,
            },
        },
        Unit::Pieces => match (flow.class, measured.per_kg(flow.when)) {
            (Class::Touch, _) => Weight {
                grams: 0,
                sure: Sure::Nothing,
            },
            (_, Some(rate)) => Weight {
                grams: by(value, 1_000_000, rate.thousandths()),
                sure: Sure::Guess,
            },
            (_, None) => Weight {
                grams: 0,
                sure: Sure::NoWeight,
            },
        },
    }
}

fn by(value: i64, times: u64, over: u64) -> i64 {
    let product = i128::from(value) * i128::from(times) / i128::from(over.max(1));
    i64::try_from(product).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_make_the_whole_to_the_gram() {
        assert_eq!(divided(10, &[1, 1, 1]), Some(vec![4, 3, 3]));
        assert_eq!(divided(7, &[0, 5]), Some(vec![0, 7]));
        assert_eq!(divided(7, &[0, 0]), None);
    }
}
