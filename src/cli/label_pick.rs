//! What the words of `castlot label` name: lots, packs, bins and racks, alone or from one to another.

use std::collections::BTreeSet;

use crate::desk::{self, mark_or_code};
use crate::farm::{BinCode, Event, Farm, LotId, LotSort, Refusal, Serial, SerialRange, Settings};
use crate::label::Subject;

use super::failure::Failure;
use super::named::Asking;

/// Names every bin or rack.
const ALL: &str = "all";

/// A farm in which words are looked up.
#[derive(Clone, Copy)]
pub struct Picker<'a> {
    asking: Asking<'a>,
}

impl<'a> Picker<'a> {
    /// Looks words up in a farm.
    pub fn new(farm: &'a Farm, settings: &'a Settings) -> Self {
        let command = "label";
        Self {
            asking: Asking {
                farm,
                settings,
                command,
            },
        }
    }

    /// Finds what a code, a mark or a scanned text names; `run-7/3-10` names some packs.
    pub fn pick(self, text: &str) -> Result<Subject, Failure> {
        if let Some((lot, first, last)) = some_packs(text) {
            let range = SerialRange::new(first, last).ok_or_else(|| {
                let (first, last) = (first.number(), last.number());
                Failure::refused(format!("`{text}` runs backwards")).hint(format!(
                    "write it as in `castlot label {lot}/{last}-{first}`"
                ))
            })?;
            return self.packs(self.lot(lot)?, range);
        }
        match self.asking.find(text)? {
            desk::Subject::Bin(bin) => Ok(Subject::Bin(bin)),
            desk::Subject::Rack(rack) => Ok(Subject::Rack(rack)),
            desk::Subject::Pack(run, serial) => {
                let range = SerialRange::new(serial, serial).expect("one pack is a range");
                self.packs(run, range)
            }
            desk::Subject::Lot(id) => Ok(match self.asking.farm.lot(id).sort {
                LotSort::Run(_) => Subject::Packs(id, None),
                LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => Subject::Lot(id),
            }),
            desk::Subject::Struck(code, by) => {
                let struck = Refusal::StruckLot { code, by };
                Err(Failure::refused(struck.to_string())
                    .hint(format!("read what was struck with `castlot show {code}`")))
            }
        }
    }

    /// Names a subject as its packer does.
    pub fn name(self, subject: &Subject) -> String {
        let lot = |id: LotId| mark_or_code(self.asking.farm, id);
        match subject {
            Subject::Packs(run, None) | Subject::Lot(run) | Subject::Hold(run) => lot(*run),
            Subject::Packs(run, Some(range)) => format!("{}/{range}", lot(*run)),
            Subject::Bin(bin) => bin.to_string(),
            Subject::Rack(rack) => rack.clone(),
        }
    }

    /// Finds the lot that a hold tag is for; a bin stands for its bed.
    pub fn hold(self, text: &str) -> Result<Subject, Failure> {
        Ok(Subject::Hold(self.lot(text)?))
    }

    /// Finds bins: `A07`, `A01..A12`, `A01..` for it and all after, or `all`.
    pub fn bins(self, text: &str) -> Result<Vec<Subject>, Failure> {
        let all = self.asking.farm.bins().keys().copied();
        let picked: Vec<BinCode> = match Range::of(text) {
            Range::All => all.collect(),
            Range::One(bin) => vec![self.bin(bin)?],
            Range::From(first) => {
                let first = self.bin(first)?;
                all.filter(|bin| *bin >= first).collect()
            }
            Range::Between(first, last) => {
                let (first, last) = (self.bin(first)?, self.bin(last)?);
                all.filter(|bin| (first..=last).contains(bin)).collect()
            }
        };
        not_empty(picked.into_iter().map(Subject::Bin).collect(), text)
    }

