//! What is drawn from lots and from shelves, and whether there was so much.

use super::amount::{Amount, Quantity, Unit};
use super::code::LotCode;
use super::entry::{Draw, Found};
use super::facts::converted;
use super::flow::{Class, Flow, Much, Recount};
use super::fold::{Fold, Site};
use super::lot::{LotId, LotSort};
use super::moment::Moment;
use super::naming::Meant;
use super::packs::{PackPick, SerialRange, Which};
use super::refusal::Refusal;
use super::warning::Warning;

/// Scales differ: so many hundredths of a lot may be drawn before it is refused.
pub(super) const MOST_DRAWN_PER_CENT: u128 = 105;

/// What has been taken and is on its way.
#[derive(Clone, Copy)]
pub(super) struct Taken {
    pub from: LotId,
    pub class: Class,
    pub much: Much,
    pub packs: Option<SerialRange>,
}

impl Taken {
    /// Returns how much of it there is, where it was an amount.
    fn amount(self) -> Amount {
        match self.much {
            Much::Amount(amount) | Much::Divided(amount) => amount,
            Much::Portion(_) | Much::All => Amount::Unknown,
        }
    }

    /// Makes the flow of it.
    pub(super) fn to(self, to: Option<LotId>, site: Site) -> Flow {
        let Self {
            from,
            class,
            much,
            packs,
        } = self;
        Flow {
            entry: site.entry,
            when: site.when,
            from,
            to,
            class,
            much,
            packs,
        }
    }
}

impl Fold {
    /// Takes everything a row lists into a lot; returns what was taken.
    pub(super) fn take_all(
        &mut self,
        site: Site,
        draws: &[Draw<Meant>],
        to: LotId,
        despite: Option<&str>,
    ) -> Vec<Taken> {
        let may_despite = matches!(self.farm.lot(to).sort, LotSort::Run(_));
        let mut all = Vec::new();
        for draw in draws {
            let Some(taken) = self.take(site, draw) else {
                continue;
            };
            self.refuse_held(site, taken.from, despite, may_despite);
            self.flow(taken.to(Some(to), site));
            all.push(taken);
        }
        all
    }

    pub(super) fn blend(&mut self, site: Site, code: LotCode, from: &[Draw<Meant>]) {
        let Some(batch) = self.farm.lot_of(code) else {
            return;
        };
        let taken = self.take_all(site, from, batch, None);
        let amount = self.blended(&taken, site.when);
        self.bear(code, amount);
        let unit = self.unit_of_all(&taken);
        let stock = &mut self.farm.lots[batch.index()].stock;
        stock.unit = stock.unit.or(unit);
    }

    /// Returns the unit that a blend is kept in: that of its sources, grams where they differ.
    fn unit_of_all(&self, taken: &[Taken]) -> Option<Unit> {
        let kept = taken.iter().filter_map(|taken| {
            let own = self.farm.lot(taken.from).stock.unit;
            own.or_else(|| taken.amount().quantity().map(Quantity::unit))
        });
        kept.reduce(|a, b| if a == b { a } else { Unit::Grams })
    }

    /// Returns what a blend holds: the sum, in grams where the units differ.
    fn blended(&self, taken: &[Taken], when: Moment) -> Amount {
        let amounts: Vec<Amount> = taken.iter().map(|taken| taken.amount()).collect();
        let plain = super::beds::sum(&amounts);
        if plain != Amount::Unknown {
            return plain;
        }
        let grams: Vec<Amount> = taken
            .iter()
            .zip(&amounts)
            .map(|(taken, amount)| self.in_grams(taken.from, *amount, when))
            .collect();
        super::beds::sum(&grams)
    }

    /// Returns an amount in grams: a litre without a density counts as a kilogram, as in the mass balance.
    fn in_grams(&self, id: LotId, amount: Amount, when: Moment) -> Amount {
        let Some(quantity) = amount.quantity() else {
            return Amount::Unknown;
        };
        match (
            quantity.unit(),
            self.turned(id, quantity, Unit::Grams, when),
        ) {
            (Unit::Grams, _) => amount,
            (_, Some(grams)) => Amount::Guess(grams),
            (Unit::Millilitres, None) => {
                Amount::Guess(Quantity::new(quantity.value(), Unit::Grams))
            }
            (Unit::Pieces, None) => Amount::Unknown,
        }
    }

    /// Takes one draw from its lot.
    pub(super) fn take(&mut self, site: Site, draw: &Draw<Meant>) -> Option<Taken> {
        let from = self.find_lot(site, draw.lot)?;
        let sort = self.farm.lot(from).sort;
        if sort == LotSort::Bed {
            let wanted = "a delivery, a batch or packs (a bed is sieved, split or tipped)";
            self.fault(
                site.entry,
                Refusal::WrongSort {
                    code: draw.lot,
                    is: sort.word(),
                    wanted,
                },
            );
            return None;
        }
        if let LotSort::Run(_) = sort {
            return Some(self.open_packs(site, from, draw));
        }
        let amount = self.in_own_unit(site, from, draw.amount);
        let pieces = self.farm.lot(from).stock.unit == Some(Unit::Pieces);
        self.subtract(site, from, amount);
        Some(Taken {
            from,
            class: Class::of_draw(sort, pieces),
            much: Much::Amount(amount),
            packs: None,
        })
    }

    fn open_packs(&mut self, site: Site, from: LotId, draw: &Draw<Meant>) -> Taken {
        if let Some(range) = draw.packs {
            let pick = PackPick {
                run: draw.lot,
                which: Which::Serials(range),
            };
            self.open_packs_of(site, from, &pick);
        }
        Taken {
            from,
            class: Class::Whole,
            much: Much::Amount(draw.amount),
            packs: draw.packs,
        }
    }

