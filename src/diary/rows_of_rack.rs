//! Stored lines of what is done at the rack: bins, beds, feeds, checks, splits, tips, moves, sievings.
//!
//! Promises never to change what is written; a later version may add.

use super::error::{DiaryError, WireError};
use super::ink::Ink;
use super::pieces::{BedAt, DrawLine, ShareLine, bed, code, list, mark, new_lot, unbed, unlist};
use super::rows::row;
use super::values::Text;
use super::wire::need;
use super::words::{Reader, WordRef};
use crate::farm::{
    BedName, BinCode, BinFacts, CheckFacts, Draw, Event, FeedLeft, LotCode, Mark, Meant, NewLot,
    Place, Portion, Squeeze, TipTo, Word,
};

row! {
    /// A bin is set up.
    Bin = "bin" {
        "bin" bin: Text<BinCode>,
        "depth_mm" depth_mm: u32,
        "length_mm" length_mm: u32,
        "material" material: Box<str>,
        "place" place: Text<Place>,
        "species" species: Box<str>,
        "width_mm" width_mm: u32,
    }
}

impl Bin {
    pub(super) fn of(bin: BinCode, place: &Place, facts: &BinFacts) -> Self {
        let facts = facts.clone();
        Self {
            bin: Some(Text(bin)),
            depth_mm: facts.depth_mm,
            length_mm: facts.length_mm,
            material: facts.material,
            place: Some(Text(place.clone())),
            species: facts.species,
            width_mm: facts.width_mm,
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Bin {
            bin: need(self.bin, "bin")?.0,
            place: need(self.place, "place")?.0,
            facts: Box::new(BinFacts {
                species: self.species,
                length_mm: self.length_mm,
                width_mm: self.width_mm,
                depth_mm: self.depth_mm,
                material: self.material,
            }),
        })
    }
}

row! {
    /// A bed is made up.
    Bed = "bed" {
        "bin" bin: Text<BinCode>,
        "code" code: Text<LotCode>,
        "ref" mark: Text<Mark>,
        "species" species: Box<str>,
        "takes" takes: Vec<DrawLine>,
    }
}

impl Bed {
    pub(super) fn of(
        lot: &NewLot<Meant>,
        bin: BinCode,
        takes: &[Draw<Meant>],
        species: Option<&str>,
    ) -> Self {
        Self {
            bin: Some(Text(bin)),
            code: code(lot),
            mark: mark(lot),
            species: species.map(Into::into),
            takes: list(takes, DrawLine::of),
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Bed {
            lot: new_lot(self.code, self.mark)?,
            bin: need(self.bin, "bin")?.0,
            takes: unlist(self.takes, DrawLine::read)?,
            species: self.species,
        })
    }
}

row! {
    /// A bed is fed.
    Feed = "feed" {
        "bed" bed: Text<LotCode>,
        "bin" bin: Text<BinCode>,
        "takes" takes: Vec<DrawLine>,
    }
}

impl Feed {
    pub(super) fn of(
        name: &BedName<LotCode>,
        takes: &[Draw<Meant>],
        ink: &Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let (bed, bin) = bed(name, ink)?;
        Ok(Self {
            bed: Some(bed),
            bin,
            takes: list(takes, DrawLine::of),
        })
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Feed {
            bed: unbed(need(self.bed, "bed")?, self.bin),
            takes: unlist(self.takes, DrawLine::read)?,
        })
    }
}

row! {
    /// A bed is passed over.
    Skip = "skip" {
        "bed" bed: Text<LotCode>,
        "bin" bin: Text<BinCode>,
        "why" why: WordRef,
    }
}

