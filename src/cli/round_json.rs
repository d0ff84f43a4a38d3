//! A round as one JSON object.
//!
//! `round` (its name), `day`, `rack` (null of all racks), and `beds`, in walking order, each with `bin`, `place`, `code`,
//! `ref`, `species`, `since`, `days`, `feeds` (the last three, the newest first: `when` and `takes`), `left` (`when` and
//! `feed_left`, or null), `warmth` (degrees Celsius of the bed, or else of its rack, or null), `every_days`, `due` (`feed`,
//! `look` or `not yet`), `why`, `next` (the day it is due, or null where it is), `give` (`lot`, `ref`, `amount`, and
//! `most` in grams; each null where nobody knows) and `held`.

use serde::Serialize;

use crate::farm::{Event, Farm};
use crate::trace::held;
use crate::trade::{Due, Stop};

use super::out;
use crate::desk::round::Drawn;

#[derive(Debug, Serialize)]
struct Round {
    round: String,
    day: String,
    rack: Option<String>,
    beds: Vec<Bed>,
}

#[derive(Debug, Serialize)]
struct Bed {
    bin: String,
    place: Option<String>,
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    species: Option<String>,
    since: String,
    days: i32,
    feeds: Vec<Fed>,
    left: Option<Left>,
    warmth: Option<f64>,
    every_days: u32,
    due: &'static str,
    why: String,
    next: Option<String>,
    give: Give,
    held: bool,
}

#[derive(Debug, Serialize)]
struct Fed {
    when: String,
    takes: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Left {
    when: String,
    feed_left: &'static str,
}

#[derive(Debug, Serialize)]
struct Give {
    lot: Option<String>,
    #[serde(rename = "ref")]
    mark: Option<String>,
    amount: Option<String>,
    most: Option<u64>,
}

/// Writes a round.
pub fn text(drawn: &Drawn) -> String {
    let holds = held(&drawn.farm);
    let beds = drawn.stops.iter();
    let beds = beds.map(|stop| bed(&drawn.farm, stop, holds.contains_key(&stop.bed)));
    out::json(&Round {
        round: drawn.name.to_string(),
        day: drawn.name.day.to_string(),
        rack: drawn.name.rack.clone(),
        beds: beds.collect(),
    })
}

fn bed(farm: &Farm, stop: &Stop, held: bool) -> Bed {
    let lot = farm.lot(stop.bed);
    let (due, next) = match &stop.due {
        Due::Feed { .. } => ("feed", None),
        Due::Look { .. } => ("look", None),
        Due::NotYet { next, .. } => ("not yet", Some(next.to_string())),
    };
    let given = stop.give.lot.map(|lot| farm.lot(lot));
    Bed {
        bin: stop.bin.to_string(),
        place: stop.place.as_ref().map(ToString::to_string),
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        species: stop.species.clone(),
        since: stop.since.to_string(),
        days: stop.days,
        feeds: stop
            .visits
            .feeds
            .iter()
            .filter_map(|place| fed(farm, *place))
            .collect(),
        left: stop.left.map(|(left, on)| Left {
            when: on.to_string(),
            feed_left: left.word(),
        }),
        warmth: stop.warmth,
        every_days: stop.every_days,
        due,
        why: stop.why(),
        next,
        give: Give {
            lot: given.map(|lot| lot.code.to_string()),
            mark: given
                .and_then(|lot| lot.mark.as_ref())
                .map(ToString::to_string),
            amount: stop.give.amount.map(|amount| amount.to_string()),
            most: stop.give.most,
        },
        held,
    }
}

fn fed(farm: &Farm, place: usize) -> Option<Fed> {
    let entry = &farm.entries()[place];
    let Some(Event::Feed { takes, .. }) = &entry.event else {
        return None;
    };
    let takes = takes
        .iter()
        .map(|draw| format!("{} {}", draw.lot, draw.amount));
    Some(Fed {
        when: entry.when.to_string(),
        takes: takes.collect(),
    })
}
