//! The round behind the sign-in: every bed of a rack, or of all, in walking order, with what is still open and what was
//! done today. A bed of which nothing is said stays open; nothing is taken for done.

use askama::Template;

use crate::farm::{LotId, Quantity, Unit};
use crate::trade::{Stop, lot_name};

use super::answer_boxes::{BOXES, Boxes, WHYS};
use super::card::{Card, apart};
use super::frame::{Frame, Worker};
use super::in_use::InUse;
use super::today::Rack;

/// A round, as a list to walk.
#[derive(Template)]
#[template(path = "shed/round.html")]
pub struct RoundPage<'a> {
    frame: Frame,
    worker: &'a Worker,
    rack: Option<&'a str>,
    day: String,
    racks: Vec<&'a str>,
    in_use: InUse,
    stops: Vec<Line>,
    buckets: Vec<Bucket>,
    done: usize,
    total: usize,
    open: usize,
    next: Option<String>,
    rows_of_boxes: &'static [Boxes],
    whys: &'static [&'static str],
}

/// What the open beds get of one feed.
struct Bucket {
    line: String,
    /// Whether less than that is left.
    is_short: bool,
}

/// A bed of the list.
struct Line {
    card: Card,
    place: String,
    /// Whether somebody should go to it.
    is_open: bool,
    /// Whether somebody was there today and nothing is open.
    is_done: bool,
}

impl<'a> RoundPage<'a> {
    /// Makes the round of one rack or of all; none where nothing stands on the rack.
    pub fn of(
        all: Rack<'a>,
        rack: Option<&'a str>,
        in_use: InUse,
        worker: &'a Worker,
    ) -> Option<Self> {
        let racks = racks(all);
        if rack.is_some_and(|rack| !racks.contains(&rack)) {
            return None;
        }
        let here = |stop: &&Stop| rack.is_none_or(|rack| rack_of(stop) == Some(rack));
        let stops: Vec<&Stop> = all.today.stops.iter().filter(here).collect();
        let lines: Vec<Line> = stops
            .iter()
            .map(|stop| Line::of(all, stop, &in_use))
            .collect();
        let open = lines.iter().filter(|line| line.is_open).count();
        let done = lines.iter().filter(|line| line.is_done).count();
        let title = rack.map_or_else(|| "Round".to_owned(), |rack| format!("Rack {rack}"));
        Some(Self {
            frame: worker.frame(&all.settings.name, title),
            worker,
            rack,
            day: crate::farm::phrase::date(all.today.day),
            racks: if rack.is_none() { racks } else { Vec::new() },
            buckets: buckets(all, &stops, &in_use),
            in_use,
            done,
            open,
            total: open + done,
            next: lines
                .iter()
                .find(|line| line.is_open)
                .map(|line| line.card.bin.clone()),
            stops: lines,
            rows_of_boxes: &BOXES,
            whys: &WHYS,
        })
    }
}

impl Line {
    fn of(rack: Rack<'_>, stop: &Stop, in_use: &InUse) -> Self {
        let is_open = stop.is_due();
        let place = stop.place.as_ref();
        Self {
            card: Card::of(rack, stop, in_use),
            place: place.map_or_else(|| "no place noted".to_owned(), ToString::to_string),
            is_open,
            is_done: !is_open && rack.was_visited(stop),
        }
    }
}

fn rack_of(stop: &Stop) -> Option<&str> {
    stop.place.as_ref().map(|place| place.rack())
}

/// Returns the racks in walking order: those with an empty bin on them too.
fn racks(all: Rack<'_>) -> Vec<&str> {
    let mut racks = Vec::new();
    for bin in all.farm.walking_order() {
        let standing = all.farm.bins()[&bin].standing.as_ref();
        if let Some(rack) = standing.map(|standing| standing.place.rack())
            && racks.last() != Some(&rack)
        {
            racks.push(rack);
        }
    }
    racks
}

/// Adds up what the open beds get of each feed, and how much of it there is: what one takes along.
fn buckets(all: Rack<'_>, stops: &[&Stop], in_use: &InUse) -> Vec<Bucket> {
    let mut wanted: Vec<(LotId, u64)> = Vec::new();
    for stop in stops.iter().filter(|stop| stop.is_due()) {
        let (lot, amount) = (in_use.lot.or(stop.give.lot), stop.give.amount);
        let (Some(lot), Some(amount)) = (lot, amount) else {
            continue;
        };
        if amount.unit() != Unit::Grams {
            continue;
        }
        match wanted.iter_mut().find(|(known, _)| *known == lot) {
            Some((_, sum)) => *sum = sum.saturating_add(amount.value()),
            None => wanted.push((lot, amount.value())),
        }
    }
    let lines = wanted.into_iter().map(|(lot, grams)| {
        let wanted = Quantity::new(grams, Unit::Grams);
        let left = all.farm.lot(lot).stock.left();
        let is_short = left.is_some_and(|left| left.value() < grams);
        let only = if is_short { "only " } else { "" };
        let left = left.map_or_else(
            || "nobody knows how much is left".to_owned(),
            |left| format!("{only}{left} is left"),
        );
        let name = lot_name(all.farm, lot);
        let line = format!("To take along: {wanted} of {name}; {left}");
        Bucket {
            line: apart(&line),
            is_short,
        }
    });
    lines.collect()
}
