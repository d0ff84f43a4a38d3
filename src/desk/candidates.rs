//! From half a code, a place and a time to the lots that may be meant, each with why.

use crate::farm::{Farm, LotId, LotSort, Serial};

use super::find_sale::best_sale;
use super::half_code::HalfCode;
use super::period::{Near, Period};

/// What is looked for.
pub struct Wanted {
    /// A piece of a code.
    pub code: Option<HalfCode>,
    /// Where it was bought, or who bought it.
    pub bought: Option<String>,
    /// About when.
    pub about: Option<Period>,
}

/// What was found.
pub struct Found {
    /// How many things were asked.
    pub asked: usize,
    /// The lots that fit the most of them, the best first.
    pub candidates: Vec<Candidate>,
}

/// A lot that may be meant.
#[derive(Debug)]
pub struct Candidate {
    /// The lot.
    pub lot: LotId,
    /// The pack, where a serial was given that the run has.
    pub serial: Option<Serial>,
    /// How many of the things asked it fits.
    pub fits: usize,
    /// Why it may be the one, a line each.
    pub why: Vec<String>,
    /// How well the code fits by itself; 0 where none was asked for or it does not.
    strength: u32,
    rank: Rank,
}

/// What candidates are sorted by: those that fit more first, then runs, then by how well, then the newest.
type Rank = (std::cmp::Reverse<usize>, bool, std::cmp::Reverse<u32>, i64);

/// Returns the lots that fit the most of what is asked, the best first.
pub fn found(farm: &Farm, wanted: &Wanted) -> Found {
    let asked = [
        wanted.code.is_some(),
        wanted.bought.is_some(),
        wanted.about.is_some(),
    ];
    let asked = asked.into_iter().filter(|asked| *asked).count();
    let weigh = |id| weighed(farm, wanted, id);
    let mut candidates: Vec<Candidate> = farm.lots().filter_map(|(id, _)| weigh(id)).collect();
    let best = candidates.iter().map(|c| c.fits).max().unwrap_or_default();
    candidates.retain(|candidate| candidate.fits == best);
    // A slip in the code counts only where no lot has the code as it was given.
    let well = candidates
        .iter()
        .map(|c| c.strength)
        .max()
        .unwrap_or_default();
    if wanted.code.is_some() && well > SLIP {
        candidates.retain(|candidate| candidate.strength > SLIP);
    }
    // Alone, a short piece is within a slip of half the farm.
    let short = wanted.code.as_ref().is_some_and(HalfCode::is_short);
    if asked == 1 && short {
        candidates.retain(|candidate| candidate.strength > SLIP);
    }
    candidates.sort_by_key(|candidate| candidate.rank);
    Found { asked, candidates }
}

/// How well a code with a slip in it fits.
const SLIP: u32 = 1;

fn weighed(farm: &Farm, wanted: &Wanted, id: LotId) -> Option<Candidate> {
    let lot = farm.lot(id);
    let (mut why, mut fits, mut well, mut strength) = (Vec::new(), 0, 0, 0);
    let code = wanted.code.as_ref().and_then(|half| half.fits(lot));
    if let Some((by_code, reason)) = code {
        (fits, well, strength) = (1, by_code, by_code);
        why.push(reason);
    }
    if let Some(sale) = best_sale(farm, wanted, lot) {
        fits += usize::from(sale.place) + usize::from(sale.near.is_some());
        well += match sale.near {
            Some(Near::Within) => 2,
            Some(Near::Days(_)) => 1,
            None => 0,
        };
        why.push(sale.reason);
    }
    if fits == 0 {
        return None;
    }
    let serial = wanted.code.as_ref().and_then(|half| half.serial);
    let known = |serial: &Serial| {
        lot.shelf
            .as_ref()
            .is_some_and(|s| s.fate(*serial).is_some())
    };
    let is_run = matches!(lot.sort, LotSort::Run(_));
    let newest = -lot.when.latest();
    Some(Candidate {
        lot: id,
        serial: serial.filter(known),
        fits,
        why,
        strength,
        rank: (
            std::cmp::Reverse(fits),
            !is_run,
            std::cmp::Reverse(well),
            newest,
        ),
    })
}
