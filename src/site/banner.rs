//! What stands over a page when a lot is recalled or on hold, and what to do then.

use crate::farm::{LotSort, SerialRange};

use super::frame::Frame;
use super::standing::Standing;
use super::wording;

/// A notice that cannot be missed.
pub struct Banner {
    /// Its class.
    pub class: &'static str,
    /// The few words at its head.
    pub head: &'static str,
    /// What is the matter.
    pub matter: String,
    /// What to do.
    pub act: &'static str,
    /// Whom to ring.
    pub whom: String,
}

const PACK_RECALLED: &str = "Stop using it. Close the pack and keep it where children and animals cannot reach it. Do not tip it out, and do not give it away.";
const LOT_RECALLED: &str =
    "Take nothing from it: do not feed, bed, mix, pack or sell it, nor anything made of it.";
const PACK_HELD: &str = "If you have it, leave it closed and do not use it for now.";
const LOT_HELD: &str =
    "Take nothing from it: do not feed, bed, mix, pack or sell it until it is released.";

impl Banner {
    /// Returns the notice that a lot's page carries, if any.
    pub fn of(standing: &Standing, sort: LotSort, frame: &Frame<'_>) -> Option<Self> {
        let is_run = matches!(sort, LotSort::Run(_));
        let act = |pack, lot| if is_run { pack } else { lot };
        if let Some(recall) = &standing.recall {
            let since = wording::date(recall.since.day());
            let matter = if recall.only.is_empty() {
                format!("The farm has asked for this back since {since}.")
            } else {
                format!(
                    "The farm has asked for some packs of this run back since {since}: {}. The number stands after the slash in the code on the pack. If it cannot be read, take the pack for one of them.",
                    numbers(&recall.only)
                )
            };
            return Some(Self {
                class: "recall",
                head: if recall.only.is_empty() {
                    "Recalled"
                } else {
                    "Some packs are recalled"
                },
                matter,
                act: act(PACK_RECALLED, LOT_RECALLED),
                whom: frame.whom(),
            });
        }
        let since = standing.held?;
        Some(Self {
            class: "hold",
            head: "On hold",
            matter: format!(
                "The farm has held this back since {} while it looks into something.",
                wording::date(since.day())
            ),
            act: act(PACK_HELD, LOT_HELD),
            whom: frame.whom(),
        })
    }
}

/// Pieces of a list of serials beyond so many are not told one by one.
const PIECES: usize = 1_000;

/// Lists serials as they stand on packs: `0001 to 0012, 0015`. Where the pieces are too many to look through, it names
/// the first and the last, and so errs towards naming too much.
pub fn numbers(ranges: &[SerialRange]) -> String {
    let one = |range: &SerialRange| {
        if range.first() == range.last() {
            range.first().to_string()
        } else {
            format!("{} to {}", range.first(), range.last())
        }
    };
    if let ([first, ..], true) = (ranges, ranges.len() > PIECES) {
        let last = ranges.iter().map(|range| range.last()).max();
        let last = last.unwrap_or_else(|| first.last());
        return format!(
            "take every pack from {} to {last} for one of them",
            first.first()
        );
    }
    ranges.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Tells how a lot stands, in a sentence or two.
pub fn status(standing: &Standing) -> String {
    let closed = standing.closed.map(|closed| {
        let day = wording::date(closed.day());
        format!("A recall that reached it was closed on {day}. ")
    });
    let closed = closed.unwrap_or_default();
    let now = match (&standing.recall, standing.held) {
        (Some(recall), _) => {
            let since = wording::date(recall.since.day());
            let some = if recall.only.is_empty() {
                "Recalled"
            } else {
                "Some packs recalled"
            };
            format!("{some} since {since}.")
        }
        (None, Some(since)) => format!("On hold since {}.", wording::date(since.day())),
        (None, None) if standing.flagged.is_some() => {
            let since = standing.flagged.map(|since| wording::date(since.day()));
            format!(
                "Not held or recalled. A little of something that is on hold since {} may have been carried to it, as a film on worms or inside a bag.",
                since.unwrap_or_default()
            )
        }
        (None, None) if standing.closed.is_none() && !standing.released => {
            "No hold or recall is recorded.".to_owned()
        }
        (None, None) => "No hold or recall stands now.".to_owned(),
    };
    format!("{closed}{now}")
}
