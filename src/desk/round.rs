//! A round as it stands on a day: every bed on it, as the list, the sheet, the rack card and the phones show it.

use std::collections::BTreeMap;

use crate::farm::{Farm, LotId, Settings};
use crate::trace::lives;
use crate::trade::{Round, RoundName, Stop};

use super::lost::Lost;

/// A round as it stands: its name, the farm at the end of that day, and every bed on it.
pub struct Drawn {
    /// Its name.
    pub name: RoundName,
    /// The farm, with nothing later in it.
    pub farm: Farm,
    /// The beds.
    pub stops: Vec<Stop>,
}

impl Drawn {
    /// Draws a round up; a rack that nothing stands on is refused.
    ///
    /// # Errors
    /// Where no bin stands on the rack.
    pub fn of(whole: &Farm, settings: &Settings, name: RoundName) -> Result<Self, Lost> {
        if let Some(rack) = &name.rack {
            let mut bins = whole.bins().values();
            let stands = bins.any(|bin| {
                let standing = bin.standing.as_ref();
                standing.is_some_and(|standing| standing.place.rack() == rack)
            });
            if !stands {
                return Err(Lost::NoSuchRack { rack: rack.clone() });
            }
        }
        // Most days nothing is written ahead, and then there is nothing to take away.
        let is_ahead = |place: &usize| whole.entries()[*place].when.day() > name.day;
        let farm = match whole.order().iter().any(is_ahead) {
            true => whole.until(name.day),
            false => whole.clone(),
        };
        let round = Round {
            farm: &farm,
            settings,
            day: name.day,
            worms: &worms(&farm),
        };
        let stops = round.stops(name.rack.as_deref());
        Ok(Self { name, farm, stops })
    }
}

/// Returns the grams of worms in each bed by the book, where anybody knows.
pub fn worms(farm: &Farm) -> BTreeMap<LotId, u64> {
    let known = lives(farm).into_iter().filter_map(|(bed, life)| {
        let grams = u64::try_from(life.worms_now()?).ok()?;
        (grams > 0).then_some((bed, grams))
    });
    known.collect()
}