    /// Finds racks, written like bins.
    pub fn racks(self, text: &str) -> Result<Vec<Subject>, Failure> {
        let all = self.racks_in_use().into_iter();
        let picked: Vec<String> = match Range::of(text) {
            Range::All => all.collect(),
            Range::One(rack) => vec![self.rack(rack)?],
            Range::From(first) => {
                let first = self.rack(first)?;
                all.filter(|rack| *rack >= first).collect()
            }
            Range::Between(first, last) => {
                let (first, last) = (self.rack(first)?, self.rack(last)?);
                all.filter(|rack| (&first..=&last).contains(&rack))
                    .collect()
            }
        };
        not_empty(picked.into_iter().map(Subject::Rack).collect(), text)
    }

    /// Returns every rack that a bin stands on.
    fn racks_in_use(self) -> BTreeSet<String> {
        let bins = self.asking.farm.bins().values();
        let standing = bins.filter_map(|bin| bin.standing.as_ref());
        standing.map(|s| s.place.rack().to_owned()).collect()
    }

    /// Tells whether a bin stands on a rack or ever stood there.
    fn is_rack(self, rack: &str) -> bool {
        let farm = self.asking.farm;
        let mut entries = farm.order().iter().map(|place| &farm.entries()[*place]);
        entries.any(|entry| match &entry.event {
            Some(Event::Bin { place, .. } | Event::Move { place, .. }) => place.rack() == rack,
            _ => false,
        })
    }

    fn lot(self, text: &str) -> Result<LotId, Failure> {
        Ok(self.asking.find_lot(text, None)?.0)
    }

    fn packs(self, run: LotId, range: SerialRange) -> Result<Subject, Failure> {
        let lot = self.asking.farm.lot(run);
        match lot.sort {
            LotSort::Run(_) => Ok(Subject::Packs(run, Some(range))),
            LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => {
                let (code, sort) = (lot.code, lot.sort.word());
                let text = format!("{code} is {sort}; only pack runs have serials");
                let hint = format!("leave the serials out: `castlot label {code}`");
                Err(Failure::refused(text).hint(hint))
            }
        }
    }

    fn bin(self, text: &str) -> Result<BinCode, Failure> {
        match self.asking.find(text)? {
            desk::Subject::Bin(bin) => Ok(bin),
            desk::Subject::Lot(_)
            | desk::Subject::Pack(..)
            | desk::Subject::Struck(..)
            | desk::Subject::Rack(_) => Err(Failure::refused(format!("`{text}` is not a bin"))
                .hint("see every bin with `castlot beds`")),
        }
    }

    fn rack(self, text: &str) -> Result<String, Failure> {
        // A bin may bear the name of a rack, so racks are looked up by themselves.
        let rack = text.trim().to_ascii_uppercase();
        if self.is_rack(&rack) {
            return Ok(rack);
        }
        match self.asking.find(text)? {
            desk::Subject::Rack(rack) => Ok(rack),
            desk::Subject::Lot(_)
            | desk::Subject::Pack(..)
            | desk::Subject::Struck(..)
            | desk::Subject::Bin(_) => {
                Err(Failure::refused(format!("no bin stands on rack `{text}`")))
            }
        }
    }
}

/// Some of a row of names.
enum Range<'a> {
    All,
    One(&'a str),
    From(&'a str),
    Between(&'a str, &'a str),
}

impl<'a> Range<'a> {
    fn of(text: &'a str) -> Self {
        match text.split_once("..") {
            _ if text == ALL => Self::All,
            None => Self::One(text),
            Some((first, "")) => Self::From(first),
            Some((first, last)) => Self::Between(first, last),
        }
    }
}

/// Reads `LOT/3-10` or `LOT #3-10`.
fn some_packs(text: &str) -> Option<(&str, Serial, Serial)> {
    let (lot, serials) = text.rsplit_once(['/', '#'])?;
    let (first, last) = serials.split_once('-')?;
    let serial = |text: &str| Serial::read(text).ok();
    Some((lot.trim(), serial(first)?, serial(last)?))
}

fn not_empty(picked: Vec<Subject>, text: &str) -> Result<Vec<Subject>, Failure> {
    if picked.is_empty() {
        let failure = Failure::refused(format!("nothing of this farm is in `{text}`"));
        Err(failure.hint("see every bin with `castlot beds`"))
    } else {
        Ok(picked)
    }
}
