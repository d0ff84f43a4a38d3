//! Stored lines of goods that come in or are made: deliveries, sievings, blends.
//!
//! Promises never to change what is written; a later version may add. What a delivery or a batch is stands under
//! `sort`, because `kind` is the kind of the entry.

use jiff::civil::Date;

use super::error::{DiaryError, WireError};
use super::ink::Ink;
use super::pieces::{BedLine, DrawLine, code, list, mark, new_lot, unlist};
use super::rows::row;
use super::values::{AmountLine, Text};
use super::wire::need;
use super::words::{Reader, WordRef};
use crate::farm::{
    Amount, BatchKind, BedName, Clears, DeliveryFacts, DeliveryKind, Draw, Event, HaySprayed,
    HeatTreated, LotCode, Mark, Meant, NewLot, Sieved,
};

row! {
    /// A delivery comes in.
    Delivery = "delivery" {
        "age_days" age_days: u32,
        "amount" amount: AmountLine,
        "animal" animal: Box<str>,
        "certificate" certificate: Box<str>,
        "code" code: Text<LotCode>,
        "hay_from" hay_from: Box<str>,
        "hay_sprayed" hay_sprayed: Text<HaySprayed>,
        "heat_treated" heat_treated: Text<HeatTreated>,
        "kept_sample" kept_sample: Box<str>,
        "name" name: Box<str>,
        "origin" origin: Box<str>,
        "ref" mark: Text<Mark>,
        "said_by" said_by: WordRef,
        "said_on" said_on: Text<Date>,
        "sort" sort: Text<DeliveryKind>,
        "species" species: Box<str>,
        "supplier" supplier: WordRef,
        "supplier_lot" supplier_lot: Box<str>,
        "wormed_on" wormed_on: Text<Date>,
        "wormer" wormer: Box<str>,
    }
}

impl Delivery {
    pub(super) fn of(
        lot: &NewLot<Meant>,
        amount: Amount,
        facts: &DeliveryFacts,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let facts = facts.clone();
        Ok(Self {
            age_days: facts.age_days,
            amount: Some(AmountLine(amount)),
            animal: facts.animal,
            certificate: facts.certificate,
            code: code(lot),
            hay_from: facts.hay_from,
            hay_sprayed: facts.hay_sprayed.map(Text),
            heat_treated: facts.heat_treated.map(Text),
            kept_sample: facts.kept_sample,
            name: Some(facts.name),
            origin: facts.origin,
            mark: mark(lot),
            said_by: ink.maybe(facts.said_by.as_ref())?,
            said_on: facts.said_on.map(Text),
            sort: Some(Text(facts.kind)),
            species: facts.species,
            supplier: Some(ink.word(&facts.supplier)?),
            supplier_lot: facts.supplier_lot,
            wormed_on: facts.wormed_on.map(Text),
            wormer: facts.wormer,
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Delivery {
            lot: new_lot(self.code, self.mark)?,
            amount: need(self.amount, "amount")?.0,
            facts: Box::new(DeliveryFacts {
                kind: need(self.sort, "sort")?.0,
                name: need(self.name, "name")?,
                supplier: words.word(need(self.supplier, "supplier")?)?,
                supplier_lot: self.supplier_lot,
                species: self.species,
                animal: self.animal,
                origin: self.origin,
                age_days: self.age_days,
                heat_treated: self.heat_treated.map(|heat| heat.0),
                hay_from: self.hay_from,
                hay_sprayed: self.hay_sprayed.map(|hay| hay.0),
                wormer: self.wormer,
                wormed_on: self.wormed_on.map(|day| day.0),
                said_by: words.maybe(self.said_by)?,
                said_on: self.said_on.map(|day| day.0),
                kept_sample: self.kept_sample,
                certificate: self.certificate,
            }),
        })
    }
}

row! {
    /// Beds are sieved.
    Sieving = "sieving" {
        "amount" amount: AmountLine,
        "clears" clears: Vec<BedLine>,
        "clears_all" clears_all: bool,
        "code" code: Text<LotCode>,
        "from" from: Vec<BedLine>,
        "ref" mark: Text<Mark>,
        "sort" sort: Text<BatchKind>,
    }
}

impl Sieving {
    pub(super) fn of(
        lot: &NewLot<Meant>,
        kind: BatchKind,
        from: &[Sieved<Meant>],
        ink: &Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let from: Vec<BedLine> = from
            .iter()
            .map(|sieved| BedLine::of(sieved, ink))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            code: code(lot),
            from: Some(from).filter(|from| !from.is_empty()),
            mark: mark(lot),
            sort: Some(Text(kind)),
            ..Self::default()
        })
    }

    /// Adds the amount of the whole row, and which beds end there.
    pub(super) fn clears(
        self,
        whole: Option<Amount>,
        clears: &Clears<Meant>,
        ink: &Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let (clears, clears_all) = match clears {
            Clears::All => (None, Some(true)),
            Clears::Named(beds) => {
                let bare = |bed: &BedName<LotCode>| Sieved {
                    bed: *bed,
                    amount: None,
                };
                let beds: Vec<BedLine> = beds
                    .iter()
                    .map(|bed| BedLine::of(&bare(bed), ink))
                    .collect::<Result<_, _>>()?;
                (Some(beds).filter(|beds| !beds.is_empty()), None)
            }
        };
        Ok(Self {
            amount: whole.map(AmountLine),
            clears,
            clears_all,
            ..self
        })
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        let clears = match (self.clears_all, self.clears) {
            (Some(true), None) => Clears::All,
            (None, beds) => Clears::Named(unlist(beds, |bed| match bed.read() {
                Sieved { bed, amount: None } => Ok(bed),
                Sieved {
                    amount: Some(_), ..
                } => Err(WireError::Key { key: "clears" }),
            })?),
            _ => return Err(WireError::Key { key: "clears" }),
        };
        Ok(Event::Sieving {
            lot: new_lot(self.code, self.mark)?,
            kind: need(self.sort, "sort")?.0,
            from: unlist(self.from, |bed| Ok(bed.read()))?,
            whole: self.amount.map(|amount| amount.0),
            clears,
        })
    }
}

row! {
    /// Lots are put together.
    Blend = "blend" {
        "code" code: Text<LotCode>,
        "from" from: Vec<DrawLine>,
        "ref" mark: Text<Mark>,
        "sort" sort: Text<BatchKind>,
    }
}

impl Blend {
    pub(super) fn of(lot: &NewLot<Meant>, kind: BatchKind, from: &[Draw<Meant>]) -> Self {
        Self {
            code: code(lot),
            from: list(from, DrawLine::of),
            mark: mark(lot),
            sort: Some(Text(kind)),
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Blend {
            lot: new_lot(self.code, self.mark)?,
            kind: need(self.sort, "sort")?.0,
            from: unlist(self.from, DrawLine::read)?,
        })
    }
}
