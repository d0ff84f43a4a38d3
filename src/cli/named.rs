//! From what was typed, said or scanned to what it means on this farm; and what else it may have meant.

use crate::farm::{
    BinCode, CodeError, EntryNumber, Farm, LotCode, LotId, LotSort, Mark, Moment, Named, Refusal,
    Serial, Settings, Unit,
};

use super::failure::Failure;

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

/// Who asks: the farm, its settings, and the command that a hint should name.
#[derive(Clone, Copy)]
pub struct Asking<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The command's name, as in `castlot show`.
    pub command: &'static str,
}

impl Asking<'_> {
    /// Finds what a text names, or offers the nearest names there are.
    pub fn find(self, text: &str) -> Result<Subject, Failure> {
        match Named::read(text, &self.settings.bases()) {
            Ok(Named::Lot(code)) => self.lot(code),
            Ok(Named::Pack(pack)) => match self.lot(pack.run)? {
                Subject::Lot(run) => self.pack(run, pack.serial),
                other => Ok(other),
            },
            Ok(Named::Mark(mark, serial)) => self.mark(&mark, serial),
            Ok(Named::Bin(bin)) => self.bin(bin),
            Ok(Named::Rack(rack)) => self.rack(rack),
            Err(error) => Err(self.misread(text, &error)),
        }
    }

    /// Finds the lot that a text names, a bin standing for the bed that is in it (or was, then).
    pub fn find_lot(
        self,
        text: &str,
        when: Option<Moment>,
    ) -> Result<(LotId, Option<Serial>), Failure> {
        match self.find(text)? {
            Subject::Lot(lot) => Ok((lot, None)),
            Subject::Pack(run, serial) => Ok((run, Some(serial))),
            Subject::Struck(code, by) => {
                let struck = Refusal::StruckLot { code, by };
                Err(Failure::refused(struck.to_string())
                    .hint(format!("read what was struck with `castlot show {code}`")))
            }
            Subject::Bin(bin) => self.bed_in(bin, when).map(|bed| (bed, None)),
            Subject::Rack(rack) => Err(Failure::refused(format!(
                "`{rack}` is a rack; a lot, a pack or a bin is wanted"
            ))
            .hint(format!("see what stands on it with `castlot show {rack}`"))),
        }
    }

    fn lot(self, code: LotCode) -> Result<Subject, Failure> {
        if let Some(lot) = self.farm.lot_of(code) {
            return Ok(Subject::Lot(lot));
        }
        let giver = self.farm.giver(code);
        if let Some(by) = giver.and_then(|entry| self.farm.struck_by(entry)) {
            return Ok(Subject::Struck(code, by));
        }
        let nearest = self.farm.nearest_codes(&code.to_string());
        let refusal = Refusal::NoSuchLot {
            code,
            nearest: Vec::new(),
        };
        Err(self.offer(Failure::refused(refusal.to_string()), &nearest))
    }

    fn pack(self, run: LotId, serial: Serial) -> Result<Subject, Failure> {
        let lot = self.farm.lot(run);
        let Some(shelf) = &lot.shelf else {
            let (code, sort) = (lot.code, lot.sort.word());
            return Err(
                Failure::refused(format!("{code} is {sort}; only pack runs have serials")).hint(
                    format!("leave the serial out: `castlot {} {code}`", self.command),
                ),
            );
        };
        if shelf.fate(serial).is_none() {
            let (code, count) = (lot.code, shelf.made());
            let refusal = Refusal::NoSuchSerial {
                code,
                serial,
                count,
            };
            return Err(Failure::refused(refusal.to_string()));
        }
        Ok(Subject::Pack(run, serial))
    }

    /// Finds a mark; a bin or rack typed in lower case looks like one.
    fn mark(self, mark: &Mark, serial: Option<Serial>) -> Result<Subject, Failure> {
        if let Some(lot) = self.farm.marked(mark) {
            return serial.map_or(Ok(Subject::Lot(lot)), |serial| self.pack(lot, serial));
        }
        if let (Ok(bin), None) = (mark.as_str().parse(), serial) {
            match self.bin(bin) {
                Ok(found) => return Ok(found),
                Err(failure) if nearly(self.farm, bin).is_some() => return Err(failure),
                Err(_) => {}
            }
        }
        let marks = self.farm.nearest_marks(mark.as_str());
        let near: Vec<LotCode> = marks
            .iter()
            .filter_map(|mark| Some(self.farm.lot(self.farm.marked(mark)?).code))
            .collect();
        let near = if near.is_empty() {
            self.farm.codes_with(mark.as_str())
        } else {
            near
        };
        let failure = Failure::refused(format!("no lot, bin or rack is called `{mark}`"));
        Err(if near.is_empty() {
            failure.hint(format!("look for half a code with `castlot find {mark}`"))
        } else {
            self.offer(failure, &near)
        })
    }

    fn bin(self, bin: BinCode) -> Result<Subject, Failure> {
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
        Err(self.no_bin(bin))
    }

    /// Says that there is no such bin; half a lot's code looks like one.
    fn no_bin(self, bin: BinCode) -> Failure {
        let piece = bin.as_str();
        if let Some(near) = nearly(self.farm, bin) {
            let failure = Failure::refused(format!("no bin or rack is called `{bin}`"));
            return failure.hint(format!("bin {near}: `castlot {} {near}`", self.command));
        }
        let failure = Failure::refused(format!("no lot, bin or rack is called `{bin}`"));
        let with = self.farm.codes_with(piece);
        if !with.is_empty() {
            return self.offer(failure, &with);
        }
        let looks_like_a_code = piece.len() > 3 && piece.starts_with(['G', 'B', 'H', 'P']);
        failure.hint(if looks_like_a_code {
            format!("look for half a code with `castlot find {piece}`")
        } else {
            "see every bin with `castlot beds`".to_owned()
        })
    }

    fn rack(self, rack: String) -> Result<Subject, Failure> {
        let mut bins = self.farm.bins().values();
        let stands = bins.any(|bin| {
            bin.standing
                .as_ref()
                .is_some_and(|s| s.place.rack() == rack)
        });
        if stands {
            Ok(Subject::Rack(rack))
        } else {
            Err(Failure::refused(format!("no bin stands on rack `{rack}`")))
        }
    }

    fn bed_in(self, bin: BinCode, when: Option<Moment>) -> Result<LotId, Failure> {
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
        let then = when.map_or_else(|| "now".to_owned(), |when| format!("on {when}"));
        let failure = Failure::refused(format!("bin {bin} has no bed in it {then}"));
        Err(match beds.last() {
            None => failure,
            Some(last) => {
                let (code, command) = (self.farm.lot(*last).code, self.command);
                failure.hint(format!("its last bed: `castlot {command} {code}`"))
            }
        })
    }

    fn misread(self, text: &str, error: &CodeError) -> Failure {
        if let Some(address) = strange_address(text, &self.settings.bases()) {
            let code = address
                .1
                .rsplit('/')
                .find_map(|part| LotCode::read(part).ok());
            let failure = Failure::refused(format!("`{}` is no address of this farm", address.0));
            let failure = failure.hint("if labels carry it, add it to `old_bases` in castlot.toml");
            return match code {
                Some(code) => {
                    failure.hint(format!("the code in it: `castlot {} {code}`", self.command))
                }
                None => failure,
            };
        }
        let failure = Failure::refused(error.to_string());
        let slip = match error {
            CodeError::Check { typed } => typed.as_str(),
            CodeError::Shape { .. }
            | CodeError::Bin { .. }
            | CodeError::Place { .. }
            | CodeError::Mark { .. }
            | CodeError::Serial { .. } => text,
        };
        let mut nearest = self.farm.nearest_codes(slip);
        if nearest.is_empty() {
            nearest = self.farm.codes_with(slip);
        }
        match error {
            _ if !nearest.is_empty() => self.offer(failure, &nearest),
            CodeError::Shape { .. } | CodeError::Check { .. } => {
                let typed = slip.trim().replace('\'', "");
                failure.hint(format!(
                    "look for half a code with `castlot find '{typed}'`"
                ))
            }
            CodeError::Bin { .. }
            | CodeError::Place { .. }
            | CodeError::Mark { .. }
            | CodeError::Serial { .. } => failure,
        }
    }

    /// Adds the codes that may have been meant, each with what it is.
    fn offer(self, failure: Failure, codes: &[LotCode]) -> Failure {
        let command = self.command;
        codes.iter().fold(failure, |failure, code| {
            let what = match self.farm.lot_of(*code) {
                None => "struck out since".to_owned(),
                Some(lot) => called(self.farm, lot),
            };
            failure.hint(format!("{what}: `castlot {command} {code}`"))
        })
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

/// Writes what a lot is in a few words, with the grower's mark: `horse manure (manure-2)`.
pub fn called(farm: &Farm, lot: LotId) -> String {
    let title = title(farm, lot);
    match &farm.lot(lot).mark {
        Some(mark) => format!("{title} ({mark})"),
        None => title,
    }
}

/// Writes what a lot is in a few words, with the grower's mark or else its code: for lists in a paragraph.
pub fn called_in_list(farm: &Farm, lot: LotId) -> String {
    match &farm.lot(lot).mark {
        Some(_) => called(farm, lot),
        None => format!("{} ({})", title(farm, lot), farm.lot(lot).code),
    }
}

/// Writes the grower's mark of a lot, where it has one.
pub fn mark(farm: &Farm, lot: LotId) -> Option<String> {
    farm.lot(lot).mark.as_ref().map(ToString::to_string)
}

/// Names a lot as its grower does: by its mark, or else by its code.
pub fn mark_or_code(farm: &Farm, lot: LotId) -> String {
    mark(farm, lot).unwrap_or_else(|| farm.lot(lot).code.to_string())
}

/// Writes what a lot is in a few words.
pub fn title(farm: &Farm, lot: LotId) -> String {
    match farm.lot(lot).sort {
        LotSort::Delivery(kind) => farm
            .delivery(lot)
            .map_or_else(|| kind.word().to_owned(), |facts| facts.name.to_string()),
        LotSort::Bed => {
            let stays = &farm.lot(lot).stays;
            stays
                .last()
                .map_or_else(|| "bed".to_owned(), |stay| format!("bed in {}", stay.bin))
        }
        LotSort::Batch(kind) => kind.word().to_owned(),
        LotSort::Run(kind) => farm.product(lot).map_or_else(
            || kind.word().to_owned(),
            |product| match product.net.unit() {
                Unit::Pieces => format!("{}, {}", product.name, product.net),
                Unit::Grams | Unit::Millilitres => format!("{} {}", product.name, product.net),
            },
        ),
    }
}
