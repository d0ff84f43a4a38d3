//! What a lot is made of at a moment: how much of each delivery, as far as the amounts recorded tell.
//!
//! Floats, unlike anywhere in the farm: a share is a ratio of estimates, shown to nine places and never added
//! to a stock.

use crate::farm::LotId;

use super::mass::Grams;

/// The share of each delivery, by its place among the lots; in order, without doubles.
pub(super) type Parts = Vec<(u32, f64)>;

/// A mixture, taken as well mixed.
#[derive(Clone, Debug, Default)]
pub(super) struct Mix {
    /// Weights of the constituents; only their proportions count.
    weights: Parts,
    /// The sum of `weights`.
    sum: f64,
    /// Grams, where they can be told.
    mass: Grams,
    /// Whether the proportions are not known any more.
    lost: bool,
    /// The only lot that has gone in so far.
    only: Option<LotId>,
    /// Whether an unknown amount has come out: the next input makes the proportions unknown.
    leaked: bool,
}

/// Weights are brought back to a sum of one before they lose places.
const LARGEST_SUM: f64 = 1e9;

impl Mix {
    /// Makes the mixture that a delivery is: itself.
    pub(super) fn pure(delivery: u32) -> Self {
        Self {
            weights: vec![(delivery, 1.0)],
            sum: 1.0,
            mass: Grams::Unknown,
            ..Self::default()
        }
    }

    /// Returns the mass.
    pub(super) fn mass(&self) -> Grams {
        self.mass
    }

    /// Returns the proportions, which sum to one; `None` where they are unknown or nothing ever went in.
    pub(super) fn proportions(&self) -> Option<Parts> {
        let known = !self.lost && self.sum > 0.0;
        known.then(|| {
            self.weights
                .iter()
                .map(|(part, weight)| (*part, weight / self.sum))
                .collect()
        })
    }

    /// Puts so much of another mixture in.
    pub(super) fn add(&mut self, from: LotId, source: Option<&Parts>, amount: Grams) {
        if amount == Grams::Known(0.0) {
            return;
        }
        let first = self.only.is_none() && self.sum == 0.0 && !self.lost;
        let only = first || self.only == Some(from);
        self.only = only.then_some(from);
        let (Some(source), false) = (source, self.lost || self.leaked) else {
            self.lose(amount);
            return;
        };
        match (self.mass, amount) {
            (_, _) if first => self.restart(source, amount),
            (Grams::Known(mass), Grams::Known(more)) if mass <= 0.0 => {
                self.restart(source, Grams::Known(more))
            }
            (Grams::Known(mass), Grams::Known(more)) => self.blend(source, mass, more),
            (_, _) if only && self.is_like(source) => self.mass = Grams::Unknown,
            (_, _) => self.lose(Grams::Unknown),
        }
    }

    /// Takes so much out; the proportions stand.
    pub(super) fn remove(&mut self, amount: Grams) {
        self.leaked |= amount == Grams::Unknown;
        self.mass = self.mass.less(amount);
    }

    /// Sets the mass that a count found.
    pub(super) fn recount(&mut self, mass: Grams) {
        self.leaked &= mass == Grams::Unknown;
        self.mass = mass;
    }

    fn restart(&mut self, source: &Parts, amount: Grams) {
        self.weights.clone_from(source);
        self.sum = source.iter().map(|(_, weight)| weight).sum();
        self.mass = amount;
    }

    fn blend(&mut self, source: &Parts, mass: f64, more: f64) {
        if self.sum > LARGEST_SUM {
            let sum = self.sum;
            self.weights
                .iter_mut()
                .for_each(|(_, weight)| *weight /= sum);
            self.sum = 1.0;
        }
        let factor = more * self.sum / mass;
        for (part, share) in source {
            match self.weights.binary_search_by_key(part, |(p, _)| *p) {
                Ok(place) => self.weights[place].1 += share * factor,
                Err(place) => self.weights.insert(place, (*part, share * factor)),
            }
        }
        self.sum += source.iter().map(|(_, share)| share).sum::<f64>() * factor;
        self.mass = Grams::Known(mass + more);
    }

    /// Gives the proportions up, until the lot ends.
    fn lose(&mut self, amount: Grams) {
        self.lost = true;
        self.weights = Vec::new();
        self.mass = self.mass.plus(amount);
    }

    fn is_like(&self, source: &Parts) -> bool {
        self.weights.len() == source.len()
            && self
                .weights
                .iter()
                .zip(source)
                .all(|((a, weight), (b, share))| {
                    a == b && (weight / self.sum - share).abs() < 1e-12
                })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(mix: &Mix, part: u32) -> f64 {
        mix.proportions()
            .expect("known")
            .iter()
            .find(|(p, _)| *p == part)
            .map_or(0.0, |(_, share)| *share)
    }

    /// Closed form: a bed topped up n times to a fraction f of its mass keeps (1 - f)^n of what it was.
    #[test]
    fn topping_up_dilutes_by_the_closed_form() {
        let (old, new) = (vec![(0, 1.0)], vec![(1, 1.0)]);
        let ids = super::super::balance::test_ids(2);
        let mut mix = Mix::default();
        mix.add(ids[0], Some(&old), Grams::Known(1000.0));
        for n in 1..=40 {
            mix.remove(Grams::Known(200.0));
            mix.add(ids[1], Some(&new), Grams::Known(200.0));
            assert!(
                (share(&mix, 0) - 0.8_f64.powi(n)).abs() < 1e-12,
                "after {n}"
            );
        }
    }

    #[test]
    fn an_unknown_amount_in_loses_the_shares_unless_it_is_the_only_source() {
        let ids = super::super::balance::test_ids(2);
        let (a, b) = (vec![(0, 1.0)], vec![(1, 1.0)]);
        let mut mix = Mix::default();
        mix.add(ids[0], Some(&a), Grams::Unknown);
        assert!((share(&mix, 0) - 1.0).abs() < 1e-12);
        mix.add(ids[0], Some(&a), Grams::Known(5.0));
        assert!(
            (share(&mix, 0) - 1.0).abs() < 1e-12,
            "still its only source"
        );
        mix.add(ids[1], Some(&b), Grams::Known(5.0));
        assert_eq!(mix.proportions(), None);
    }

    #[test]
    fn an_unknown_amount_out_keeps_the_shares_until_the_next_input() {
        let ids = super::super::balance::test_ids(2);
        let (a, b) = (vec![(0, 1.0)], vec![(1, 1.0)]);
        let mut mix = Mix::default();
        mix.add(ids[0], Some(&a), Grams::Known(300.0));
        mix.add(ids[1], Some(&b), Grams::Known(100.0));
        mix.remove(Grams::Unknown);
        assert!((share(&mix, 0) - 0.75).abs() < 1e-12);
        mix.add(ids[0], Some(&a), Grams::Known(1.0));
        assert_eq!(mix.proportions(), None);
    }

    #[test]
    fn at_nothing_the_shares_stand_until_something_goes_in() {
        let ids = super::super::balance::test_ids(2);
        let (a, b) = (vec![(0, 1.0)], vec![(1, 1.0)]);
        let mut mix = Mix::default();
        mix.add(ids[0], Some(&a), Grams::Known(300.0));
        mix.remove(Grams::Known(400.0));
        assert!((share(&mix, 0) - 1.0).abs() < 1e-12);
        mix.add(ids[1], Some(&b), Grams::Known(1.0));
        assert!((share(&mix, 1) - 1.0).abs() < 1e-12);
    }
}
