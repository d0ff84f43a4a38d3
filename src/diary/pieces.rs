//! The pieces that stand in several kinds of stored lines: draws, picks of packs, beds, products.
//!
//! Promises never to change what is written; a later version may add. Fields stand in the order of their keys.

use serde::{Deserialize, Serialize};

use super::error::{DiaryError, WireError};
use super::ink::Ink;
use super::values::{AmountLine, QuantityLine, Text};
use super::wire::need;
use crate::farm::{
    BedName, BinCode, Draw, Gtin, LotCode, Mark, Meant, NewLot, PackKind, PackName, PackPick,
    Portion, Product, Serial, SerialRange, Sieved, Which,
};

/// Returns a list as it is written: nothing where it is empty.
pub(super) fn list<T, U>(items: &[T], write: impl Fn(&T) -> U) -> Option<Vec<U>> {
    (!items.is_empty()).then(|| items.iter().map(write).collect())
}

/// Returns a list as it was read.
pub(super) fn unlist<T, U>(
    items: Option<Vec<T>>,
    read: impl Fn(T) -> Result<U, WireError>,
) -> Result<Vec<U>, WireError> {
    let items = items.unwrap_or_default().into_iter().map(read);
    let mut list = items.collect::<Result<Vec<U>, _>>()?;
    // A list mostly has one item, and was read with room for four.
    list.shrink_to_fit();
    Ok(list)
}

/// Some of a lot, or of packs that were opened.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DrawLine {
    amount: AmountLine,
    lot: Text<LotCode>,
    #[serde(skip_serializing_if = "Option::is_none")]
    packs: Option<RangeLine>,
}

impl DrawLine {
    pub fn of(draw: &Draw<Meant>) -> Self {
        Self {
            amount: AmountLine(draw.amount),
            lot: Text(draw.lot),
            packs: draw.packs.map(RangeLine::of),
        }
    }

    pub fn read(self) -> Result<Draw<Meant>, WireError> {
        Ok(Draw {
            lot: self.lot.0,
            packs: self.packs.map(RangeLine::read).transpose()?,
            amount: self.amount.0,
        })
    }
}

/// A run of serials.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RangeLine {
    first: u32,
    last: u32,
}

impl RangeLine {
    fn of(range: SerialRange) -> Self {
        Self {
            first: range.first().number(),
            last: range.last().number(),
        }
    }

    fn read(self) -> Result<SerialRange, WireError> {
        let ends = Serial::new(self.first).zip(Serial::new(self.last));
        let range = ends.and_then(|(first, last)| SerialRange::new(first, last));
        need(range, "first")
    }
}

/// Some packs of a run: all, so many, or those serials.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PickLine {
    #[serde(skip_serializing_if = "Option::is_none")]
    all: Option<bool>,
    run: Text<LotCode>,
    #[serde(skip_serializing_if = "Option::is_none")]
    serials: Option<RangeLine>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unnumbered: Option<u32>,
}

impl PickLine {
    pub fn of(pick: &PackPick<Meant>) -> Self {
        let (all, serials, unnumbered) = match pick.which {
            Which::All => (Some(true), None, None),
            Which::Serials(range) => (None, Some(RangeLine::of(range)), None),
            Which::Unnumbered(count) => (None, None, Some(count)),
        };
        Self {
            all,
            run: Text(pick.run),
            serials,
            unnumbered,
        }
    }

    pub fn read(self) -> Result<PackPick<Meant>, WireError> {
        let which = match (self.all, self.serials, self.unnumbered) {
            (Some(true), None, None) => Which::All,
            (None, Some(range), None) => Which::Serials(range.read()?),
            (None, None, Some(count)) => Which::Unnumbered(count),
            _ => return Err(WireError::Key { key: "packs" }),
        };
        Ok(PackPick {
            run: self.run.0,
            which,
        })
    }
}

/// One pack.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PackLine {
    run: Text<LotCode>,
    #[serde(skip_serializing_if = "Option::is_none")]
    serial: Option<u32>,
}

impl PackLine {
    pub fn of(pack: &PackName<Meant>) -> Self {
        Self {
            run: Text(pack.run),
            serial: pack.serial.map(Serial::number),
        }
    }

    pub fn read(self) -> Result<PackName<Meant>, WireError> {
        let serial = match self.serial {
            None => None,
            Some(number) => Some(need(Serial::new(number), "serial")?),
        };
        Ok(PackName {
            run: self.run.0,
            serial,
        })
    }
}

