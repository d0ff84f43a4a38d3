//! Which past cycles a bed in use goes by: those of its own species, or of the whole farm, or the rule of thumb.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{BinCode, Farm, LotId};
use crate::trace::{Cycle, Life, cycles};
use crate::trade::{FEW, Past, Species, practice};

use crate::farm::phrase::count;

/// What past cycles are gone by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// So many of the same species.
    Species(usize),
    /// So many of all species: there are too few of its own.
    Farm(usize),
    /// None: there are too few.
    Practice,
}

/// The beds of one species, and the past they go by.
pub struct Herd {
    /// The species, in Latin where castlot knows it; none where nobody noted it.
    pub species: Option<String>,
    /// How many days past cycles took.
    pub days: Vec<u32>,
    /// What they are.
    pub basis: Basis,
    /// Past cycles of which everything is known.
    pub past: Vec<Past>,
    /// What those are.
    pub yields: Basis,
}

impl Herd {
    /// Tells whether its past tells of worms: the rule of thumb does not.
    pub fn tells_of_worms(&self) -> bool {
        self.yields != Basis::Practice
    }
}

/// A bed with worms that is in use.
pub struct InUse {
    /// The bed.
    pub bed: LotId,
    /// The bin it is in.
    pub bin: BinCode,
    /// Which herd it belongs to.
    pub herd: usize,
    /// For how many days it has been running.
    pub age: u32,
}

/// The herds of a farm, and its beds in use.
pub struct Herds {
    /// By species.
    pub herds: Vec<Herd>,
    /// In walking order.
    pub beds: Vec<InUse>,
    /// Beds in use that never had worms put in: hatcheries and heaps.
    pub without_worms: Vec<BinCode>,
}

impl Basis {
    /// Returns the word for it in `--json`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Species(_) => "species",
            Self::Farm(_) => "farm",
            Self::Practice => "common practice",
        }
    }

    /// Returns how many cycles it is.
    pub fn cycles(self) -> usize {
        match self {
            Self::Species(cycles) | Self::Farm(cycles) => cycles,
            Self::Practice => 0,
        }
    }

    /// Says what it is, after "from".
    pub fn told(self) -> String {
        match self {
            Self::Species(cycles) => count(cycles, "past cycle", "past cycles"),
            Self::Farm(cycles) => {
                let cycles = count(cycles, "past cycle", "past cycles");
                format!("{cycles} of all species")
            }
            Self::Practice => {
                format!(
                    "three to four weeks, common practice: there are fewer than {FEW} past cycles"
                )
            }
        }
    }
}

/// Returns a bed's species, in Latin where castlot knows it.
pub fn species_of(farm: &Farm, bed: LotId) -> Option<String> {
    let noted = farm.species(bed)?;
    Some(Species::named(noted).map_or_else(|| noted.to_owned(), |known| known.latin.to_owned()))
}

/// Sorts beds and past cycles, up to a day, by species.
pub fn herds(farm: &Farm, lives: &BTreeMap<LotId, Life>, today: Date) -> Herds {
    let over = cycles(farm, lives);
    let over: Vec<&Cycle> = over.iter().filter(|cycle| cycle.cleared <= today).collect();
    let (mut beds, mut without_worms) = (Vec::new(), Vec::new());
    let mut kinds: Vec<Option<String>> = Vec::new();
    for bin in farm.walking_order() {
        let Some(bed) = farm.bins()[&bin].bed else {
            continue;
        };
        let life = &lives[&bed];
        if !life.has_worms() {
            without_worms.push(bin);
            continue;
        }
        let species = species_of(farm, bed);
        let known = kinds.iter().position(|kind| *kind == species);
        let herd = known.unwrap_or_else(|| {
            kinds.push(species);
            kinds.len() - 1
        });
        let age = (today - life.since.day()).get_days();
        let age = u32::try_from(age).unwrap_or_default();
        beds.push(InUse {
            bed,
            bin,
            herd,
            age,
        });
    }
    let herds = kinds
        .into_iter()
        .map(|species| herd(farm, &over, species))
        .collect();
    Herds {
        herds,
        beds,
        without_worms,
    }
}

fn herd(farm: &Farm, over: &[&Cycle], species: Option<String>) -> Herd {
    let own: Vec<&Cycle> = over
        .iter()
        .copied()
        .filter(|cycle| species_of(farm, cycle.bed) == species)
        .collect();
    let known = |cycles: &[&Cycle]| -> Vec<Past> {
        cycles.iter().filter_map(|cycle| past_of(cycle)).collect()
    };
    let days = |cycles: &[&Cycle]| cycles.iter().map(|cycle| cycle.days()).collect();
    let thumb = practice();
    let (basis, days) = match (own.len(), over.len()) {
        (mine, _) if mine >= FEW => (Basis::Species(mine), days(&own)),
        (_, all) if all >= FEW => (Basis::Farm(all), days(over)),
        (_, _) => (
            Basis::Practice,
            thumb.iter().map(|past| past.days).collect(),
        ),
    };
    let (own, all) = (known(&own), known(over));
    let (yields, past) = match (own.len(), all.len()) {
        (mine, _) if mine >= FEW => (Basis::Species(mine), own),
        (_, farm) if farm >= FEW => (Basis::Farm(farm), all),
        (_, _) => (Basis::Practice, thumb),
    };
    Herd {
        species,
        days,
        basis,
        past,
        yields,
    }
}

/// Returns a cycle as the forecast takes it, where everything of it is known.
fn past_of(cycle: &Cycle) -> Option<Past> {
    // Grams of one bed: far below 2^53.
    Some(Past {
        days: cycle.days(),
        castings: cycle.castings? as f64,
        worms_in: cycle.worms_in? as f64,
        worms_out: cycle.worms_out? as f64,
    })
}
