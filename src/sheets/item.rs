//! Reads the names that stand in cells and lists: lots, bins, beds, draws and packs.
//!
//! As forgiving as the check character allows, and no more; a scanned QR text is as good as a typed code.

use super::cell::MOST;
use super::error::SheetError;
use super::read::Reader;
use crate::farm::{
    Amount, BedName, BinCode, CodeError, Draw, LotCode, LotName, Mark, Named, PackName, PackPick,
    Serial, SerialRange, Sieved, TipTo, Typed, Which,
};

impl Reader<'_> {
    /// Reads the code of a lot that is made.
    pub(super) fn code(&self, text: &str) -> Result<LotCode, SheetError> {
        Ok(LotCode::read(text)?)
    }

    /// Reads a lot's name.
    pub(super) fn lot(&self, text: &str) -> Result<LotName, SheetError> {
        Ok(self.lot_name(text)?)
    }

    fn lot_name(&self, text: &str) -> Result<LotName, CodeError> {
        let text = text.trim();
        // A ref that is known is meant, even where it could be read as a code with a slip in it.
        if let Some(mark) = self.known_mark(text) {
            return Ok(LotName::Mark(mark));
        }
        LotName::read(text).or_else(|error| match self.scanned(text) {
            Some(Named::Lot(code)) => Ok(LotName::Code(code)),
            Some(Named::Pack(pack)) => Ok(LotName::Code(pack.run)),
            Some(Named::Mark(..) | Named::Bin(_) | Named::Rack(_)) | None => Err(error),
        })
    }

    fn known_mark(&self, text: &str) -> Option<Mark> {
        let first = text.bytes().next()?;
        let mark = first.is_ascii_lowercase().then(|| text.parse::<Mark>())?;
        mark.ok().filter(|mark| self.known.has_mark(mark))
    }

    /// Returns what the text of a QR code names; `None` where the text is none.
    fn scanned(&self, text: &str) -> Option<Named> {
        let is_scan = text.contains("://") || text.contains(' ');
        let named = is_scan.then(|| Named::read(text, &self.bases))?;
        named.ok()
    }

    /// Reads a bin's code.
    pub(super) fn bin(&self, text: &str) -> Result<BinCode, SheetError> {
        let read = text.parse().or_else(|error| match self.scanned(text) {
            Some(Named::Bin(bin)) => Ok(bin),
            _ => Err(error),
        });
        Ok(read?)
    }

    /// Reads a bed: a bin, or the bed's code or ref.
    ///
    /// Lower case is a ref where the farm knows one, else a bin where it knows one, else taken for a ref.
    pub(super) fn bed(&self, text: &str) -> Result<BedName<LotName>, SheetError> {
        let text = text.trim();
        if let Some(mark) = self.known_mark(text) {
            return Ok(BedName::Bed(LotName::Mark(mark)));
        }
        if let Ok(bin) = text.parse::<BinCode>() {
            let upper = text.bytes().any(|byte| byte.is_ascii_uppercase());
            if self.known.has_bin(bin) || (upper && LotCode::read(text).is_err()) {
                return Ok(BedName::Bin(bin));
            }
        }
        if let Some(Named::Bin(bin)) = self.scanned(text) {
            return Ok(BedName::Bin(bin));
        }
        match self.lot_name(text) {
            Ok(name) => Ok(BedName::Bed(name)),
            // Without the shape of a code it was more likely meant for a bin.
            Err(CodeError::Shape { typed }) => Err(CodeError::Bin { typed }.into()),
            Err(error) => Err(error.into()),
        }
    }

    /// Reads where a bed is tipped.
    pub(super) fn tip_to(&self, text: &str) -> Result<TipTo<LotName>, SheetError> {
        Ok(match self.bed(text)? {
            BedName::Bin(bin) => TipTo::Typed(bin),
            bed @ (BedName::Bed(_) | BedName::Found { .. }) => TipTo::Into(bed),
        })
    }

    /// Reads `LOT QUANTITY`, `LOT:QUANTITY` or `RUN/1-3 QUANTITY`.
    pub(super) fn draw(&self, item: &str) -> Result<Draw<Typed>, SheetError> {
        let source = |text: &str| self.source(text);
        let ((lot, packs), amount) = self.with_amount(item, source)?;
        Ok(Draw { lot, packs, amount })
    }

    /// Reads `BIN QUANTITY`, or a bed alone.
    pub(super) fn sieved(&self, item: &str) -> Result<Sieved<Typed>, SheetError> {
        let spaced = item.contains([':', ' ', '\t']);
        match self.bed(item) {
            Ok(bed) if !spaced => return Ok(Sieved { bed, amount: None }),
            Err(error) if !spaced => return Err(error),
            Ok(_) | Err(_) => {}
        }
        match self.with_amount(item, |text| self.bed(text)) {
            Ok((bed, amount)) => Ok(Sieved {
                bed,
                amount: Some(amount),
            }),
            // A code typed with spaces has no quantity behind it.
            Err(error) => match self.bed(item) {
                Ok(bed) => Ok(Sieved { bed, amount: None }),
                Err(_) => Err(error),
            },
        }
    }

    /// Reads a name and, after a space or a colon, an amount.
    ///
    /// A code may have spaces in it and an amount too, so every place to divide them is tried.
    fn with_amount<T>(
        &self,
        item: &str,
        name: impl Fn(&str) -> Result<T, SheetError>,
    ) -> Result<(T, Amount), SheetError> {
        let mut told = None;
        for (left, right) in divisions(item) {
            let amount = self.amount(right);
            match (amount, name(left)) {
                (Ok(amount), Ok(name)) => return Ok((name, amount)),
                // The last place where the amount is one tells best what is wrong with the name.
                (Ok(_), Err(error)) => told = Some(error),
                (Err(error), Ok(_)) => {
                    told.get_or_insert(error);
                }
                (Err(_), Err(error)) => {
                    told.get_or_insert(error);
                }
            }
        }
        Err(told.unwrap_or_else(|| SheetError::NoQuantity {
            typed: item.to_owned(),
        }))
    }

    /// Reads a lot, or packs of a run that are opened.
    fn source(&self, text: &str) -> Result<(LotName, Option<SerialRange>), SheetError> {
        match text
            .split_once(['/', '#'])
            .filter(|_| !text.contains("://"))
        {
            Some((run, serials)) => Ok((self.lot(run)?, Some(range(serials)?))),
            None => Ok((self.lot(text)?, None)),
        }
    }

    /// Reads `run-7 #1-12`, `run-7/12`, `tub-3 x31` or `run-9 all`.
    pub(super) fn pick(&self, item: &str) -> Result<PackPick<Typed>, SheetError> {
        let item = item.trim();
        if let Some((run, last)) = item.rsplit_once(char::is_whitespace) {
            let which = match last.strip_prefix(['x', 'X']) {
                Some(count) if count.bytes().all(|byte| byte.is_ascii_digit()) => {
                    Some(Which::Unnumbered(unnumbered(count, item)?))
                }
                _ if last.eq_ignore_ascii_case("all") => Some(Which::All),
                _ => None,
            };
            if let Some(which) = which {
                let run = self.lot(run)?;
                return Ok(PackPick { run, which });
            }
        }
        if let Some(Named::Pack(pack)) = self.scanned(item) {
            let run = LotName::Code(pack.run);
            let which = Which::Serials(within(pack.serial, pack.serial, item)?);
            return Ok(PackPick { run, which });
        }
        match item.split_once(['#', '/']) {
            Some((run, serials)) => Ok(PackPick {
                run: self.lot(run)?,
                which: Which::Serials(range(serials)?),
            }),
            None => Err(SheetError::NoPacks {
                typed: item.to_owned(),
            }),
        }
    }

    /// Reads one pack, or its run where nobody knows the serial.
    pub(super) fn pack(&self, text: &str) -> Result<PackName<Typed>, SheetError> {
        if let Some(Named::Pack(pack)) = self.scanned(text) {
            return Ok(PackName {
                run: LotName::Code(pack.run),
                serial: Some(pack.serial),
            });
        }
        let (run, serial) = match text
            .split_once(['#', '/'])
            .filter(|_| !text.contains("://"))
        {
            Some((run, serial)) => {
                let serial = Serial::read(serial.trim().trim_start_matches('#'))?;
                (run, Some(serial))
            }
            None => (text, None),
        };
        Ok(PackName {
            run: self.lot(run)?,
            serial,
        })
    }
}

