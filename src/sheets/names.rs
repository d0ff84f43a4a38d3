//! How a row that is written names lots and beds: by code, or as it was typed.

use jiff::civil::Date;

use crate::farm::{
    BedName, BinCode, Entry, Event, Farm, LotCode, LotName, Meant, Naming, Noun, Stay, TipTo, Typed,
};

/// How lots and beds are named in a row that is written.
pub(super) trait Names<N: Naming> {
    /// Names a lot.
    fn lot(&mut self, lot: &N::Lot) -> String;
    /// Names a bed.
    fn bed(&mut self, bed: &BedName<N::Lot>) -> String;
    /// Names where a bed is tipped.
    fn tip_to(&mut self, to: &TipTo<N::Lot>) -> String;
    /// Names a lot that is made.
    fn made(&mut self, code: &N::Made) -> String;
}

/// Lots by code, beds by the bed's code.
pub(super) struct Codes<'a> {
    farm: &'a Farm,
    day: Date,
    /// Whether a bin, where it held two beds that day, means the one that was there first.
    means_first: bool,
}

impl<'a> Codes<'a> {
    /// Names what a farm's entry speaks of.
    pub fn of(farm: &'a Farm, entry: &Entry) -> Self {
        let nouns = [Noun::Sieving, Noun::Tip, Noun::Split];
        let noun = entry.event.as_ref().map(Event::noun);
        let untimed = entry.when.minute().is_none();
        Self {
            farm,
            day: entry.when.day(),
            means_first: untimed && noun.is_some_and(|noun| nouns.contains(&noun)),
        }
    }

    /// Tells whether a bed changed bins that day, and the bin held no other bed then that could be meant.
    ///
    /// Only then does the bin say more than the bed's code: that what was done comes after the bed's coming there.
    fn is_told_by_bin(&self, bin: BinCode, bed: LotCode) -> bool {
        let day = self.day;
        let that_day =
            |stay: &&Stay| stay.from.day() <= day && stay.to.is_none_or(|to| day <= to.day());
        let Some(bed) = self.farm.lot_of(bed) else {
            return false;
        };
        let moved = self.farm.lot(bed).stays.iter().filter(that_day).count() > 1;
        let beds = self.farm.bins().get(&bin).map_or(&[][..], |bin| &bin.beds);
        let mut there = beds.iter().filter(|other| {
            let mut stays = self.farm.lot(**other).stays.iter().filter(that_day);
            stays.any(|stay| stay.bin == bin)
        });
        moved
            && match self.means_first {
                true => there.next() == Some(&bed),
                false => there.all(|other| *other == bed),
            }
    }
}

impl Names<Meant> for Codes<'_> {
    fn lot(&mut self, lot: &LotCode) -> String {
        lot.to_string()
    }

    fn bed(&mut self, bed: &BedName<LotCode>) -> String {
        match bed {
            BedName::Bin(bin) => bin.to_string(),
            BedName::Found { bin, bed } if self.is_told_by_bin(*bin, *bed) => bin.to_string(),
            BedName::Bed(bed) | BedName::Found { bed, .. } => bed.to_string(),
        }
    }

    fn tip_to(&mut self, to: &TipTo<LotCode>) -> String {
        match to {
            TipTo::Typed(bin) | TipTo::Empty(bin) => bin.to_string(),
            // The bin alone would mean a move, where the bed has not come there yet.
            TipTo::Into(BedName::Bed(bed) | BedName::Found { bed, .. }) => bed.to_string(),
            TipTo::Into(BedName::Bin(bin)) => bin.to_string(),
        }
    }

    fn made(&mut self, code: &LotCode) -> String {
        code.to_string()
    }
}

/// Names as they were typed.
pub(super) struct AsTyped;

impl Names<Typed> for AsTyped {
    fn lot(&mut self, lot: &LotName) -> String {
        match lot {
            LotName::Code(code) => code.to_string(),
            LotName::Mark(mark) => mark.to_string(),
        }
    }

    fn bed(&mut self, bed: &BedName<LotName>) -> String {
        match bed {
            BedName::Bin(bin) => bin.to_string(),
            BedName::Bed(bed) | BedName::Found { bed, .. } => self.lot(bed),
        }
    }

    fn tip_to(&mut self, to: &TipTo<LotName>) -> String {
        match to {
            TipTo::Typed(bin) | TipTo::Empty(bin) => bin.to_string(),
            TipTo::Into(bed) => self.bed(bed),
        }
    }

    fn made(&mut self, code: &Option<LotCode>) -> String {
        code.map(|code| code.to_string()).unwrap_or_default()
    }
}
