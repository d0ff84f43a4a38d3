//! What the packs of a run were found to hold: weighings, in the unit that the packs declare.
//!
//! With a tare, the values of a weighing are gross. Grams are turned into litres or pieces by the tests of what the run
//! was filled from, and are guesses then.

use std::collections::BTreeMap;

use super::amount::{Quantity, Unit};
use super::code::LotCode;
use super::entry::{EntryNumber, Event};
use super::farm::Farm;
use super::kinds::HoldStep;
use super::lot::{Hold, LotId};
use super::moment::Moment;
use super::tenths::Tenths;

/// What the reason of a hold begins with that castlot puts on a run for its fills.
///
/// What is weighed after such a hold counts alone: the run is taken to have been worked over.
pub const SHORT_FILLS: &str = "short fills";

/// What the packs of a run were found to hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fills {
    /// A value a pack, in the unit that the packs declare, in the order of recording.
    pub values: Vec<Tenths>,
    /// Whether values were turned into that unit by a test.
    pub turned: bool,
    /// How many values are in a unit that no test turns, or have such a tare.
    pub unread: usize,
    /// The weighings, by number and moment.
    pub weighings: Vec<(EntryNumber, Moment)>,
    /// The weighings before it was last held for its fills, which no longer count.
    pub before: usize,
}

impl Farm {
    /// Returns what the packs of a run were found to hold since it was last held for its fills; where nothing has been
    /// weighed since, what they were found to hold before.
    pub fn fills(&self, run: LotId) -> Fills {
        let code = self.lot(run).code;
        let rounds = self.rounds(|other| other == code).remove(&run);
        self.read(run, rounds.unwrap_or_default())
    }

    /// Returns the same of every run that was weighed, in the order of recording.
    pub fn all_fills(&self) -> Vec<(LotId, Fills)> {
        let rounds = self.rounds(|_| true).into_iter();
        rounds
            .map(|(run, rounds)| (run, self.read(run, rounds)))
            .collect()
    }

    /// Returns the weighings of the runs that are wanted, as places in `entries`, cut where a run was held for its fills.
    fn rounds(&self, wanted: impl Fn(LotCode) -> bool) -> BTreeMap<LotId, Vec<Vec<usize>>> {
        let mut rounds: BTreeMap<LotId, Vec<Vec<usize>>> = BTreeMap::new();
        let standing = self.entries.iter().zip(&self.struck).enumerate();
        for (place, (entry, _)) in standing.filter(|(_, (_, struck))| struck.is_none()) {
            match &entry.event {
                Some(Event::Weighing { run, .. }) if wanted(*run) => {
                    let Some(run) = self.lot_of(*run) else {
                        continue;
                    };
                    let all = rounds.entry(run).or_insert_with(|| vec![Vec::new()]);
                    all.last_mut().expect("there is a round").push(place);
                }
                Some(event @ Event::Hold { lot, .. }) if wanted(*lot) => {
                    let all = self.lot_of(*lot).and_then(|run| rounds.get_mut(&run));
                    if let Some(all) = all.filter(|_| is_short_hold(event, *lot)) {
                        all.push(Vec::new());
                    }
                }
                Some(_) | None => {}
            }
        }
        rounds
    }

    /// Returns the standing holds of a run that castlot put on for its fills, and the others.
    pub fn holds_for_fills(&self, run: LotId) -> (Vec<&Hold>, Vec<&Hold>) {
        let code = self.lot(run).code;
        let standing = self.lot(run).holds.iter();
        let standing = standing.filter(|hold| hold.released.is_none());
        standing.partition(|hold| {
            let event = self.entries[hold.entry].event.as_ref();
            event.is_some_and(|event| is_short_hold(event, code))
        })
    }

    fn read(&self, run: LotId, mut rounds: Vec<Vec<usize>>) -> Fills {
        // Until something is weighed after a hold, what led to it stands.
        rounds.retain(|round| !round.is_empty());
        let places = rounds.pop().unwrap_or_default();
        let mut fills = Fills {
            before: rounds.iter().map(Vec::len).sum(),
            ..Fills::default()
        };
        for place in places {
            let entry = &self.entries[place];
            let Some(Event::Weighing { values, tare, .. }) = &entry.event else {
                continue;
            };
            fills.weighings.push((entry.number, entry.when));
            for value in values {
                match self.fill(run, *value, *tare) {
                    Some((value, turned)) => {
                        fills.values.push(value);
                        fills.turned |= turned;
                    }
                    None => fills.unread += 1,
                }
            }
        }
        fills
    }

    /// Returns what one pack holds, in the unit declared, and whether a test turned it.
    fn fill(&self, run: LotId, value: Quantity, tare: Option<Quantity>) -> Option<(Tenths, bool)> {
        let declared = self.product(run)?.net.unit();
        let mut net = Tenths::of(value);
        if let Some(tare) = tare {
            if tare.unit() != value.unit() {
                return None;
            }
            net = net.less(Tenths::of(tare));
        }
        let turned = match (value.unit(), declared) {
            (Unit::Grams, Unit::Millilitres) => net.grams_to_millilitres(self.run_density(run)?),
            (Unit::Millilitres, Unit::Grams) => net.millilitres_to_grams(self.run_density(run)?),
            (Unit::Grams, Unit::Pieces) => net.grams_to_pieces(self.run_per_kg(run)?),
            (Unit::Grams, Unit::Grams)
            | (Unit::Millilitres, Unit::Millilitres)
            | (Unit::Pieces, Unit::Pieces) => return Some((net, false)),
            (Unit::Millilitres, Unit::Pieces) | (Unit::Pieces, Unit::Grams | Unit::Millilitres) => {
                return None;
            }
        };
        Some((turned, true))
    }
}

fn is_short_hold(event: &Event<super::naming::Meant>, code: LotCode) -> bool {
    match event {
        Event::Hold {
            lot,
            step: HoldStep::Hold(_),
            reason,
        } => {
            *lot == code
                && reason
                    .said()
                    .is_some_and(|why| why.starts_with(SHORT_FILLS))
        }
        _ => false,
    }
}
