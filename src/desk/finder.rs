//! From what was typed, said or scanned to what it means on this farm; and what else it may have meant.

use crate::farm::{
    BinCode, CodeError, EntryNumber, Event, Farm, LotCode, LotId, Mark, Moment, Named, Place,
    Serial, Settings,
};

use super::lost::Lost;

/// What a text names on this farm.
#[derive(Clone, Debug, PartialEq)]
pub enum Subject {
    /// A lot.
    Lot(LotId),
    /// One pack of a run.
    Pack(LotId, Serial),
    /// A lot whose making was struck out, and by which entry.
    Struck(LotCode, EntryNumber),
    /// A bin.
    Bin(BinCode),
    /// A rack.
    Rack(String),
}

/// A farm in which names are looked up.
#[derive(Clone, Copy)]
pub struct Finder<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings: the addresses that its labels have carried.
    pub settings: &'a Settings,
}

impl Finder<'_> {
    /// Finds what a text names, in any form in which a label, a person or a sheet says it.
    ///
    /// # Errors
    /// Says why it names nothing, with the nearest names there are.
    pub fn find(self, text: &str) -> Result<Subject, Lost> {
        match Named::read(text, &self.settings.bases()) {
            Ok(Named::Lot(code)) => self.lot(code),
            Ok(Named::Pack(pack)) => match self.lot(pack.run)? {
                Subject::Lot(run) => self.pack(run, pack.serial),
                other => Ok(other),
            },
            Ok(Named::Mark(mark, serial)) => self.mark(&mark, serial),
            Ok(Named::Bin(bin)) => self.bin(bin),
            Ok(Named::Rack(rack)) => self.rack(rack),
            Err(error) => Err(self.misread(text, error)),
        }
    }

    /// Finds the lot that a text names, a bin standing for the bed that is in it (or was, then).
    ///
    /// # Errors
    /// As [`Finder::find`], and where it names a rack, a struck lot or an empty bin.
    pub fn find_lot(
        self,
        text: &str,
        when: Option<Moment>,
    ) -> Result<(LotId, Option<Serial>), Lost> {
        match self.find(text)? {
            Subject::Lot(lot) => Ok((lot, None)),
            Subject::Pack(run, serial) => Ok((run, Some(serial))),
            Subject::Struck(code, by) => Err(Lost::Struck { code, by }),
            Subject::Bin(bin) => self.bed_in(bin, when).map(|bed| (bed, None)),
            Subject::Rack(rack) => Err(Lost::IsRack { rack }),
        }
    }

    fn lot(self, code: LotCode) -> Result<Subject, Lost> {
        if let Some(lot) = self.farm.lot_of(code) {
            return Ok(Subject::Lot(lot));
        }
        let giver = self.farm.giver(code);
        if let Some(by) = giver.and_then(|entry| self.farm.struck_by(entry)) {
            return Ok(Subject::Struck(code, by));
        }
        let nearest = self.farm.nearest_codes(&code.to_string());
        Err(Lost::NoSuchLot { code, nearest })
    }

    fn pack(self, run: LotId, serial: Serial) -> Result<Subject, Lost> {
        let lot = self.farm.lot(run);
        let Some(shelf) = &lot.shelf else {
            let (code, sort) = (lot.code, lot.sort.word());
            return Err(Lost::NotARun { code, sort });
        };
        if shelf.fate(serial).is_none() {
            let (code, count) = (lot.code, shelf.made());
            return Err(Lost::NoSuchSerial {
                code,
                serial,
                count,
            });
        }
        Ok(Subject::Pack(run, serial))
    }

    /// Finds a mark; a bin or rack typed in lower case looks like one.
    fn mark(self, mark: &Mark, serial: Option<Serial>) -> Result<Subject, Lost> {
        if let Some(lot) = self.farm.marked(mark) {
            return serial.map_or(Ok(Subject::Lot(lot)), |serial| self.pack(lot, serial));
        }
        if let (Ok(bin), None) = (mark.as_str().parse(), serial) {
            match self.bin(bin) {
                Ok(found) => return Ok(found),
                Err(lost) if nearly(self.farm, bin).is_some() => return Err(lost),
                Err(_) => {}
            }
        }
        let marks = self.farm.nearest_marks(mark.as_str());
        let near: Vec<LotCode> = marks
            .iter()
            .filter_map(|mark| Some(self.farm.lot(self.farm.marked(mark)?).code))
            .collect();
        let nearest = if near.is_empty() {
            self.farm.codes_with(mark.as_str())
        } else {
            near
        };
        let mark = mark.clone();
        Err(Lost::NoSuchMark { mark, nearest })
    }

    fn bin(self, bin: BinCode) -> Result<Subject, Lost> {
        if self.farm.bins().contains_key(&bin) {
            return Ok(Subject::Bin(bin));
        }
        if let Ok(rack) = self.rack(bin.to_string()) {
            return Ok(rack);
        }
        // A mark typed in capitals looks like a bin.
        let mark = bin.as_str().to_ascii_lowercase().parse::<Mark>().ok();
        if let Some(lot) = mark.and_then(|mark| self.farm.marked(&mark)) {
            return Ok(Subject::Lot(lot));
        }
        Err(match nearly(self.farm, bin) {
            Some(near) => Lost::NearlyBin { bin, near },
            None => Lost::NoSuchBin {
                bin,
                with: self.farm.codes_with(bin.as_str()),
            },
        })
    }

    /// Finds a rack: one that a bin stands on, or once stood on, for its label may be on the upright still.
    fn rack(self, rack: String) -> Result<Subject, Lost> {
        let is_it = |place: &Place| place.rack() == rack;
        let bins = self.farm.bins().values();
        let mut now = bins.filter_map(|bin| bin.standing.as_ref());
        let once = || {
            let mut entries = self.farm.entries().iter();
            entries.any(|entry| match &entry.event {
                Some(Event::Bin { place, .. } | Event::Move { place, .. }) => is_it(place),
                Some(_) | None => false,
            })
        };
        if now.any(|standing| is_it(&standing.place)) || once() {
            Ok(Subject::Rack(rack))
        } else {
            Err(Lost::NoSuchRack { rack })
        }
    }

    fn bed_in(self, bin: BinCode, when: Option<Moment>) -> Result<LotId, Lost> {
        let held = self.farm.bins().get(&bin);
        let beds = held.map_or(&[][..], |bin| &bin.beds);
        let was_there = |bed: &&LotId| {
            let stays = &self.farm.lot(**bed).stays;
            stays.iter().any(|stay| match when {
                Some(when) => {
                    stay.bin == bin
                        && stay.from.could_precede(when)
                        && stay.to.is_none_or(|to| when.could_precede(to))
                }
                None => stay.bin == bin && stay.to.is_none(),
            })
        };
        if let Some(bed) = beds.iter().rev().find(was_there) {
            return Ok(*bed);
        }
        let last = beds.last().map(|last| self.farm.lot(*last).code);
        Err(Lost::NoBedIn { bin, when, last })
    }

    fn misread(self, text: &str, error: CodeError) -> Lost {
        if let Some((address, rest)) = strange_address(text, &self.settings.bases()) {
            return Lost::StrangeAddress {
                address: address.to_owned(),
                code: rest.rsplit('/').find_map(|part| LotCode::read(part).ok()),
            };
        }
        let slip = match &error {
            CodeError::Check { typed } => typed.as_str(),
            CodeError::Shape { .. }
            | CodeError::Bin { .. }
            | CodeError::Place { .. }
            | CodeError::Mark { .. }
            | CodeError::Serial { .. } => text,
        };
        let slip = slip.to_owned();
        let mut nearest = self.farm.nearest_codes(&slip);
        if nearest.is_empty() {
            nearest = self.farm.codes_with(&slip);
        }
        Lost::Misread {
            error,
            slip,
            nearest,
        }
    }
}

/// Cuts a web address that is none of the farm's own into the address and what follows it.
fn strange_address<'a>(text: &'a str, bases: &[String]) -> Option<(&'a str, &'a str)> {
    let typed = text.trim();
    let scheme = typed.find("://")? + 3;
    let end = typed[scheme..]
        .find('/')
        .map_or(typed.len(), |at| scheme + at);
    let (address, rest) = typed.split_at(end);
    let ours = |base: &String| {
        let head = typed.get(..base.trim_end_matches('/').len());
        head.is_some_and(|head| head.eq_ignore_ascii_case(base.trim_end_matches('/')))
    };
    let rest = rest.split(['?', '#']).next().unwrap_or_default();
    (!bases.iter().any(ours)).then_some((address, rest))
}

/// Returns the bin that has the same code but for zeros and hyphens: `A07` for `A7`, where there is no `A7`.
pub fn nearly(farm: &Farm, bin: BinCode) -> Option<BinCode> {
    let bare = |bin: BinCode| bin.as_str().replace(['0', '-'], "");
    if farm.bins().contains_key(&bin) {
        return None;
    }
    let mut bins = farm.bins().keys().copied();
    bins.find(|other| bare(*other) == bare(bin))
}