impl Skip {
    pub(super) fn of(
        name: &BedName<LotCode>,
        why: &Word,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let (bed, bin) = bed(name, ink)?;
        Ok(Self {
            bed: Some(bed),
            bin,
            why: Some(ink.word(why)?),
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Skip {
            bed: unbed(need(self.bed, "bed")?, self.bin),
            why: words.word(need(self.why, "why")?)?,
        })
    }
}

row! {
    /// A bed is looked at.
    Check = "check" {
        "bed" bed: Text<LotCode>,
        "bin" bin: Text<BinCode>,
        "cocoons" cocoons: Box<str>,
        "feed_left" feed_left: Text<FeedLeft>,
        "moisture" moisture: Box<str>,
        "pests" pests: Box<str>,
        "ph" ph: Box<str>,
        "smell" smell: Box<str>,
        "squeeze" squeeze: Text<Squeeze>,
        "temperature_c" temperature_c: Box<str>,
        "worms" worms: Box<str>,
    }
}

impl Check {
    pub(super) fn of(
        name: &BedName<LotCode>,
        facts: &CheckFacts,
        ink: &Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let (bed, bin) = bed(name, ink)?;
        let facts = facts.clone();
        Ok(Self {
            bed: Some(bed),
            bin,
            cocoons: facts.cocoons,
            feed_left: facts.feed_left.map(Text),
            moisture: facts.moisture,
            pests: facts.pests,
            ph: facts.ph,
            smell: facts.smell,
            squeeze: facts.squeeze.map(Text),
            temperature_c: facts.temperature_c,
            worms: facts.worms,
        })
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Check {
            bed: unbed(need(self.bed, "bed")?, self.bin),
            facts: Box::new(CheckFacts {
                feed_left: self.feed_left.map(|left| left.0),
                squeeze: self.squeeze.map(|squeeze| squeeze.0),
                moisture: self.moisture,
                temperature_c: self.temperature_c,
                ph: self.ph,
                worms: self.worms,
                cocoons: self.cocoons,
                smell: self.smell,
                pests: self.pests,
            }),
        })
    }
}

row! {
    /// A share of a bed is made into a new one.
    Split = "split" {
        "bed" bed: Text<LotCode>,
        "bin" bin: Text<BinCode>,
        "code" code: Text<LotCode>,
        "ref" mark: Text<Mark>,
        "share" share: ShareLine,
        "to_bin" to_bin: Text<BinCode>,
    }
}

impl Split {
    pub(super) fn of(from: BedAt, share: Portion, to: BinCode, lot: &NewLot<Meant>) -> Self {
        Self {
            bed: Some(from.0),
            bin: from.1,
            code: code(lot),
            mark: mark(lot),
            share: Some(ShareLine::of(share)),
            to_bin: Some(Text(to)),
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Split {
            bed: unbed(need(self.bed, "bed")?, self.bin),
            share: need(self.share, "share")?.read()?,
            to: need(self.to_bin, "to_bin")?.0,
            lot: new_lot(self.code, self.mark)?,
        })
    }
}

row! {
    /// A bed is tipped into another bin.
    Tip = "tip" {
        "bed" bed: Text<LotCode>,
        "bin" bin: Text<BinCode>,
        "to_bed" to_bed: Text<LotCode>,
        "to_bin" to_bin: Text<BinCode>,
    }
}

impl Tip {
    pub(super) fn of(
        name: &BedName<LotCode>,
        to: &TipTo<LotCode>,
        ink: &Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let (from, bin) = bed(name, ink)?;
        let (to_bed, to_bin) = match to {
            TipTo::Empty(bin) => (None, Some(Text(*bin))),
            TipTo::Into(into) => {
                let (bed, bin) = bed(into, ink)?;
                (Some(bed), bin)
            }
            TipTo::Typed(_) => return Err(DiaryError::NotMeant { entry: ink.entry }),
        };
        Ok(Self {
            bed: Some(from),
            bin,
            to_bed,
            to_bin,
        })
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        let to = match (self.to_bed, self.to_bin) {
            (Some(bed), bin) => TipTo::Into(unbed(bed, bin)),
            (None, bin) => TipTo::Empty(need(bin, "to_bin")?.0),
        };
        Ok(Event::Tip {
            bed: unbed(need(self.bed, "bed")?, self.bin),
            to,
        })
    }
}

row! {
    /// A bin is put in another place.
    Move = "move" {
        "bin" bin: Text<BinCode>,
        "place" place: Text<Place>,
    }
}

impl Move {
    pub(super) fn of(bin: BinCode, place: &Place) -> Self {
        Self {
            bin: Some(Text(bin)),
            place: Some(Text(place.clone())),
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Move {
            bin: need(self.bin, "bin")?.0,
            place: need(self.place, "place")?.0,
        })
    }
}
