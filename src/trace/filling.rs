//! What was put into the packs of a run against what they are sold as: litres by measured density, worms by count.

use crate::farm::{
    Amount, Class, EntryNumber, Farm, Flow, LotId, LotSort, Much, PackKind, Quantity, Unit,
};

use super::books::whole;

/// What was put into a run's packs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filling {
    /// In what the packs are sold by.
    pub unit: Unit,
    /// Put in, in that unit.
    pub put_in: i64,
    /// What the packs are sold as: their number times what each holds.
    pub sold_as: i64,
    /// Draws that nothing turns into that unit, or of which nobody knows how much they were.
    pub unknown: Vec<EntryNumber>,
    /// Whether any of it was guessed or turned by a test.
    pub guessed: bool,
}

impl Filling {
    /// Returns what was put in beyond what the packs are sold as; negative where they were filled short.
    pub fn over(&self) -> i64 {
        self.put_in.saturating_sub(self.sold_as)
    }
}

/// Balances the filling of a run: castings and liquid for bags and bottles, worms for tubs.
pub fn filling(farm: &Farm, run: LotId) -> Option<Filling> {
    let lot = farm.lot(run);
    let LotSort::Run(kind) = lot.sort else {
        return None;
    };
    let (net, made) = (farm.product(run)?.net, lot.shelf.as_ref()?.made());
    let counts = |class| match kind {
        PackKind::Tub => matches!(class, Class::Live | Class::Whole),
        PackKind::Bag | PackKind::Bottle => matches!(class, Class::Bulk | Class::Whole),
    };
    let mut filling = Filling {
        unit: net.unit(),
        put_in: 0,
        sold_as: whole(net.value()).saturating_mul(i64::from(made)),
        unknown: Vec::new(),
        guessed: false,
    };
    for flow in lot.inflows.iter().map(|id| farm.flow(*id)) {
        if !counts(flow.class) {
            continue;
        }
        match turned(farm, flow, net.unit()) {
            Some((value, sure)) => {
                filling.put_in = filling.put_in.saturating_add(value);
                filling.guessed |= !sure;
            }
            None => filling.unknown.push(farm.entries()[flow.entry].number),
        }
    }
    Some(filling)
}

/// Turns what a flow moved into a unit by the tests of its source; the second tells whether it was weighed in it.
fn turned(farm: &Farm, flow: &Flow, to: Unit) -> Option<(i64, bool)> {
    let Much::Amount(amount) = flow.much else {
        return None;
    };
    let quantity = amount.quantity()?;
    if quantity.unit() == to {
        return Some((
            whole(quantity.value()),
            matches!(amount, Amount::Weighed(_)),
        ));
    }
    let lot = farm.lot(flow.from);
    let value = u128::from(quantity.value());
    let turned = match (quantity.unit(), to) {
        (Unit::Grams, Unit::Millilitres) => {
            value * 1_000_000 / u128::from(lot.density(flow.when)?.thousandths())
        }
        (Unit::Millilitres, Unit::Grams) => {
            value * u128::from(lot.density(flow.when)?.thousandths()) / 1_000_000
        }
        (Unit::Grams, Unit::Pieces) => {
            value * u128::from(lot.per_kg(flow.when)?.thousandths()) / 1_000_000
        }
        (Unit::Pieces, Unit::Grams) => {
            value * 1_000_000 / u128::from(lot.per_kg(flow.when)?.thousandths())
        }
        _ => return None,
    };
    let turned = Quantity::new(u64::try_from(turned).ok()?, to);
    Some((whole(turned.value()), false))
}
