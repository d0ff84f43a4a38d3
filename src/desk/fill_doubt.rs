//! A slip in a number, seen at once: packs just filled with far less, or far more, than they declare.

use crate::farm::{Entry, Event, Farm, LotId, Quantity};
use crate::trace::{Filling, filling};

use super::called::called_in_list;
use crate::farm::phrase::count;

/// Scales differ by five parts in a hundred; less than this many of what is declared is another matter.
const LEAST_PER_CENT: i64 = 95;
/// Nobody fills packs twice over.
const MOST_PER_CENT: i64 = 200;

/// Says it of the runs that entries fill, a line each; nothing where no test turns what was put in.
pub fn words(farm: &Farm, entries: &[Entry]) -> Vec<String> {
    let packed = entries
        .iter()
        .filter(|entry| matches!(entry.event, Some(Event::Pack { .. })));
    let runs = packed.filter_map(|entry| farm.lot_of(entry.made()?));
    runs.filter_map(|run| word(farm, run)).collect()
}

fn word(farm: &Farm, run: LotId) -> Option<String> {
    let filling = filling(farm, run).filter(|filling| filling.unknown.is_empty())?;
    let Filling {
        put_in, sold_as, ..
    } = filling;
    let per_cent = put_in.saturating_mul(100);
    let fits = sold_as.saturating_mul(LEAST_PER_CENT) <= per_cent
        && per_cent <= sold_as.saturating_mul(MOST_PER_CENT);
    if fits {
        return None;
    }
    let net = farm.product(run)?.net;
    let made = farm.lot(run).shelf.as_ref()?.made();
    let amount = |value: i64| Quantity::new(u64::try_from(value).unwrap_or(0), filling.unit);
    let guess = if filling.guessed { "~" } else { "" };
    let are = if made == 1 { "is" } else { "are" };
    Some(format!(
        "{}: {guess}{} went in, and {} of {net} {are} {}; look at the amounts again",
        called_in_list(farm, run),
        amount(put_in),
        count(made, "pack", "packs"),
        amount(sold_as)
    ))
}
