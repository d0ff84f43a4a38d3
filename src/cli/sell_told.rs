//! Tells of packs just sold: which they are, which of them are past their best by, and whether older ones stand in store.

use jiff::civil::Date;

use crate::desk::permission_words::days_between;
use crate::desk::{mark_or_code, title};
use crate::farm::{Entry, Event, Farm, Fate, LotId, Recording};
use crate::trace::{Buyer, buyers, held, recalled};

use super::failure::Failure;
use super::out;
use super::phrase::count;
use super::table::{Set, Table};

/// Prints what was sold.
pub fn tell(recording: &Recording) -> Result<(), Failure> {
    let farm = &recording.farm;
    let sales = recording.entries().iter().zip(recording.before..);
    let text: String = sales
        .map(|(entry, place)| page(farm, entry, place))
        .collect();
    out::print(&text)
}

/// Returns what a person who sells should know, a line each.
pub fn warnings(recording: &Recording) -> Vec<String> {
    let farm = &recording.farm;
    let sales = recording.entries().iter().zip(recording.before..);
    let mut lines = Vec::new();
    for (entry, place) in sales {
        let day = entry.when.day();
        for run in sold_runs(farm, place) {
            lines.extend(past(farm, run, day));
            lines.extend(older(farm, run, day));
        }
    }
    lines
}

/// Returns the runs of which a sale took packs, oldest first.
fn sold_runs(farm: &Farm, place: usize) -> Vec<LotId> {
    let sold = |lot: &crate::farm::Lot| {
        let lines = lot.shelf.as_ref().map_or(&[][..], |shelf| shelf.lines());
        lines
            .iter()
            .any(|line| line.entry == place && line.fate == Fate::Sold)
    };
    let runs = farm.lots().filter(|(_, lot)| sold(lot));
    let mut runs: Vec<LotId> = runs.map(|(id, _)| id).collect();
    runs.sort_by_key(|id| (farm.lot(*id).when.earliest(), *id));
    runs
}

fn page(farm: &Farm, entry: &Entry, place: usize) -> String {
    let Some(Event::Sale { to, .. }) = &entry.event else {
        return String::new();
    };
    let runs = sold_runs(farm, place);
    // A sale is found by its own words, which no other entry shares.
    let sales = buyers(farm, &runs, None);
    let sale = sales.iter().find(|sale| std::ptr::eq(sale.to, &**to));
    let Some(sale) = sale else {
        return String::new();
    };
    let mut table = Table::new(&[
        ("", Set::Whole),
        ("", Set::Text),
        ("best by", Set::Whole),
        ("in store", Set::Number),
        ("", Set::Whole),
    ]);
    let mut all = 0;
    for run in runs {
        let (picks, many) = picks(sale, run);
        all += many;
        let lot = farm.lot(run);
        let name = mark_or_code(farm, run);
        let left = lot.shelf.as_ref().map_or(0, |shelf| shelf.in_store());
        table.row(vec![
            format!("{name} {picks}"),
            title(farm, run),
            farm.best_by(run)
                .map(|day| day.to_string())
                .unwrap_or_default(),
            left.to_string(),
            lot.code.to_string(),
        ]);
    }
    let to = match (&to.buyer, &to.market) {
        (Some(buyer), _) => format!("to {buyer}"),
        (None, Some(market)) => format!("at {market}"),
        (None, None) => String::new(),
    };
    format!(
        "{} sold {to}, {}\n{table}",
        count(all, "pack", "packs"),
        entry.when.day()
    )
}

/// Writes which packs of a run a sale took, and counts them.
fn picks(sale: &Buyer<'_>, run: LotId) -> (String, u64) {
    let ranges = sale.packs.iter().filter(|(of, _)| *of == run);
    let loose = sale.loose.iter().filter(|(of, _)| *of == run);
    let many = ranges.clone().map(|(_, range)| u64::from(range.count()));
    let many = many.sum::<u64>() + loose.clone().map(|(_, many)| u64::from(*many)).sum::<u64>();
    let ranges = ranges.map(|(_, range)| format!("#{range}"));
    let loose = loose.map(|(_, many)| format!("x{many}"));
    (ranges.chain(loose).collect::<Vec<_>>().join(" "), many)
}

fn past(farm: &Farm, run: LotId, day: Date) -> Option<String> {
    let best_by = farm.best_by(run).filter(|best_by| *best_by < day)?;
    let days = count(days_between(best_by, day).unsigned_abs(), "day", "days");
    let code = farm.lot(run).code;
    Some(format!(
        "{code} was best by {best_by}, {days} before it was sold"
    ))
}

/// Names the oldest run of the same product that was filled before and stands in store, good to sell.
fn older(farm: &Farm, run: LotId, day: Date) -> Option<String> {
    let (when, product) = (farm.lot(run).when, farm.product(run)?);
    let oldest = fit_to_sell(farm, &product.key, day).into_iter().next()?;
    let lot = farm.lot(oldest);
    if oldest == run || lot.when.latest() >= when.earliest() {
        return None;
    }
    let name = mark_or_code(farm, oldest);
    let left = lot.shelf.as_ref()?.in_store();
    let packs = count(left, "older pack stands", "older packs stand");
    Some(format!(
        "{packs} in store still: {name}, filled {}, before {}",
        lot.when.day(),
        farm.lot(run).code
    ))
}

/// Returns the runs of a product that stand in store on a day and are neither held, recalled nor past their best by,
/// oldest first.
pub fn fit_to_sell(farm: &Farm, product: &str, day: Date) -> Vec<LotId> {
    let (holds, recalls) = (held(farm), recalled(farm));
    let fits = |id: LotId| {
        let lot = farm.lot(id);
        farm.product(id).is_some_and(|of| *of.key == *product)
            && lot.shelf.as_ref().is_some_and(|shelf| shelf.in_store() > 0)
            && lot.when.day() <= day
            && farm.best_by(id).is_none_or(|best_by| day <= best_by)
            && !holds.contains_key(&id)
            && !recalls.contains_key(&id)
    };
    let mut runs: Vec<LotId> = farm
        .lots()
        .map(|(id, _)| id)
        .filter(|id| fits(*id))
        .collect();
    runs.sort_by_key(|id| (farm.lot(*id).when.earliest(), *id));
    runs
}
