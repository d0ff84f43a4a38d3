//! How often and how much each species is fed, by warmth and by how many worms there are.
//!
//! | figure | source |
//! | --- | --- |
//! | half the worms' weight a day at most | Munroe's manual, as quoted; the FAO's guide says up to as much as they weigh |
//! | warmth at which they eat most, and not at all | by species, from `climate.rs`, each with its source |
//! | a species that no source tells of | as *E. fetida*: common practice, no source |
//! | every three days, *D. veneta* four | common practice, no source |
//! | appetite falls evenly from the best to the limits | common practice, no source |
//! | a layer of 25 mm at most | manure layers of 2.5 to 3.8 cm: told by growers |
//! | 500 g to a litre of feed | common practice, no source |
//!
//! A farm's own figures in castlot.toml go before these.

use std::collections::BTreeMap;

use crate::farm::FeedingSetting;

use super::climate::climate;
use super::species::Species;

/// How a species is fed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feeding {
    /// Days from one feed to the next where it is as warm as they like it.
    pub every_days: u32,
    /// Kilograms of feed to a kilogram of worms and day: at most, or as the farm says.
    pub rate: f64,
    /// Whether that rate is the farm's own, and so what is given rather than the most that is.
    pub own_rate: bool,
    /// From how many to how many degrees they eat most.
    pub best: (f64, f64),
    /// Below and above which degrees they do not eat, where a source tells.
    pub limits: Option<(f64, f64)>,
}

/// What a bed is like, as far as anybody knows.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BedLike {
    /// Grams of worms in it.
    pub worms: Option<u64>,
    /// Its surface in square millimetres.
    pub surface_mm2: Option<u64>,
    /// How warm it is, in degrees Celsius.
    pub warmth: Option<f64>,
}

/// No bed goes longer than this without being fed or looked at, however cold: common practice, no source.
pub const LONGEST_DAYS: u32 = 14;
/// Thousandths of a millimetre: the thickest layer of one feed.
const LAYER_UM: u64 = 25_000;
/// Grams of feed to a litre.
const LITRE_G: u64 = 500;

const RATE: f64 = 0.5;
const EVERY_DAYS: u32 = 3;
const VENETA_EVERY_DAYS: u32 = 4;

impl Feeding {
    /// Returns how a species is fed on a farm: its own figures before castlot's.
    pub fn of(species: Option<&str>, own: &BTreeMap<String, FeedingSetting>) -> Self {
        let known = species.and_then(Species::named);
        let every_days = match known.map(|species| species.latin) {
            Some("Dendrobaena veneta") => VENETA_EVERY_DAYS,
            Some(_) | None => EVERY_DAYS,
        };
        let fetida = || Species::named("Eisenia fetida").and_then(climate);
        let heat = known
            .and_then(climate)
            .or_else(fetida)
            .map(|climate| climate.heat);
        let heat = heat.expect("what E. fetida likes is told");
        let is_it = |name: &str| match (known, Species::named(name)) {
            (Some(one), Some(other)) => one == other,
            (_, _) => species.is_some_and(|species| species.eq_ignore_ascii_case(name)),
        };
        let own = own.iter().find(|(name, _)| is_it(name));
        let own = own.map(|(_, setting)| *setting).unwrap_or_default();
        Self {
            every_days: own.every_days.unwrap_or(every_days),
            rate: own.rate.map_or(RATE, |rate| f64::from(rate) / 1000.0),
            own_rate: own.rate.is_some(),
            best: heat.best,
            limits: heat.limits,
        }
    }

    /// Returns which part of their full appetite worms have at so many degrees: all of it where nobody knows.
    pub fn appetite(&self, warmth: Option<f64>) -> f64 {
        let (Some(warmth), Some((low, high))) = (warmth, self.limits) else {
            return 1.0;
        };
        let rising = (warmth - low) / (self.best.0 - low);
        let falling = (high - warmth) / (high - self.best.1);
        rising.min(falling).clamp(0.0, 1.0)
    }

    /// Returns in how many days a feed should be eaten: sooner where so many worms are crowded into the bed that the
    /// thickest layer is less than they eat, later where they are cold or hot.
    pub fn days(&self, bed: BedLike) -> u32 {
        let layer = match (self.wanted(bed), layer(bed)) {
            (Some(wanted), Some(layer)) if wanted > layer => layer / wanted,
            (_, _) => 1.0,
        };
        let days = f64::from(self.every_days) * layer / self.appetite(bed.warmth);
        let longest = f64::from(LONGEST_DAYS.max(self.every_days));
        // Clamped to a few days, so that it fits.
        days.round().clamp(1.0, longest) as u32
    }

    /// Returns the most that a feed should be, in grams, where the worms are known; never more than a layer.
    pub fn most(&self, bed: BedLike) -> Option<u64> {
        let wanted = self.wanted(bed);
        let most = match (wanted, layer(bed)) {
            (Some(wanted), Some(layer)) => Some(wanted.min(layer)),
            (Some(known), None) | (None, Some(known)) => Some(known),
            (None, None) => None,
        };
        // To ten grams, as a kitchen scale is read; far below 2^53.
        most.map(|grams| (grams / 10.0).floor() as u64 * 10)
            .filter(|grams| *grams > 0)
    }

    /// What the worms eat from one feed to the next when they are as warm as they like it.
    ///
    /// A cold bed gets as much and eats it later.
    fn wanted(&self, bed: BedLike) -> Option<f64> {
        Some(bed.worms? as f64 * self.rate * f64::from(self.every_days))
    }
}

/// Returns the grams of feed in the thickest layer over a bed.
fn layer(bed: BedLike) -> Option<f64> {
    // mm² × µm is a thousandth of a mm³, and a litre is a million mm³.
    let litres = bed.surface_mm2? as f64 * LAYER_UM as f64 / 1e9;
    Some(litres * LITRE_G as f64)
}

#[cfg(test)]
#[path = "feeding_test.rs"]
mod tests;
