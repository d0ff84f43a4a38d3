//! Stored lines of what is found and done about lots in store: tests, counts, what is thrown out, holds.
//!
//! Promises never to change what is written; a later version may add.

use super::error::{DiaryError, WireError};
use super::ink::Ink;
use super::pieces::{DrawLine, PickLine, bed, unbed, unlist};
use super::rows::row;
use super::values::{FoundLine, Text};
use super::wire::need;
use super::words::{Reader, WordRef};
use crate::farm::{
    BinCode, Event, Found, HoldStep, LotCode, Meant, Reach, TestFacts, Thrown as ThrownOut, Word,
};

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
