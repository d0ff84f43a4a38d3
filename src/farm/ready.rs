//! Whether an entry's turn can come: its lots are there, its bin is free or holds the bed meant.

use super::bin_code::BinCode;
use super::code::LotCode;
use super::entry::{Draw, Entry, Event, Thrown};
use super::fold::Fold;
use super::lot::LotId;
use super::moment::Moment;
use super::naming::{BedName, Meant, TipTo};
use super::packs::PackPick;

impl Fold {
    /// Tells whether everything an entry needs is there.
    pub(super) fn is_ready(&self, entry: &Entry) -> bool {
        let Some(event) = &entry.event else {
            return true;
        };
        let when = entry.when;
        match event {
            Event::Bin { .. } | Event::Delivery { .. } | Event::Move { .. } => true,
            Event::Bed { bin, takes, .. } => self.is_free(*bin) && self.are_there(takes),
            Event::Feed { bed, takes } => self.is_there(bed, when, false) && self.are_there(takes),
            Event::Skip { bed, .. } | Event::Check { bed, .. } => self.is_there(bed, when, false),
            Event::Split { bed, to, .. } => self.is_there(bed, when, true) && self.is_free(*to),
            Event::Tip { bed, to } => self.is_there(bed, when, true) && self.may_take(to, when),
            Event::Sieving { from, .. } => from
                .iter()
                .all(|sieved| self.is_there(&sieved.bed, when, true)),
            Event::Blend { from, .. } | Event::Pack { from, .. } => self.are_there(from),
            Event::Test { lot, .. } | Event::Count { lot, .. } | Event::Hold { lot, .. } => {
                self.is_born(*lot)
            }
            Event::Weighing { run, .. } => self.is_born(*run),
            Event::Sale { packs, .. }
            | Event::Return { packs, .. }
            | Event::Print { packs, .. } => self.are_packed(packs),
            Event::Thrown { what, .. } => match what {
                Thrown::Some(draw) => self.is_born(draw.lot),
                Thrown::Packs(packs) => self.are_packed(packs),
                Thrown::Bed(bed) => self.is_there(bed, when, false),
            },
            Event::Complaint { pack, .. } => {
                pack.as_ref().is_none_or(|pack| self.is_born(pack.run))
            }
            Event::Settlement { complaint, .. } => self.is_taken(complaint),
            Event::Recall { lots, packs, .. } => {
                lots.iter().all(|lot| self.is_born(*lot)) && self.are_packed(packs)
            }
        }
    }

    pub(super) fn is_born(&self, code: LotCode) -> bool {
        self.farm
            .lot_of(code)
            .is_some_and(|id| self.farm.lot(id).born)
    }

    fn are_there(&self, draws: &[Draw<Meant>]) -> bool {
        draws.iter().all(|draw| self.is_born(draw.lot))
    }

    fn are_packed(&self, packs: &[PackPick<Meant>]) -> bool {
        packs.iter().all(|pick| self.is_born(pick.run))
    }

    fn is_free(&self, bin: BinCode) -> bool {
        self.occupant(bin).is_none()
    }

    /// Returns the bed that is in a bin now.
    pub(super) fn occupant(&self, bin: BinCode) -> Option<LotId> {
        self.farm.bins.get(&bin).and_then(|bin| bin.bed)
    }

    /// Returns the bed that was first in a bin today.
    pub(super) fn first_today(&self, bin: BinCode) -> Option<LotId> {
        let changed = self
            .today
            .beds
            .get(&bin)
            .and_then(|beds| beds.first().copied());
        changed.or_else(|| self.occupant(bin))
    }

    /// Tells whether the bed a row means is where the row says; `first` where an untimed row means the day's first bed.
    fn is_there(&self, name: &BedName<LotCode>, when: Moment, first: bool) -> bool {
        match name {
            BedName::Bin(bin) => match self.occupant(*bin) {
                None => false,
                Some(bed) => {
                    !first || when.minute().is_some() || self.first_today(*bin) == Some(bed)
                }
            },
            BedName::Found { bin, bed } => self
                .occupant(*bin)
                .is_some_and(|id| self.farm.lot(id).code == *bed),
            BedName::Bed(bed) => self
                .farm
                .lot_of(*bed)
                .is_some_and(|id| self.farm.lot(id).born && self.farm.lot(id).ended.is_none()),
        }
    }

    /// Tells whether what is tipped can go where the row says.
    fn may_take(&self, to: &TipTo<LotCode>, when: Moment) -> bool {
        match to {
            TipTo::Typed(_) => true,
            TipTo::Empty(bin) => self.is_free(*bin),
            TipTo::Into(bed) => self.is_there(bed, when, false),
        }
    }

    /// Tells whether a name means that bed, as things stand.
    pub(super) fn names(&self, name: &BedName<LotCode>, bed: LotId) -> bool {
        match name {
            BedName::Bin(bin) => self.occupant(*bin) == Some(bed),
            BedName::Found { bed: code, .. } | BedName::Bed(code) => {
                self.farm.lot(bed).code == *code
            }
        }
    }
}
