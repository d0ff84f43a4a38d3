//! From an entry, or from a draft, back to a row: the inverse of `read`.

use std::fmt::Display;

use super::names::{AsTyped, Codes, Names};
use super::row::Row;
use super::write_facts as facts;
use crate::farm::{
    Clears, Draft, Draw, Entry, Event, Farm, Found, HoldStep, Moment, Naming, NewLot, PackPick,
    Sieved, Thrown, Word,
};

/// Returns an entry of a farm as a row, with codes; `None` where it only strikes another out.
pub fn row_of(farm: &Farm, entry: &Entry) -> Option<Row<'static>> {
    let event = entry.event.as_ref()?;
    let said = (entry.by.as_ref(), entry.note.as_ref());
    let mut row = row(entry.when, said, event, &mut Codes::of(farm, entry));
    name_complaint(&mut row, farm, entry);
    Some(row)
}

/// Writes the name of a complaint that was taken before complaints had names.
pub(super) fn name_complaint(row: &mut Row<'static>, farm: &Farm, entry: &Entry) {
    if let Some(name) = farm.complaint_name(entry.number) {
        put(row, "complaint", name);
    }
}

/// Returns a draft as a row, with names as they were typed.
pub fn row_of_draft(draft: &Draft) -> Row<'static> {
    let said = (draft.by.as_ref(), draft.note.as_ref());
    row(draft.when, said, &draft.event, &mut AsTyped)
}

/// Returns an event as a row; `said` is who wrote it, and the remark.
pub(super) fn row<N: Naming>(
    when: Moment,
    said: (Option<&Word>, Option<&Word>),
    event: &Event<N>,
    names: &mut impl Names<N>,
) -> Row<'static> {
    let mut row = Row::new(event.noun());
    put(&mut row, "when", when);
    some(&mut row, "by", said.0);
    some(&mut row, "note", said.1);
    if let Some(lot) = event.makes() {
        new_lot(&mut row, lot, names);
    }
    fill(&mut row, event, names);
    row
}

/// Puts a text into a column.
pub(super) fn put(row: &mut Row<'static>, column: &'static str, value: impl Display) {
    row.set(column, value.to_string())
        .expect("every event is written into columns of its own sheet");
}

/// Puts a text into a column, where there is one.
pub(super) fn some(row: &mut Row<'static>, column: &'static str, value: Option<impl Display>) {
    if let Some(value) = value {
        put(row, column, value);
    }
}

fn new_lot<N: Naming>(row: &mut Row<'static>, lot: &NewLot<N>, names: &mut impl Names<N>) {
    put(row, "code", names.made(&lot.code));
    some(row, "ref", lot.mark.as_ref());
}

fn fill<N: Naming>(row: &mut Row<'static>, event: &Event<N>, names: &mut impl Names<N>) {
    match event {
        Event::Bin { bin, place, facts } => {
            put(row, "bin", bin);
            put(row, "place", place);
            facts::bin(row, facts);
        }
        Event::Delivery { amount, facts, .. } => {
            put(row, "amount", amount);
            facts::delivery(row, facts);
        }
        Event::Bed {
            bin,
            takes,
            species,
            ..
        } => {
            put(row, "bin", bin);
            put(row, "takes", draws(takes, names));
            some(row, "species", species.as_ref());
        }
        Event::Feed { bed, takes } => {
            put(row, "bin", names.bed(bed));
            put(row, "takes", draws(takes, names));
        }
        Event::Skip { bed, why } => {
            put(row, "bin", names.bed(bed));
            put(row, "why", why);
        }
        Event::Check { bed, facts } => {
            put(row, "bin", names.bed(bed));
            facts::check(row, facts);
        }
        Event::Split { bed, share, to, .. } => {
            put(row, "bin", names.bed(bed));
            put(row, "share", share);
            put(row, "to_bin", to);
        }
        Event::Tip { bed, to } => {
            put(row, "bin", names.bed(bed));
            put(row, "to_bin", names.tip_to(to));
        }
        Event::Move { bin, place } => {
            put(row, "bin", bin);
            put(row, "place", place);
        }
        Event::Sieving {
            kind,
            from,
            whole,
            clears,
            ..
        } => {
            put(row, "kind", kind);
            put(row, "from", list(from, |one| sieved(one, names)));
            some(row, "amount", whole.as_ref());
            put(row, "clears", cleared(clears, names));
        }
        Event::Blend { kind, from, .. } => {
            put(row, "kind", kind);
            put(row, "from", draws(from, names));
        }
        Event::Test { lot, facts } => {
            put(row, "lot", names.lot(lot));
            facts::test(row, facts);
        }
        Event::Pack {
            product,
            count,
            from,
            best_by,
            despite,
            ..
        } => {
            put(row, "product", &product.key);
            put(row, "count", count);
            put(row, "from", draws(from, names));
            some(row, "best_by", best_by.as_ref());
            some(row, "despite", despite.as_ref());
        }
        Event::Weighing { .. }
        | Event::Sale { .. }
        | Event::Return { .. }
        | Event::Count { .. }
        | Event::Thrown { .. }
        | Event::Complaint { .. }
        | Event::Settlement { .. }
        | Event::Hold { .. }
        | Event::Recall { .. }
        | Event::Print { .. } => fill_shop(row, event, names),
    }
}