    /// Returns an amount in the lot's own unit; a guess where a test turned it, unknown where none could.
    fn in_own_unit(&mut self, site: Site, from: LotId, amount: Amount) -> Amount {
        let Some((quantity, own)) = amount.quantity().zip(self.farm.lot(from).stock.unit) else {
            return amount;
        };
        if quantity.unit() == own {
            return amount;
        }
        if let Some(turned) = self.turned(from, quantity, own, site.when) {
            return Amount::Guess(turned);
        }
        let pieces = own == Unit::Pieces || quantity.unit() == Unit::Pieces;
        let test = if pieces { "per_kg" } else { "density" };
        let code = self.farm.lot(from).code;
        self.warn(
            site.entry,
            Warning::NoRate {
                code,
                test,
                wanted: quantity,
            },
        );
        Amount::Unknown
    }

    /// Turns a quantity of a lot into another unit by its tests.
    fn turned(&self, id: LotId, quantity: Quantity, to: Unit, when: Moment) -> Option<Quantity> {
        let lot = self.farm.lot(id);
        match (quantity.unit(), to) {
            (Unit::Millilitres, Unit::Grams) => converted(quantity, lot.density(when)?, to, true),
            (Unit::Grams, Unit::Millilitres) => converted(quantity, lot.density(when)?, to, false),
            (Unit::Grams, Unit::Pieces) => converted(quantity, lot.per_kg(when)?, to, true),
            (Unit::Pieces, Unit::Grams) => converted(quantity, lot.per_kg(when)?, to, false),
            (Unit::Millilitres, Unit::Pieces) | (Unit::Pieces, Unit::Millilitres) => None,
            (Unit::Grams, Unit::Grams)
            | (Unit::Millilitres, Unit::Millilitres)
            | (Unit::Pieces, Unit::Pieces) => Some(quantity),
        }
    }

    /// Draws from a lot's stock, in its own unit.
    fn subtract(&mut self, site: Site, from: LotId, amount: Amount) {
        let lot = &mut self.farm.lots[from.index()];
        let (code, left) = (lot.code, lot.stock.left());
        lot.stock.sure &= amount.is_weighed();
        let Some(wanted) = amount.quantity() else {
            return;
        };
        lot.stock.drawn = lot.stock.drawn.saturating_add(wanted.value());
        let (Some(left), Some(had)) = (left, lot.stock.had) else {
            return;
        };
        let (drawn, sure) = (u128::from(lot.stock.drawn), lot.stock.sure);
        if sure && drawn * 100 > u128::from(had) * MOST_DRAWN_PER_CENT {
            self.fault(site.entry, Refusal::TooMuch { code, left, wanted });
        } else if drawn > u128::from(had) {
            self.warn(site.entry, Warning::MoreThanLeft { code, left, wanted });
        }
    }

    /// Refuses the use of a lot that is held, or that a hold elsewhere reaches, unless a reason is given and may be.
    pub(super) fn refuse_held(
        &mut self,
        site: Site,
        id: LotId,
        despite: Option<&str>,
        may_despite: bool,
    ) {
        let Some(stop) = self.farm.stop(id) else {
            return;
        };
        let (code, since) = (self.farm.lot(id).code, stop.hold.since);
        let origin = self.farm.lot(stop.origin).code;
        match despite {
            Some(why) => self.warn(
                site.entry,
                Warning::Despite {
                    code,
                    why: why.to_owned(),
                },
            ),
            None if origin == code => self.fault(
                site.entry,
                Refusal::Held {
                    code,
                    since,
                    may_despite,
                },
            ),
            None => self.fault(
                site.entry,
                Refusal::HeldFor {
                    code,
                    origin,
                    since,
                    may_despite,
                },
            ),
        }
    }

    /// Sets what is really left of a lot.
    pub(super) fn count(&mut self, site: Site, code: LotCode, found: Found) {
        let Some(id) = self.find_lot(site, code) else {
            return;
        };
        match self.farm.lot(id).sort {
            LotSort::Bed => {
                let wanted = "a delivery, a batch or a pack run";
                self.fault(
                    site.entry,
                    Refusal::WrongSort {
                        code,
                        is: "bed",
                        wanted,
                    },
                );
            }
            LotSort::Run(_) => {
                let packs = match found {
                    Found::Nothing => Some(0),
                    Found::Some(amount) => amount
                        .quantity()
                        .and_then(|q| u32::try_from(q.value()).ok()),
                };
                if let (Some(shelf), Some(packs)) = (&mut self.farm.lots[id.index()].shelf, packs) {
                    shelf.recount(packs);
                }
            }
            LotSort::Delivery(_) | LotSort::Batch(_) => self.count_stuff(site, id, found),
        }
    }

    fn count_stuff(&mut self, site: Site, id: LotId, found: Found) {
        let unit = self.farm.lot(id).stock.unit;
        let found = match found {
            Found::Nothing => Amount::Weighed(Quantity::new(0, unit.unwrap_or(Unit::Grams))),
            Found::Some(amount) => self.in_own_unit(site, id, amount),
        };
        let stock = &mut self.farm.lots[id.index()].stock;
        let (left, now) = (stock.left(), found.quantity());
        if let (Some(left), Some(now)) = (left, now) {
            stock.lost += i64::try_from(left.value()).unwrap_or(i64::MAX)
                - i64::try_from(now.value()).unwrap_or(i64::MAX);
        }
        stock.unit = now.map(Quantity::unit).or(stock.unit);
        stock.had = now.map(Quantity::value);
        stock.drawn = 0;
        stock.sure = found.is_weighed();
        self.farm.recounts.push(Recount {
            after: self.farm.flows.len(),
            lot: id,
            found,
        });
    }
}
