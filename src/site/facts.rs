//! What a page says of the lot itself: what it is, when it was made, its tests.

use crate::farm::{Event, LotId, LotSort, PackKind, Word};

use crate::trade::Bean;

use super::frame::Known;
use super::shown::Shown;
use super::wording;

/// Returns what is known of a lot that anybody may know.
pub fn known(shown: Shown<'_>, id: LotId) -> Vec<Known> {
    let lot = shown.farm.lot(id);
    let species = || {
        shown
            .species(id)
            .map(|species| Known::of("Species", species))
    };
    let mut known = Vec::new();
    match lot.sort {
        LotSort::Run(kind) => {
            let product = shown.farm.product(id);
            let net = product.map(|product| wording::quantity(product.net, kind));
            known.extend(net.map(|net| Known::of("Net", net)));
            known.push(Known::on("Packed", lot.when.day()));
            known.extend(shown.best_by(id).map(|day| Known::on("Best by", day)));
            if kind == PackKind::Tub {
                known.extend(species());
            }
        }
        LotSort::Delivery(_) => {
            let month = shown.months(id, id);
            known.extend(month.map(|month| Known::of("Came in", month)));
        }
        LotSort::Bed => {
            known.extend(species());
            known.push(Known::on("Bedded up", lot.when.day()));
            match lot.ended {
                Some(end) => known.push(Known::on("Ended", end.when.day())),
                None => known.push(Known::of("Now", "still running")),
            }
        }
        LotSort::Batch(_) => {
            known.push(Known::on("Made", lot.when.day()));
            known.extend(shown.amount(id).map(|amount| Known::of("Amount", amount)));
        }
    }
    known
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

/// Returns the tests of a lot and of the batches that went straight into it, the latest first; one whose words name who
/// did it is left out.
pub fn tests(shown: Shown<'_>, id: LotId) -> Vec<Test> {
    let farm = shown.farm;
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
        .filter_map(|(lot, entry)| test(shown, id, (lot, entry)))
        .collect()
}

fn test(shown: Shown<'_>, subject: LotId, (lot, entry): (LotId, usize)) -> Option<Test> {
    let farm = shown.farm;
    let entry = &farm.entries()[entry];
    let Some(Event::Test { facts, .. }) = &entry.event else {
        return None;
    };
    let names = [entry.by.as_ref().and_then(Word::said), facts.lab.as_deref()];
    let typed = [
        Some(&*facts.test),
        Some(&*facts.value),
        facts.unit.as_deref(),
        facts.result.as_deref(),
    ];
    let typed = || typed.into_iter().flatten();
    let names_whom = |name| typed().any(|text| wording::names_whom(text, name));
    if names.into_iter().flatten().any(names_whom) {
        return None;
    }
    let of = if lot == subject {
        "this lot".to_owned()
    } else {
        format!("{}, {}", shown.what(lot), farm.lot(lot).code)
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
