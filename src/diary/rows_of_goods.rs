//! Stored lines of lots: deliveries, sievings, blends, tests, counts, what is thrown out, holds.
//!
//! Promises never to change what is written; a later version may add. What a delivery or a batch is stands under
//! `sort`, because `kind` is the kind of the entry.

use jiff::civil::Date;

use super::error::DiaryError;
use super::pieces::{BedLine, DrawLine, PickLine, bed, code, list, mark, new_lot, unbed, unlist};
use super::rows::row;
use super::values::{AmountLine, FoundLine, Text};
use super::wire::{WireError, need};
use super::words::{Ink, Reader, WordRef};
use crate::farm::{
    Amount, BatchKind, BedName, BinCode, Clears, DeliveryFacts, DeliveryKind, Draw, Event, Found,
    HaySprayed, HeatTreated, HoldStep, LotCode, Mark, Meant, NewLot, Reach, Sieved, TestFacts,
    Thrown as ThrownOut, Word,
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

row! {
    /// Something is found out about a lot.
    Test = "test" {
        "lab" lab: Box<str>,
        "lot" lot: Text<LotCode>,
        "method" method: Box<str>,
        "result" result: Box<str>,
        "test" test: Box<str>,
        "unit" unit: Box<str>,
        "value" value: Box<str>,
    }
}

impl Test {
    pub(super) fn of(lot: LotCode, facts: &TestFacts) -> Self {
        let facts = facts.clone();
        Self {
            lab: facts.lab,
            lot: Some(Text(lot)),
            method: facts.method,
            result: facts.result,
            test: Some(facts.test),
            unit: facts.unit,
            value: Some(facts.value),
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Test {
            lot: need(self.lot, "lot")?.0,
            facts: Box::new(TestFacts {
                test: need(self.test, "test")?,
                value: need(self.value, "value")?,
                unit: self.unit,
                method: self.method,
                lab: self.lab,
                result: self.result,
            }),
        })
    }
}

row! {
    /// What is really left of a lot is counted.
    Count = "count" {
        "found" found: FoundLine,
        "lot" lot: Text<LotCode>,
        "why" why: WordRef,
    }
}

impl Count {
    pub(super) fn of(
        lot: LotCode,
        found: Found,
        why: &Word,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        Ok(Self {
            found: Some(FoundLine(found)),
            lot: Some(Text(lot)),
            why: Some(ink.word(why)?),
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Count {
            lot: need(self.lot, "lot")?.0,
            found: need(self.found, "found")?.0,
            why: words.word(need(self.why, "why")?)?,
        })
    }
}

row! {
    /// Something is thrown out: some of a lot, packs, or a bed.
    Thrown = "thrown" {
        "bed" bed: Text<LotCode>,
        "bin" bin: Text<BinCode>,
        "draw" draw: DrawLine,
        "packs" packs: Vec<PickLine>,
        "why" why: WordRef,
    }
}

impl Thrown {
    pub(super) fn of(
        what: &ThrownOut<Meant>,
        why: &Word,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let mut row = Self {
            why: Some(ink.word(why)?),
            ..Self::default()
        };
        match what {
            ThrownOut::Some(draw) => row.draw = Some(DrawLine::of(draw)),
            // Written though it be empty, because it tells which of the three was thrown out.
            ThrownOut::Packs(packs) => row.packs = Some(packs.iter().map(PickLine::of).collect()),
            ThrownOut::Bed(name) => {
                let (bed, bin) = bed(name, ink)?;
                (row.bed, row.bin) = (Some(bed), bin);
            }
        }
        Ok(row)
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        let what = match (self.draw, self.packs, self.bed) {
            (Some(draw), None, None) => ThrownOut::Some(draw.read()?),
            (None, Some(packs), None) => ThrownOut::Packs(unlist(Some(packs), PickLine::read)?),
            (None, None, Some(bed)) => ThrownOut::Bed(unbed(bed, self.bin)),
            _ => return Err(WireError::Key { key: "draw" }),
        };
        Ok(Event::Thrown {
            what,
            why: words.word(need(self.why, "why")?)?,
        })
    }
}

row! {
    /// A lot is held, or let go.
    Hold = "hold" {
        "lot" lot: Text<LotCode>,
        "reach" reach: Text<Reach>,
        "reason" reason: WordRef,
        "state" state: Box<str>,
    }
}

impl Hold {
    pub(super) fn of(
        lot: LotCode,
        step: HoldStep,
        reason: &Word,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let (state, reach) = match step {
            HoldStep::Hold(reach) => ("hold", Some(Text(reach))),
            HoldStep::Release => ("release", None),
        };
        Ok(Self {
            lot: Some(Text(lot)),
            reach,
            reason: Some(ink.word(reason)?),
            state: Some(state.into()),
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        let step = match (self.state.as_deref(), self.reach) {
            (Some("hold"), Some(reach)) => HoldStep::Hold(reach.0),
            (Some("release"), None) => HoldStep::Release,
            _ => return Err(WireError::Key { key: "state" }),
        };
        Ok(Event::Hold {
            lot: need(self.lot, "lot")?.0,
            step,
            reason: words.word(need(self.reason, "reason")?)?,
        })
    }
}