/// Returns every way to divide an item into a name and an amount, spaces before colons.
fn divisions(item: &str) -> impl Iterator<Item = (&str, &str)> {
    let spaces = item.match_indices(char::is_whitespace);
    let colons = item.match_indices(':');
    let cut = |(at, sign): (usize, &str)| (item[..at].trim(), item[at + sign.len()..].trim());
    let whole = |(left, right): &(&str, &str)| !left.is_empty() && !right.is_empty();
    spaces.chain(colons).map(cut).filter(whole)
}

/// Reads `1-12` or `5`.
fn range(text: &str) -> Result<SerialRange, SheetError> {
    let text = text.trim();
    let (first, last) = text.split_once(['-', '–']).unwrap_or((text, text));
    let serial = |part: &str| Serial::read(part.trim().trim_start_matches('#'));
    within(serial(first)?, serial(last)?, text)
}

fn within(first: Serial, last: Serial, typed: &str) -> Result<SerialRange, SheetError> {
    if last.number() > MOST {
        return Err(too_many(typed));
    }
    SerialRange::new(first, last).ok_or_else(|| SheetError::Backwards {
        typed: typed.to_owned(),
    })
}

fn unnumbered(count: &str, typed: &str) -> Result<u32, SheetError> {
    let count = count.parse().ok();
    count
        .filter(|count| (1..=MOST).contains(count))
        .ok_or_else(|| too_many(typed))
}

fn too_many(typed: &str) -> SheetError {
    SheetError::NotWhole {
        typed: typed.to_owned(),
        least: 1,
        most: MOST,
    }
}

#[cfg(test)]
#[path = "item_test.rs"]
mod tests;
