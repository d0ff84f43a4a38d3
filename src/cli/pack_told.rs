//! Tells of packs just filled: their serials and best by, what they were filled from, and what is left of it.

use crate::desk::{mark_or_code, title};
use crate::farm::{Farm, LotId, Much, Quantity, Recording, SerialRange, Unit};

use super::failure::Failure;
use super::out;
use super::phrase::count;
use super::stock::left;
use super::table::{Set, Table};

/// Prints what was packed.
pub fn tell(recording: &Recording) -> Result<(), Failure> {
    let farm = &recording.farm;
    let made = recording.entries().iter().filter_map(|entry| entry.made());
    let runs = made.filter_map(|code| farm.lot_of(code));
    let text: String = runs.map(|run| page(farm, run)).collect();
    out::print(&text)
}

fn page(farm: &Farm, run: LotId) -> String {
    let lot = farm.lot(run);
    let (Some(shelf), Some(product)) = (&lot.shelf, farm.product(run)) else {
        return String::new();
    };
    let serials = match shelf.made() {
        1 => "#1".to_owned(),
        made => format!("#1-{made}"),
    };
    let kind = product.kind.word();
    let packs = count(shelf.made(), kind, &format!("{kind}s"));
    let best_by = farm.best_by(run);
    let best_by = best_by.map_or_else(String::new, |day| format!(", best by {day}"));
    let name = mark_or_code(farm, run);
    format!(
        "{packs} of {}: {name} {serials}{best_by}\n{}",
        title(farm, run),
        sources(farm, run)
    )
}

/// Lists what went in, and what is left of each.
fn sources(farm: &Farm, run: LotId) -> String {
    let mut table = Table::new(&[
        ("from", Set::Whole),
        ("", Set::Text),
        ("taken", Set::Number),
        ("left", Set::Number),
        ("", Set::Whole),
    ]);
    for flow in &farm.lot(run).inflows {
        let flow = farm.flow(*flow);
        let taken = match flow.much {
            Much::Amount(amount) | Much::Divided(amount) => amount.to_string(),
            Much::Portion(_) | Much::All => String::new(),
        };
        table.row(vec![
            opened(farm, flow.from, flow.packs),
            title(farm, flow.from),
            taken,
            what_is_left(farm, flow.from),
            farm.lot(flow.from).code.to_string(),
        ]);
    }
    table.to_string()
}

/// Writes a lot's mark, and the packs of it that were opened.
fn opened(farm: &Farm, lot: LotId, packs: Option<SerialRange>) -> String {
    let name = mark_or_code(farm, lot);
    packs.map_or_else(|| name.clone(), |packs| format!("{name}/{packs}"))
}

/// Writes what is left of a lot: packs of a run, else its stuff, a guess marked.
fn what_is_left(farm: &Farm, id: LotId) -> String {
    let lot = farm.lot(id);
    if let Some(shelf) = &lot.shelf {
        return count(shelf.in_store(), "pack", "packs");
    }
    let guess = if lot.stock.is_sure() { "" } else { "~" };
    match left(farm, id) {
        Some(left) => {
            let left = Quantity::new(left, lot.stock.unit.unwrap_or(Unit::Grams));
            format!("{guess}{left}")
        }
        None => "?".to_owned(),
    }
}
