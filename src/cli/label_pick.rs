//! What the words of `castlot label` name: lots, packs, bins and racks, alone or from one to another.

use crate::farm::{BinCode, Farm, LotId, LotSort, Named, Refusal, Serial, SerialRange, Settings};
use crate::label::Subject;

use super::failure::Failure;

/// Names every bin or rack.
const ALL: &str = "all";

/// A farm in which words are looked up.
#[derive(Clone, Copy)]
pub struct Picker<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
}

impl Picker<'_> {
    /// Finds what a code, a mark or a scanned text names; `run-7/3-10` names some packs.
    pub fn pick(self, text: &str) -> Result<Subject, Failure> {
        if let Some((lot, range)) = some_packs(text) {
            let run = self.lot(self.named(lot)?, lot)?;
            return self.packs(run, Some(range));
        }
        Ok(match self.named(text)? {
            Named::Bin(bin) if self.farm.bins().contains_key(&bin) => Subject::Bin(bin),
            Named::Bin(bin) => self.rack(bin.as_str())?,
            Named::Rack(rack) => self.rack(&rack)?,
            Named::Pack(pack) => {
                let run = self.lot(Named::Lot(pack.run), text)?;
                return self.packs(run, SerialRange::new(pack.serial, pack.serial));
            }
            Named::Mark(mark, Some(serial)) => {
                let run = self.lot(Named::Mark(mark, None), text)?;
                return self.packs(run, SerialRange::new(serial, serial));
            }
            // A bin or rack typed in lower case looks like a mark.
            Named::Mark(mark, None) if self.farm.marked(&mark).is_none() => {
                match self.bin(mark.as_str()) {
                    Ok(bin) => Subject::Bin(bin),
                    Err(_) => match self.rack(&mark.as_str().to_ascii_uppercase()) {
                        Ok(rack) => rack,
                        Err(_) => Subject::Lot(self.lot(Named::Mark(mark, None), text)?),
                    },
                }
            }
            named @ (Named::Lot(_) | Named::Mark(_, None)) => {
                let id = self.lot(named, text)?;
                match self.farm.lot(id).sort {
                    LotSort::Run(_) => Subject::Packs(id, None),
                    LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => Subject::Lot(id),
                }
            }
        })
    }

    /// Finds the lot that a hold tag is for.
    pub fn hold(self, text: &str) -> Result<Subject, Failure> {
        Ok(Subject::Hold(self.lot(self.named(text)?, text)?))
    }

    /// Finds bins: `A07`, `A01..A12`, `A01..` for it and all after, or `all`.
    pub fn bins(self, text: &str) -> Result<Vec<Subject>, Failure> {
        let all = self.farm.bins().keys().copied();
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
        let all = self.all_racks().into_iter();
        let upper = |rack: &str| rack.trim().to_ascii_uppercase();
        let picked: Vec<String> = match Range::of(text) {
            Range::All => all.collect(),
            Range::One(rack) => return Ok(vec![self.rack(&upper(rack))?]),
            Range::From(first) => all.filter(|rack| *rack >= upper(first)).collect(),
            Range::Between(first, last) => all
                .filter(|rack| (upper(first)..=upper(last)).contains(rack))
                .collect(),
        };
        not_empty(picked.into_iter().map(Subject::Rack).collect(), text)
    }

    /// Returns every rack that a bin stands on.
    pub fn all_racks(self) -> Vec<String> {
        let standing = self
            .farm
            .bins()
            .values()
            .filter_map(|bin| bin.standing.as_ref());
        let mut racks: Vec<String> = standing.map(|s| s.place.rack().to_owned()).collect();
        racks.sort();
        racks.dedup();
        racks
    }

    fn named(self, text: &str) -> Result<Named, Failure> {
        Named::read(text, &self.settings.bases()).map_err(|error| {
            let near = self.farm.nearest_codes(text);
            offer(Failure::refused(error.to_string()), near)
        })
    }

    fn lot(self, named: Named, text: &str) -> Result<LotId, Failure> {
        match named {
            Named::Lot(code) => self.farm.lot_of(code).ok_or_else(|| {
                let near = self.farm.nearest_codes(text);
                let by = self.farm.giver(code).and_then(|n| self.farm.struck_by(n));
                let refusal = match by {
                    Some(by) => Refusal::StruckLot { code, by },
                    None => Refusal::NoSuchLot {
                        code,
                        nearest: Vec::new(),
                    },
                };
                offer(Failure::refused(refusal.to_string()), near)
            }),
            Named::Mark(mark, None) => self.farm.marked(&mark).ok_or_else(|| {
                let near = self.farm.nearest_marks(mark.as_str());
                let failure = Failure::refused(format!("no lot, bin or rack is called `{mark}`"));
                offer(failure, near)
            }),
            Named::Pack(_) | Named::Mark(_, Some(_)) | Named::Bin(_) | Named::Rack(_) => {
                Err(Failure::refused(format!(
                    "`{text}` is not a lot; a lot's code or ref is wanted here"
                )))
            }
        }
    }

    fn packs(self, run: LotId, range: Option<SerialRange>) -> Result<Subject, Failure> {
        let lot = self.farm.lot(run);
        match lot.sort {
            LotSort::Run(_) => Ok(Subject::Packs(run, range)),
            LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => {
                let (code, sort) = (lot.code, lot.sort.word());
                let text = format!("{code} is {sort}; only the packs of a pack run have serials");
                Err(Failure::refused(text).hint(format!("`castlot label {code}`")))
            }
        }
    }

    fn bin(self, text: &str) -> Result<BinCode, Failure> {
        let bin: BinCode = text
            .parse()
            .map_err(|error: crate::farm::CodeError| Failure::refused(error.to_string()))?;
        if self.farm.bins().contains_key(&bin) {
            Ok(bin)
        } else {
            let failure = Failure::refused(format!("no bin is called `{bin}`"));
            Err(failure.hint("see every bin with `castlot beds`"))
        }
    }

    fn rack(self, rack: &str) -> Result<Subject, Failure> {
        if self.all_racks().iter().any(|known| known == rack) {
            Ok(Subject::Rack(rack.to_owned()))
        } else {
            let failure = Failure::refused(format!("no bin or rack is called `{rack}`"));
            Err(failure.hint("see every bin with `castlot beds`"))
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
fn some_packs(text: &str) -> Option<(&str, SerialRange)> {
    let (lot, serials) = text.rsplit_once(['/', '#'])?;
    let (first, last) = serials.split_once('-')?;
    let serial = |text: &str| Serial::read(text).ok();
    let range = SerialRange::new(serial(first)?, serial(last)?)?;
    Some((lot.trim(), range))
}

fn not_empty(picked: Vec<Subject>, text: &str) -> Result<Vec<Subject>, Failure> {
    if picked.is_empty() {
        Err(
            Failure::refused(format!("nothing of this farm is in `{text}`"))
                .hint("see every bin with `castlot beds`"),
        )
    } else {
        Ok(picked)
    }
}

/// Adds the names that may have been meant.
fn offer(failure: Failure, near: Vec<impl ToString>) -> Failure {
    let near = near.iter().map(ToString::to_string);
    near.fold(failure, |failure, name| {
        failure.hint(format!("did you mean `{name}`?"))
    })
}
