//! Finds the bed that an entry means: by its code, or by the bin it was in then.

use super::code::LotCode;
use super::fold::{Fold, Site};
use super::lot::{LotId, LotSort};
use super::naming::BedName;
use super::refusal::Refusal;

impl Fold {
    /// Returns the bed that a name means in its place, and keeps what was found; `first` for a sieving, split or tip.
    pub(super) fn find_bed(
        &mut self,
        site: Site,
        name: &mut BedName<LotCode>,
        first: bool,
    ) -> Option<LotId> {
        let (bin, bed) = match *name {
            BedName::Bin(bin) => (Some(bin), self.occupant(bin)),
            BedName::Found { bin, bed } => (Some(bin), self.farm.lot_of(bed)),
            BedName::Bed(code) => (None, Some(self.find_lot(site, code)?)),
        };
        let (Some(bed), when) = (bed, site.when) else {
            if let Some(bin) = bin {
                self.fault(
                    site.entry,
                    Refusal::NoBed {
                        bin,
                        when: site.when,
                    },
                );
            }
            return None;
        };
        let lot = self.farm.lot(bed);
        if lot.sort != LotSort::Bed {
            let refusal = Refusal::WrongSort {
                code: lot.code,
                is: lot.sort.word(),
                wanted: "a bed",
            };
            self.fault(site.entry, refusal);
            return None;
        }
        let meant = lot.code;
        if let Some(bin) = bin {
            let means_first = first && when.minute().is_none();
            let there = if means_first {
                self.first_today(bin)
            } else {
                self.occupant(bin)
            };
            if there != Some(bed) || self.occupant(bin) != Some(bed) {
                let refusal = match there {
                    None => Refusal::NoBed { bin, when },
                    Some(other) if other == bed => Refusal::BedEnded {
                        bed: meant,
                        ended: self.ended(bed, when),
                    },
                    Some(other) => Refusal::OtherBed {
                        bin,
                        when,
                        holds: self.farm.lot(other).code,
                        meant,
                    },
                };
                self.fault(site.entry, refusal);
            }
            *name = BedName::Found { bin, bed: meant };
            return (self.occupant(bin) == Some(bed)).then_some(bed);
        }
        if let Some(ending) = self.farm.lot(bed).ended {
            self.fault(
                site.entry,
                Refusal::BedEnded {
                    bed: meant,
                    ended: ending.when,
                },
            );
            return None;
        }
        Some(bed)
    }

    fn ended(&self, bed: LotId, otherwise: super::moment::Moment) -> super::moment::Moment {
        self.farm
            .lot(bed)
            .ended
            .map_or(otherwise, |ending| ending.when)
    }

    /// Returns the bed a feed, skip or check means; an untimed one is looked at again at the end of the day.
    pub(super) fn find_unsure(&mut self, site: Site, name: &mut BedName<LotCode>) -> Option<LotId> {
        let found = self.find_bed(site, name, false);
        if let (BedName::Found { bin, .. }, None) = (*name, site.when.minute()) {
            self.today.by_bin.push((site.entry, bin));
        }
        found
    }
}
