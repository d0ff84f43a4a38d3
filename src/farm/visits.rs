//! What was done at each bed: its last feeds, and the last looks at it.

use rustc_hash::FxHashMap;

use super::code::LotCode;
use super::entry::Event;
use super::farm::Farm;
use super::lot::LotId;
use super::naming::BedName;

/// So many of the last feeds are kept.
const FEEDS: usize = 3;

/// The last visits to a bed, each as its entry's place in `Farm::entries`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Visits {
    /// The last three feeds, the newest first.
    pub feeds: Vec<usize>,
    /// The last check.
    pub checked: Option<usize>,
    /// The last check that says how much food was left.
    pub left: Option<usize>,
    /// The last check that says how warm it was.
    pub warmth: Option<usize>,
    /// The last time it was passed over.
    pub skipped: Option<usize>,
}

impl Farm {
    /// Returns the last visits to every bed that had any.
    pub fn visits(&self) -> FxHashMap<LotId, Visits> {
        let mut all: FxHashMap<LotId, Visits> = FxHashMap::default();
        for place in self.order() {
            let event = self.entries()[*place].event.as_ref();
            let (Some(event), Some(bed)) = (event, event.and_then(visited)) else {
                continue;
            };
            let Some(id) = self.lot_of(bed) else { continue };
            let visits = all.entry(id).or_default();
            match event {
                Event::Feed { .. } => {
                    visits.feeds.insert(0, *place);
                    visits.feeds.truncate(FEEDS);
                }
                Event::Skip { .. } => visits.skipped = Some(*place),
                Event::Check { facts, .. } => {
                    visits.checked = Some(*place);
                    if facts.feed_left.is_some() {
                        visits.left = Some(*place);
                    }
                    if facts.temperature_c.is_some() {
                        visits.warmth = Some(*place);
                    }
                }
                _ => {}
            }
        }
        all
    }
}

/// Returns the bed that an event is a visit to.
fn visited<N: super::naming::Naming<Lot = LotCode>>(event: &Event<N>) -> Option<LotCode> {
    let (Event::Feed { bed, .. } | Event::Skip { bed, .. } | Event::Check { bed, .. }) = event
    else {
        return None;
    };
    match bed {
        BedName::Bin(_) => None,
        BedName::Bed(code) | BedName::Found { bed: code, .. } => Some(*code),
    }
}
