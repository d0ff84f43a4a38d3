//! How many grams every flow moved, worked out for the whole farm in one pass, in the order of events.
//!
//! All lots count here, not only those a trace asks about: what a bed gave to a sieving of several beds hangs on
//! what the others held.

use crate::farm::{Amount, Class, Farm, Flow, LotId, LotSort, Moment, Much, Quantity, Unit};

/// A mass that may be unknown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Grams {
    Known(f64),
    Unknown,
}

impl Default for Grams {
    fn default() -> Self {
        Self::Known(0.0)
    }
}

impl Grams {
    /// Puts more in.
    pub(super) fn plus(self, more: Self) -> Self {
        match (self, more) {
            (Self::Known(mass), Self::Known(more)) => Self::Known(mass + more),
            (Self::Unknown, _) | (_, Self::Unknown) => Self::Unknown,
        }
    }

    /// Takes some out, never below nothing.
    pub(super) fn less(self, less: Self) -> Self {
        match (self, less) {
            (Self::Known(mass), Self::Known(less)) => Self::Known((mass - less).max(0.0)),
            (Self::Unknown, _) | (_, Self::Unknown) => Self::Unknown,
        }
    }
}

/// Returns, for every flow, the grams it moved; `None` for a flow that counts nothing.
pub(super) fn moved(farm: &Farm) -> Vec<Option<Grams>> {
    let flows = farm.flows();
    let mut masses = vec![Grams::default(); farm.lot_count()];
    let mut moved = Vec::with_capacity(flows.len());
    let mut recounts = farm.recounts().iter().peekable();
    for entry in flows.chunk_by(|a, b| a.entry == b.entry) {
        while let Some(recount) = recounts.next_if(|recount| recount.after <= moved.len()) {
            let found = grams(farm, recount.found, (recount.lot, None), entry[0].when);
            masses[recount.lot.index()] = found.unwrap_or(Grams::Unknown);
        }
        let start = moved.len();
        moved.extend(entry.iter().map(|flow| amount(farm, flow, entry, &masses)));
        for (flow, amount) in entry.iter().zip(&moved[start..]) {
            let Some(amount) = *amount else { continue };
            let from = &mut masses[flow.from.index()];
            *from = from.less(amount);
            if let Some(to) = flow.to {
                let to = &mut masses[to.index()];
                *to = to.plus(amount);
            }
        }
    }
    moved
}

fn amount(farm: &Farm, flow: &Flow, entry: &[Flow], masses: &[Grams]) -> Option<Grams> {
    match flow.class {
        Class::Live | Class::Touch => return None,
        Class::Bulk | Class::Whole => {}
    }
    let ends = (flow.from, flow.to);
    let mass = masses[flow.from.index()];
    match flow.much {
        Much::Amount(amount) => grams(farm, amount, ends, flow.when),
        Much::All => Some(mass),
        Much::Portion(share) => Some(match mass {
            Grams::Known(mass) => {
                Grams::Known(mass * f64::from(share.parts()) / f64::from(share.of()))
            }
            Grams::Unknown => Grams::Unknown,
        }),
        Much::Divided(whole) => {
            let whole = grams(farm, whole, ends, flow.when)?;
            let total = entry.iter().fold(Grams::default(), |sum, other| {
                sum.plus(masses[other.from.index()])
            });
            Some(divided(whole, mass, total))
        }
    }
}

/// Returns a bed's part of an amount that several beds gave together, by what each held; unknown where none held any.
fn divided(whole: Grams, mine: Grams, total: Grams) -> Grams {
    match (whole, mine, total) {
        (Grams::Known(whole), Grams::Known(mine), Grams::Known(total)) if total > 0.0 => {
            Grams::Known(whole * mine / total)
        }
        _ => Grams::Unknown,
    }
}

/// Returns an amount in grams; `None` for pieces, which count nothing.
///
/// What is sieved out of a bed has its density measured as a batch, so a bed's litres go by the batch's test.
pub(super) fn grams(
    farm: &Farm,
    amount: Amount,
    (from, to): (LotId, Option<LotId>),
    when: Moment,
) -> Option<Grams> {
    let Some(quantity) = amount.quantity() else {
        return Some(Grams::Unknown);
    };
    let value = whole(quantity);
    match quantity.unit() {
        Unit::Pieces => None,
        Unit::Grams => Some(Grams::Known(value)),
        Unit::Millilitres => {
            let lot = farm.lot(from);
            let is_bed = lot.sort == LotSort::Bed;
            let measured = if is_bed {
                to.map(|to| farm.lot(to))
            } else {
                Some(lot)
            };
            let density = measured.and_then(|lot| lot.density(when));
            // Thousandths of g/L times mL: a million to the gram.
            let turned = density.map(|rate| value * rate.thousandths() as f64 / 1e6);
            Some(Grams::Known(turned.unwrap_or(value)))
        }
    }
}

/// Returns a quantity as a float: whole units up to 10^12 are exact.
fn whole(quantity: Quantity) -> f64 {
    quantity.value() as f64
}