/// A bed by its code, and beside it the bin as typed.
pub(super) type BedAt = (Text<LotCode>, Option<Text<BinCode>>);

/// Writes a bed; a bin alone does not say which bed was meant, and is never kept.
pub(super) fn bed(name: &BedName<LotCode>, ink: &Ink<'_>) -> Result<BedAt, DiaryError> {
    match *name {
        BedName::Found { bin, bed } => Ok((Text(bed), Some(Text(bin)))),
        BedName::Bed(bed) => Ok((Text(bed), None)),
        BedName::Bin(_) => Err(DiaryError::NotMeant { entry: ink.entry }),
    }
}

/// Reads a bed.
pub(super) fn unbed(bed: Text<LotCode>, bin: Option<Text<BinCode>>) -> BedName<LotCode> {
    match bin {
        Some(bin) => BedName::Found {
            bin: bin.0,
            bed: bed.0,
        },
        None => BedName::Bed(bed.0),
    }
}

/// A bed in a list, with what came of it where the row says so.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BedLine {
    #[serde(skip_serializing_if = "Option::is_none")]
    amount: Option<AmountLine>,
    bed: Text<LotCode>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bin: Option<Text<BinCode>>,
}

impl BedLine {
    pub fn of(sieved: &Sieved<Meant>, ink: &Ink<'_>) -> Result<Self, DiaryError> {
        let (bed, bin) = bed(&sieved.bed, ink)?;
        Ok(Self {
            amount: sieved.amount.map(AmountLine),
            bed,
            bin,
        })
    }

    pub fn read(self) -> Sieved<Meant> {
        Sieved {
            bed: unbed(self.bed, self.bin),
            amount: self.amount.map(|amount| amount.0),
        }
    }
}

/// A share of a bed.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ShareLine {
    of: u32,
    parts: u32,
}

impl ShareLine {
    pub fn of(share: Portion) -> Self {
        Self {
            of: share.of(),
            parts: share.parts(),
        }
    }

    pub fn read(self) -> Result<Portion, WireError> {
        need(Portion::new(self.parts, self.of), "share")
    }
}

/// A product as castlot.toml had it.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ProductLine {
    #[serde(skip_serializing_if = "Option::is_none")]
    best_by_days: Option<u32>,
    /// An addition to the format: lines without it say no.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    best_by_month_end: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    gtin: Option<Text<GtinText>>,
    key: Box<str>,
    kind: Text<PackKind>,
    name: Box<str>,
    net: QuantityLine,
}

impl ProductLine {
    pub fn of(product: &Product) -> Self {
        Self {
            best_by_days: product.best_by_days,
            best_by_month_end: product.best_by_month_end,
            gtin: product.gtin.clone().map(|gtin| Text(GtinText(gtin))),
            key: product.key.clone(),
            kind: Text(product.kind),
            name: product.name.clone(),
            net: QuantityLine(product.net),
        }
    }

    pub fn read(self) -> Product {
        Product {
            key: self.key,
            name: self.name,
            kind: self.kind.0,
            net: self.net.0,
            gtin: self.gtin.map(|gtin| gtin.0.0),
            best_by_days: self.best_by_days,
            best_by_month_end: self.best_by_month_end,
        }
    }
}

/// A trade item number, written as its 14 digits.
#[derive(Debug)]
struct GtinText(Gtin);

impl std::fmt::Display for GtinText {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0.digits())
    }
}

impl std::str::FromStr for GtinText {
    type Err = crate::farm::GtinError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.parse().map(Self)
    }
}

/// The code of a lot that an entry makes.
pub(super) fn code(lot: &NewLot<Meant>) -> Option<Text<LotCode>> {
    Some(Text(lot.code))
}

/// The grower's mark for a lot that an entry makes.
pub(super) fn mark(lot: &NewLot<Meant>) -> Option<Text<Mark>> {
    lot.mark.clone().map(Text)
}

/// Reads a lot that an entry makes.
pub(super) fn new_lot(
    code: Option<Text<LotCode>>,
    mark: Option<Text<Mark>>,
) -> Result<NewLot<Meant>, WireError> {
    Ok(NewLot {
        code: need(code, "code")?.0,
        mark: mark.map(|mark| mark.0),
    })
}
