//! What a lot is, as facts, and what stands next to it in the diary.

use crate::farm::{Event, Farm, LotId, LotSort};

use super::evidence::links;
use super::lot_words::called;
use super::paper::Paper;
use super::table::{Column, Table};
use super::wording::{at, days, numbers};
use crate::trace::{Relation, Way};

/// Returns the facts of a lot.
pub fn facts_of(farm: &Farm, id: LotId) -> Vec<(&'static str, String)> {
    let lot = farm.lot(id);
    let entry = &farm.entries()[lot.entry];
    let mut facts = vec![
        ("Lot", lot.code.to_string()),
        ("What it is", called(farm, id)),
        (
            made_word(lot.sort),
            format!("{} (entry {})", at(lot.when), entry.number),
        ),
    ];
    facts.extend(lot.made.map(|made| ("How much", made.to_string())));
    if let Some(shelf) = &lot.shelf {
        facts.push((
            "Packs",
            format!("{}, serials 1 to {}", shelf.made(), shelf.made()),
        ));
    }
    facts.extend(farm.best_by(id).map(|day| ("Best by", day.to_string())));
    facts.extend(of_delivery(farm, id));
    facts.extend(
        farm.species(id)
            .map(|species| ("Species", species.to_owned())),
    );
    let stays = lot.stays.iter().map(|stay| match stay.to {
        Some(to) => format!("{} from {} to {}", stay.bin, at(stay.from), at(to)),
        None => format!("{} since {}", stay.bin, at(stay.from)),
    });
    let stays: Vec<String> = stays.collect();
    if !stays.is_empty() {
        facts.push(("Stood in", stays.join("; ")));
    }
    facts.extend(lot.tests.iter().filter_map(|place| test(farm, *place)));
    if let Some(by) = &entry.by {
        facts.push(("Written by", by.to_string()));
    }
    facts
}

fn made_word(sort: LotSort) -> &'static str {
    match sort {
        LotSort::Delivery(_) => "Came",
        LotSort::Bed => "Bedded",
        LotSort::Batch(_) => "Made",
        LotSort::Run(_) => "Packed",
    }
}

/// What was said of a delivery when it came: the first things asked in a complaint.
fn of_delivery(farm: &Farm, id: LotId) -> Vec<(&'static str, String)> {
    let Some(facts) = farm.delivery(id) else {
        return Vec::new();
    };
    let text = |value: &Option<Box<str>>| value.as_deref().map(str::to_owned);
    let all = [
        ("Supplier", Some(facts.supplier.to_string())),
        ("Supplier's lot", text(&facts.supplier_lot)),
        ("Animal", text(&facts.animal)),
        ("Origin", text(&facts.origin)),
        (
            "Age when it came",
            facts.age_days.map(|days| format!("{days} days")),
        ),
        (
            "Heat treated",
            facts.heat_treated.map(|heat| heat.word().to_owned()),
        ),
        ("Hay from", text(&facts.hay_from)),
        (
            "Hay sprayed",
            facts.hay_sprayed.map(|said| said.word().to_owned()),
        ),
        ("Wormer", text(&facts.wormer)),
        ("Wormed on", facts.wormed_on.map(|day| day.to_string())),
        ("Said by", facts.said_by.as_ref().map(ToString::to_string)),
        ("Kept sample", text(&facts.kept_sample)),
        ("Certificate", text(&facts.certificate)),
    ];
    all.into_iter()
        .filter_map(|(name, value)| Some((name, value?)))
        .collect()
}

fn test(farm: &Farm, place: usize) -> Option<(&'static str, String)> {
    let entry = &farm.entries()[place];
    let Some(Event::Test { facts, .. }) = &entry.event else {
        return None;
    };
    let unit = facts
        .unit
        .as_deref()
        .map_or_else(String::new, |unit| format!(" {unit}"));
    let result = facts
        .result
        .as_deref()
        .map_or_else(String::new, |result| format!(", {result}"));
    let text = format!(
        "{} {}{unit}{result}, {} (entry {})",
        facts.test,
        facts.value,
        entry.when.day(),
        entry.number
    );
    Some(("Test", text))
}

/// Adds what went into a lot directly.
pub fn around(farm: &Farm, id: LotId, paper: &mut Paper) {
    let inflows = farm.lot(id).inflows.iter().map(|flow| Way {
        flow: *flow,
        from: farm.flow(*flow).from,
        to: id,
        relation: Relation::Part,
    });
    let links = links(farm, &inflows.collect::<Vec<_>>());
    if links.is_empty() {
        return;
    }
    let columns = [
        Column::code("lot"),
        Column::text("what went in"),
        Column::text("by"),
        Column::code("when"),
        Column::number("amount"),
        Column::text("entries"),
    ];
    let rows = links.iter().map(|link| {
        [
            farm.lot(link.from).code.to_string(),
            called(farm, link.from),
            link.nouns.iter().copied().collect::<Vec<_>>().join(", "),
            days(link.days.0, link.days.1),
            link.amount.clone(),
            numbers(link.entries.clone()),
        ]
    });
    paper.sub_heading("What it was made of on the farm, packaging with it");
    paper.table(rows.fold(Table::new(columns), Table::row));
}
