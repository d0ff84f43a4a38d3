//! Where the words of labels are made: what each is for, turned into what it says, on which template and sheet.

use crate::farm::{BinCode, Farm, LotId, LotSort, Printer, SerialRange, Settings};

use super::counts::all;
use super::error::LabelError;
use super::order::Subject;
use super::proof::Conditions;
use super::sheet::Sheet;
use super::standing::Standing;
use super::template::Template;
use super::words::Words;
use super::words_of_packs::WordsOfPacks;
use super::{usual, words_of_lots, words_of_places};

/// What the words of labels are made from.
pub struct Desk<'a> {
    pub farm: &'a Farm,
    pub settings: &'a Settings,
    pub standing: Standing<'a>,
}

impl<'a> Desk<'a> {
    /// Writes the words of each label of a subject.
    pub fn words(&self, subject: &Subject) -> Result<Words<'a>, LabelError> {
        let (farm, settings) = (self.farm, self.settings);
        Ok(match subject {
            Subject::Packs(run, range) => self.packs(*run, *range)?,
            Subject::Lot(id) if farm.lot(*id).sort == LotSort::Bed => {
                let bin = self.bin_of(*id)?;
                Words::one(words_of_places::of_a_bin(farm, bin, settings))
            }
            Subject::Lot(id) => {
                Words::one(words_of_lots::of_tag(farm, *id, &self.standing, settings))
            }
            Subject::Hold(id) => {
                let code = farm.lot(*id).code;
                let stop = self.standing.stop(*id);
                let stop = stop.ok_or(LabelError::NotHeld { code })?;
                Words::one(words_of_lots::of_hold(farm, *id, &stop, settings))
            }
            Subject::Bin(bin) => Words::one(words_of_places::of_a_bin(farm, *bin, settings)),
            Subject::Rack(rack) => Words::one(words_of_places::of_a_rack(farm, rack, settings)),
        })
    }

    /// Returns the templates of a subject where nobody names one: all that its product has.
    pub fn templates_of(&self, subject: &Subject) -> Vec<String> {
        let only = |name: &str| vec![name.to_owned()];
        match subject {
            Subject::Packs(run, _) => self.farm.product(*run).map_or_else(Vec::new, |product| {
                usual::of_product(self.settings, product)
            }),
            Subject::Lot(id) => match self.farm.lot(*id).sort {
                LotSort::Delivery(_) => only("delivery"),
                LotSort::Batch(_) | LotSort::Run(_) => only("batch"),
                LotSort::Bed => only("bin"),
            },
            Subject::Hold(_) => only("hold"),
            Subject::Bin(_) => only("bin"),
            Subject::Rack(_) => only("rack"),
        }
    }

    /// Returns the sheet of a subject's labels: the one that is asked for, else the product's or the usual one.
    pub fn sheet_of(
        &self,
        subject: &Subject,
        template: &Template,
        asked: Option<Sheet>,
    ) -> Result<Sheet, LabelError> {
        if let Some(sheet) = asked {
            return Ok(sheet);
        }
        let product = match subject {
            Subject::Packs(run, _) => self.farm.product(*run),
            Subject::Lot(_) | Subject::Hold(_) | Subject::Bin(_) | Subject::Rack(_) => None,
        };
        let setting = product.and_then(|product| self.settings.products.get(&*product.key));
        let own = setting.and_then(|setting| setting.sheet.as_deref());
        Ok(usual::sheet(template, own.map(str::parse).transpose()?))
    }

    /// Returns the printer that a sheet goes to, if castlot.toml has one for it.
    pub fn printer_of(
        &self,
        sheet: Sheet,
        conditions: &Conditions,
    ) -> Result<Option<&'a Printer>, LabelError> {
        let found = usual::printer(self.settings, sheet, conditions.printer)?;
        Ok(found.map(|(_, printer)| printer))
    }

    fn packs(&self, run: LotId, range: Option<SerialRange>) -> Result<Words<'a>, LabelError> {
        let lot = self.farm.lot(run);
        let count = lot.shelf.as_ref().map_or(0, |shelf| shelf.made());
        if let Some(last) = range.map(|range| range.last().number())
            && last > count
        {
            return Err(LabelError::NoSuchPack {
                code: lot.code,
                count,
                serial: last,
            });
        }
        let serials = range.or_else(|| all(count));
        let words = WordsOfPacks::of(self.farm, run, self.settings);
        Ok(words
            .zip(serials)
            .map_or_else(Words::default, |(words, serials)| {
                Words::packs(words, serials)
            }))
    }

    fn bin_of(&self, bed: LotId) -> Result<BinCode, LabelError> {
        let lot = self.farm.lot(bed);
        let ended = lot.ended.map_or(lot.when, |ending| ending.when);
        lot.bin().ok_or(LabelError::BedEnded {
            code: lot.code,
            ended,
        })
    }
}
