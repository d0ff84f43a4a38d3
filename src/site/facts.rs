//! What a page says of the lot itself: what it is, when it was made, its tests.

use crate::farm::{Amount, Event, Farm, LotId, LotSort, PackKind};

use crate::trade::Bean;

use super::frame::Known;
use super::wording;

/// Returns what is known of a lot that anybody may know.
pub fn known(farm: &Farm, id: LotId) -> Vec<Known> {
    let lot = farm.lot(id);
    let mut known = Vec::new();
    match lot.sort {
        LotSort::Run(kind) => {
            known.extend(net(farm, id, kind));
            known.push(Known::on("Packed", lot.when.day()));
            known.extend(farm.best_by(id).map(|day| Known::on("Best by", day)));
            if kind == PackKind::Tub {
                known.extend(species(farm, id));
            }
        }
        LotSort::Delivery(_) => known.push(Known::of("Came in", wording::month(lot.when.day()))),
        LotSort::Bed => {
            known.extend(species(farm, id));
            known.push(Known::on("Bedded up", lot.when.day()));
            match lot.ended {
                Some(end) => known.push(Known::on("Ended", end.when.day())),
                None => known.push(Known::of("Now", "still running")),
            }
        }
        LotSort::Batch(_) => {
            known.push(Known::on("Made", lot.when.day()));
            known.extend(amount(farm, id));
        }
    }
    known
}

fn net(farm: &Farm, run: LotId, kind: PackKind) -> Option<Known> {
    let product = farm.product(run)?;
    Some(Known::of("Net", wording::quantity(product.net, kind)))
}

fn species(farm: &Farm, id: LotId) -> Option<Known> {
    farm.species(id)
        .map(|species| Known::of("Species", species))
}

fn amount(farm: &Farm, id: LotId) -> Option<Known> {
    // The kind of pack matters for pieces alone.
    let said = |quantity| wording::quantity(quantity, PackKind::Bag);
    match farm.made_amount(id)? {
        Amount::Weighed(quantity) => Some(Known::of("Amount", said(quantity))),
        Amount::Guess(quantity) => Some(Known::of("Amount", format!("about {}", said(quantity)))),
        Amount::Unknown => Some(Known::of("Amount", "not known")),
    }
}

/// A test, as a page shows it: neither the method nor who did it.
pub struct Test {
    /// What was tested.
    pub of: String,
    /// Which test.
    pub test: String,
    /// What it gave, with its unit.
    pub value: String,
    /// Pass, fail or another finding.
    pub result: Option<String>,
    /// The day.
    pub when: String,
}

/// Tests beyond so many are not listed; the latest are.
const TESTS: usize = 20;

/// Returns the tests of a lot and of the batches that went straight into it, the latest first.
pub fn tests(farm: &Farm, id: LotId) -> Vec<Test> {
    let inflows = farm
        .lot(id)
        .inflows
        .iter()
        .map(|flow| farm.flow(*flow).from);
    let mut lots: Vec<LotId> = inflows
        .filter(|from| matches!(farm.lot(*from).sort, LotSort::Batch(_)))
        .collect();
    lots.sort_unstable();
    lots.dedup();
    lots.insert(0, id);
    let mut found: Vec<(LotId, usize)> = lots
        .into_iter()
        .flat_map(|lot| farm.lot(lot).tests.iter().map(move |entry| (lot, *entry)))
        .collect();
    found.sort_by_key(|(_, entry)| {
        let when = farm.entries()[*entry].when;
        std::cmp::Reverse((when.earliest(), *entry))
    });
    found.truncate(TESTS);
    found
        .into_iter()
        .filter_map(|(lot, entry)| test(farm, id, lot, entry))
        .collect()
}

fn test(farm: &Farm, subject: LotId, lot: LotId, entry: usize) -> Option<Test> {
    let entry = &farm.entries()[entry];
    let Some(Event::Test { facts, .. }) = &entry.event else {
        return None;
    };
    let of = if lot == subject {
        "this lot".to_owned()
    } else {
        format!("{}, {}", wording::what(farm, lot), farm.lot(lot).code)
    };
    let unit = facts.unit.as_deref().unwrap_or_default();
    let value = match Bean::of(facts) {
        Some(bean) => bean.to_string(),
        None => format!("{} {unit}", facts.value).trim_end().to_owned(),
    };
    // A verdict that only repeats the value is said once.
    let result = facts
        .result
        .as_deref()
        .filter(|result| *result != &*facts.value);
    Some(Test {
        of,
        test: test_name(&facts.test),
        value,
        result: result.map(ToOwned::to_owned),
        when: wording::date(entry.when.day()),
    })
}

/// Returns a test's name for reading; those that castlot knows by a short word are spelled out.
fn test_name(test: &str) -> String {
    match test {
        "per_kg" => "Worms in a kilogram".to_owned(),
        "bean" => "Bean test for weedkiller".to_owned(),
        "density" => "Weight of a litre".to_owned(),
        other => wording::capital(other),
    }
}
