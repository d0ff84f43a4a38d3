//! The labels that `castlot demo` prints: some of every kind, each on its sheet.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::farm::{BatchKind, Farm, LotId, LotSort, Settings};
use crate::label::{Conditions, Heading, Order, Places, Sheet, Subject, Templates, print};

use super::failure::Failure;
use super::label_pick::Picker;

/// So many runs of each product.
const RUNS: usize = 2;
/// So many deliveries and batches beside those that are held.
const LOTS: usize = 8;

/// Prints labels of a couple of runs of each product, tags of lots, and all bins and racks; files by their names.
pub fn demo_labels(farm: &Farm, settings: &Settings) -> Result<BTreeMap<String, Vec<u8>>, Failure> {
    let templates = Templates::default();
    let mut files = BTreeMap::new();
    for order in orders(farm, settings)? {
        let proofed = order.proof(farm, settings, &templates, &conditions(farm))?;
        for sheaf in proofed.to_print()? {
            let heading = Heading {
                title: format!("Labels of {}, {}", sheaf.what, settings.name),
                date: sheaf.date,
            };
            let bytes = print(
                &Places::all(sheaf.sheet),
                sheaf.labels.iter().map(Cow::Owned),
                &heading,
            )?;
            let name = format!("{}.{}.{}.pdf", sheaf.what, sheaf.template, sheaf.sheet);
            files.insert(name, bytes);
        }
    }
    Ok(files)
}

fn orders(farm: &Farm, settings: &Settings) -> Result<Vec<Order>, Failure> {
    let picker = Picker::new(farm, settings);
    let runs = saleable_runs(farm, settings);
    let mut orders: Vec<Order> = runs.iter().map(|run| order(vec![packs(*run)])).collect();
    orders.push(order(lots(farm, |sort| {
        matches!(sort, LotSort::Delivery(_))
    })));
    let castings = LotSort::Batch(BatchKind::Castings);
    orders.push(order(lots(farm, |sort| sort == castings)));
    orders.extend(held(farm).into_iter().flat_map(|lot| {
        [
            order(vec![Subject::Lot(lot)]),
            order(vec![Subject::Hold(lot)]),
        ]
    }));
    orders.push(order(picker.bins("all")?));
    orders.push(order(picker.racks("all")?));
    // One of each roll, as a thermal printer has them.
    let of_kind = |name: &str| runs.iter().find(|run| key(farm, **run) == Some(name));
    for (sheet, run) in [
        ("roll-100x150", runs.first()),
        ("roll-57x32", of_kind("tub50").or(runs.last())),
    ] {
        orders.extend(run.map(|run| Order {
            sheet: sheet.parse::<Sheet>().ok(),
            ..order(vec![packs(*run)])
        }));
    }
    Ok(orders)
}

/// Printed on the day of the newest entry, so that the same farm gives the same labels.
fn conditions(farm: &Farm) -> Conditions<'static> {
    let days = farm.entries().iter().map(|entry| entry.when.day());
    Conditions::on(days.max().unwrap_or_default())
}

fn order(subjects: Vec<Subject>) -> Order {
    Order {
        subjects,
        template: None,
        sheet: None,
    }
}

fn packs(run: LotId) -> Subject {
    Subject::Packs(run, None)
}

fn key(farm: &Farm, run: LotId) -> Option<&str> {
    farm.product(run).map(|product| &*product.key)
}

/// Returns the first runs of each product that may be sold.
fn saleable_runs(farm: &Farm, settings: &Settings) -> Vec<LotId> {
    let mut runs = Vec::new();
    for product in settings.products.keys() {
        let of_it = farm
            .lots()
            .filter(|(id, _)| key(farm, *id) == Some(product));
        let free = of_it.filter(|(id, _)| {
            let order = order(vec![packs(*id)]);
            let proofed = order.proof(farm, settings, &Templates::default(), &conditions(farm));
            proofed.is_ok_and(|proofed| proofed.proof().refused.is_empty())
        });
        runs.extend(free.take(RUNS).map(|(id, _)| id));
    }
    runs
}

fn lots(farm: &Farm, wanted: impl Fn(LotSort) -> bool) -> Vec<Subject> {
    let of_it = farm.lots().filter(|(_, lot)| wanted(lot.sort));
    of_it.take(LOTS).map(|(id, _)| Subject::Lot(id)).collect()
}

/// Returns the lots that are held themselves.
fn held(farm: &Farm) -> Vec<LotId> {
    let held = farm.lots().filter(|(_, lot)| lot.is_held());
    held.map(|(id, _)| id).collect()
}