/// Fills the rows of packs and of what is said of lots.
fn fill_shop<N: Naming>(row: &mut Row<'static>, event: &Event<N>, names: &mut impl Names<N>) {
    match event {
        Event::Weighing { run, values, tare } => {
            put(row, "run", names.lot(run));
            put(row, "values", list(values, ToString::to_string));
            some(row, "tare", tare.as_ref());
        }
        Event::Sale { packs, to, despite } => {
            put(row, "packs", picks(packs, names));
            facts::sale(row, to);
            some(row, "despite", despite.as_ref());
        }
        Event::Return {
            packs,
            state,
            buyer,
            market,
        } => {
            put(row, "packs", picks(packs, names));
            put(row, "state", state);
            some(row, "buyer", buyer.as_ref());
            some(row, "market", market.as_ref());
        }
        Event::Count { lot, found, why } => {
            put(row, "lot", names.lot(lot));
            match found {
                Found::Nothing => put(row, "found", 0),
                Found::Some(amount) => put(row, "found", amount),
            }
            put(row, "why", why);
        }
        Event::Thrown { what, why } => {
            put(row, "what", thrown(what, names));
            put(row, "why", why);
        }
        Event::Complaint { pack, facts } => {
            let serial = |run: String, serial| match serial {
                Some(serial) => format!("{run}/{serial}"),
                None => run,
            };
            let pack = pack
                .as_ref()
                .map(|pack| serial(names.lot(&pack.run), pack.serial));
            some(row, "pack", pack);
            facts::complaint(row, facts);
        }
        Event::Settlement { complaint, why } => {
            put(row, "complaint", complaint);
            put(row, "why", why);
        }
        Event::Hold { lot, step, reason } => {
            put(row, "lot", names.lot(lot));
            match step {
                HoldStep::Hold(reach) => {
                    put(row, "state", "hold");
                    put(row, "reach", reach);
                }
                HoldStep::Release => put(row, "state", "release"),
            }
            put(row, "reason", reason);
        }
        Event::Recall {
            recall,
            step,
            lots,
            packs,
            buyer,
            why,
        } => {
            put(row, "recall", recall);
            put(row, "step", step);
            put(row, "lots", list(lots, |lot| names.lot(lot)));
            put(row, "packs", picks(packs, names));
            some(row, "buyer", buyer.as_ref());
            some(row, "why", why.as_ref());
        }
        Event::Print { packs, facts } => {
            put(row, "packs", picks(packs, names));
            facts::print(row, facts);
        }
        Event::Bin { .. }
        | Event::Delivery { .. }
        | Event::Bed { .. }
        | Event::Feed { .. }
        | Event::Skip { .. }
        | Event::Check { .. }
        | Event::Split { .. }
        | Event::Tip { .. }
        | Event::Move { .. }
        | Event::Sieving { .. }
        | Event::Blend { .. }
        | Event::Test { .. }
        | Event::Pack { .. } => {}
    }
}

fn list<T>(all: &[T], one: impl FnMut(&T) -> String) -> String {
    all.iter().map(one).collect::<Vec<_>>().join("; ")
}

fn draws<N: Naming>(all: &[Draw<N>], names: &mut impl Names<N>) -> String {
    list(all, |one| draw(one, names))
}

fn draw<N: Naming>(draw: &Draw<N>, names: &mut impl Names<N>) -> String {
    let lot = names.lot(&draw.lot);
    match draw.packs {
        Some(range) => format!("{lot}/{range} {}", draw.amount),
        None => format!("{lot} {}", draw.amount),
    }
}

fn picks<N: Naming>(all: &[PackPick<N>], names: &mut impl Names<N>) -> String {
    list(all, |pick| {
        format!("{} {}", names.lot(&pick.run), pick.which)
    })
}

fn sieved<N: Naming>(sieved: &Sieved<N>, names: &mut impl Names<N>) -> String {
    let bed = names.bed(&sieved.bed);
    match sieved.amount {
        Some(amount) => format!("{bed} {amount}"),
        None => bed,
    }
}

fn cleared<N: Naming>(clears: &Clears<N>, names: &mut impl Names<N>) -> String {
    match clears {
        Clears::All => "all".to_owned(),
        Clears::Named(beds) => list(beds, |bed| names.bed(bed)),
    }
}

fn thrown<N: Naming>(what: &Thrown<N>, names: &mut impl Names<N>) -> String {
    match what {
        Thrown::Some(some) => draw(some, names),
        Thrown::Packs(packs) => picks(packs, names),
        Thrown::Bed(bed) => names.bed(bed),
    }
}
