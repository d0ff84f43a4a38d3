//! Reads what happens at the rack: bins, beds, feeds, skips, checks, splits, tips, moves and sievings.

use super::cell::{Cells, decimal, items, kind, whole};
use super::error::SheetError;
use super::read::Reader;
use crate::farm::{BatchKind, BinFacts, CheckFacts, Clears, Event, Place, Portion, Typed};

pub(super) fn bin(cells: &mut Cells) -> Option<Event<Typed>> {
    let bin = cells.must("bin", Reader::bin);
    let place = cells.must("place", |_, text| Ok(text.parse::<Place>()?));
    let facts = BinFacts {
        species: cells.plain("species"),
        length_mm: cells.may("length_mm", whole(1)),
        width_mm: cells.may("width_mm", whole(1)),
        depth_mm: cells.may("depth_mm", whole(1)),
        material: cells.plain("material"),
    };
    Some(Event::Bin {
        bin: bin?,
        place: place?,
        facts: Box::new(facts),
    })
}

pub(super) fn bed(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.new_lot();
    let bin = cells.must("bin", Reader::bin);
    let takes = cells.must_list("takes", Reader::draw);
    let species = cells.plain("species");
    Some(Event::Bed {
        lot,
        bin: bin?,
        takes: takes?,
        species,
    })
}

pub(super) fn feed(cells: &mut Cells) -> Option<Event<Typed>> {
    let bed = cells.must("bin", Reader::bed);
    let takes = cells.must_list("takes", Reader::draw);
    Some(Event::Feed {
        bed: bed?,
        takes: takes?,
    })
}

pub(super) fn skip(cells: &mut Cells) -> Option<Event<Typed>> {
    let bed = cells.must("bin", Reader::bed);
    let why = cells.must_word("why");
    Some(Event::Skip {
        bed: bed?,
        why: why?,
    })
}

pub(super) fn check(cells: &mut Cells) -> Option<Event<Typed>> {
    let bed = cells.must("bin", Reader::bed);
    let facts = CheckFacts {
        feed_left: cells.may("feed_left", kind),
        squeeze: cells.may("squeeze", kind),
        moisture: cells.may("moisture", decimal),
        temperature_c: cells.may("temperature_c", decimal),
        ph: cells.may("ph", decimal),
        worms: cells.plain("worms"),
        cocoons: cells.plain("cocoons"),
        smell: cells.plain("smell"),
        pests: cells.plain("pests"),
    };
    Some(Event::Check {
        bed: bed?,
        facts: Box::new(facts),
    })
}

pub(super) fn split(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.new_lot();
    let bed = cells.must("bin", Reader::bed);
    let share = cells.must("share", |_, text| Ok(text.parse::<Portion>()?));
    let to = cells.must("to_bin", Reader::bin);
    Some(Event::Split {
        bed: bed?,
        share: share?,
        to: to?,
        lot,
    })
}

pub(super) fn tip(cells: &mut Cells) -> Option<Event<Typed>> {
    let bed = cells.must("bin", Reader::bed);
    let to = cells.must("to_bin", Reader::tip_to);
    Some(Event::Tip { bed: bed?, to: to? })
}

pub(super) fn moved(cells: &mut Cells) -> Option<Event<Typed>> {
    let bin = cells.must("bin", Reader::bin);
    let place = cells.must("place", |_, text| Ok(text.parse::<Place>()?));
    Some(Event::Move {
        bin: bin?,
        place: place?,
    })
}

pub(super) fn sieving(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.new_lot();
    let kind = cells.must("kind", sieved_kind);
    let from = cells.must_list("from", Reader::sieved);
    let whole = cells.may("amount", Reader::amount);
    let clears = clears(cells);
    Some(Event::Sieving {
        lot,
        kind: kind?,
        from: from?,
        whole,
        clears: clears?,
    })
}

/// Reads a kind that a sieving yields.
fn sieved_kind(_: &Reader, text: &str) -> Result<BatchKind, SheetError> {
    let not_sieved = || SheetError::NotSieved {
        typed: text.to_owned(),
        known: BatchKind::ALL
            .iter()
            .filter(|kind| kind.is_sieved())
            .map(|kind| kind.word())
            .collect(),
    };
    let kind: BatchKind = text.parse().map_err(|_| not_sieved())?;
    if kind.is_sieved() {
        Ok(kind)
    } else {
        Err(not_sieved())
    }
}

fn clears(cells: &mut Cells) -> Option<Clears<Typed>> {
    let text = cells.text("clears").unwrap_or_default();
    if text.eq_ignore_ascii_case("all") {
        return Some(Clears::All);
    }
    if items(text).next().is_none() {
        return Some(Clears::Named(Vec::new()));
    }
    cells.list("clears", Reader::bed).map(Clears::Named)
}
