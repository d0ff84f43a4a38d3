//! An order of labels: what they are for, on which template and sheet; laid out, or refused with all reasons at once.

use jiff::civil::Date;

use crate::farm::{BinCode, Farm, LotId, LotSort, Serial, SerialRange, Settings};

use super::day::newest;
use super::error::{LabelError, NotForSale};
use super::field::Content;
use super::item::Layout;
use super::layout::lay_out;
use super::problem::Problem;
use super::sheet::Sheet;
use super::standing::Standing;
use super::template::Template;
use super::templates::Templates;
use super::{usual, words_of_lots, words_of_packs, words_of_places};

/// What a label is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Subject {
    /// Every pack of a run, or some of them.
    Packs(LotId, Option<SerialRange>),
    /// A delivery, a batch, or a bed, whose label is that of its bin.
    Lot(LotId),
    /// A lot that is held.
    Hold(LotId),
    /// A bin.
    Bin(BinCode),
    /// A rack.
    Rack(String),
}

/// What is wanted.
#[derive(Clone, Debug, Default)]
pub struct Order {
    /// What for, in the order of printing.
    pub subjects: Vec<Subject>,
    /// The template; the usual ones where nobody says.
    pub template: Option<String>,
    /// The sheet; the product's or the usual one where nobody says.
    pub sheet: Option<Sheet>,
}

/// Labels of one template on one kind of sheet.
#[derive(Clone, Debug)]
pub struct Sheaf {
    /// What they are for, in one word: `run-7`, `bins`.
    pub what: String,
    /// The template's name.
    pub template: String,
    /// The sheet.
    pub sheet: Sheet,
    /// The labels, in order.
    pub labels: Vec<Layout>,
    /// The day of the newest entry that they speak of.
    pub date: Date,
}

impl Order {
    /// Lays out all labels, or tells everything that is wrong with them.
    pub fn lay_out(
        &self,
        farm: &Farm,
        settings: &Settings,
        templates: &Templates,
    ) -> Result<Vec<Sheaf>, LabelError> {
        let desk = Desk {
            farm,
            settings,
            standing: Standing::of(farm),
        };
        self.refuse_unsaleable(&desk)?;
        let mut pages: Vec<Page> = Vec::new();
        for subject in &self.subjects {
            let words = desk.words(subject)?;
            for name in self.template_names(&desk, subject) {
                let template = templates.find(&name)?;
                let sheet = self.sheet_for(&desk, subject, &template)?;
                let same = |page: &&mut Page| page.template == template && page.sheet == sheet;
                match pages.iter_mut().find(same) {
                    Some(page) => page.add(subject, &words),
                    None => pages.push(Page::new(template, sheet, subject, &words)),
                }
            }
        }
        let pages: Vec<_> = pages.into_iter().map(|page| page.lay_out(farm)).collect();
        let mut problems = Vec::new();
        let mut sheaves = Vec::new();
        for page in pages {
            match page {
                Ok(sheaf) => sheaves.push(sheaf),
                Err(found) => problems.extend(found),
            }
        }
        match problems.is_empty() {
            true => Ok(sheaves),
            false => Err(LabelError::Problems {
                problems: Problem::said_once(problems),
            }),
        }
    }

    fn refuse_unsaleable(&self, desk: &Desk) -> Result<(), LabelError> {
        let mut lots: Vec<NotForSale> = Vec::new();
        for subject in &self.subjects {
            if let Subject::Packs(run, _) = subject
                && let Err(refused) = desk.standing.for_sale(*run)
                && !lots.contains(&refused)
            {
                lots.push(refused);
            }
        }
        match lots.is_empty() {
            true => Ok(()),
            false => Err(LabelError::NotForSale { lots }),
        }
    }

    fn template_names(&self, desk: &Desk, subject: &Subject) -> Vec<String> {
        if let Some(name) = &self.template {
            return vec![name.clone()];
        }
        let only = |name: &str| vec![name.to_owned()];
        match subject {
            Subject::Packs(run, _) => desk.farm.product(*run).map_or_else(Vec::new, |product| {
                usual::of_product(desk.settings, product)
            }),
            Subject::Lot(id) => match desk.farm.lot(*id).sort {
                LotSort::Delivery(_) => only("delivery"),
                LotSort::Batch(_) | LotSort::Run(_) => only("batch"),
                LotSort::Bed => only("bin"),
            },
            Subject::Hold(_) => only("hold"),
            Subject::Bin(_) => only("bin"),
            Subject::Rack(_) => only("rack"),
        }
    }

    fn sheet_for(
        &self,
        desk: &Desk,
        subject: &Subject,
        template: &Template,
    ) -> Result<Sheet, LabelError> {
        if let Some(sheet) = self.sheet {
            return Ok(sheet);
        }
        let product = match subject {
            Subject::Packs(run, _) => desk.farm.product(*run),
            Subject::Lot(_) | Subject::Hold(_) | Subject::Bin(_) | Subject::Rack(_) => None,
        };
        let setting = product.and_then(|product| desk.settings.products.get(&*product.key));
        let own = setting.and_then(|setting| setting.sheet.as_deref());
        Ok(usual::sheet(template, own.map(str::parse).transpose()?))
    }
}

/// What the words of labels are made from.
struct Desk<'a> {
    farm: &'a Farm,
    settings: &'a Settings,
    standing: Standing<'a>,
}

impl Desk<'_> {
    fn words(&self, subject: &Subject) -> Result<Vec<Content>, LabelError> {
        let (farm, settings) = (self.farm, self.settings);
        Ok(match subject {
            Subject::Packs(run, range) => self.packs(*run, *range)?,
            Subject::Lot(id) if farm.lot(*id).sort == LotSort::Bed => {
                let bin = self.bin_of(*id)?;
                vec![words_of_places::of_a_bin(farm, bin, settings)]
            }
            Subject::Lot(id) => {
                vec![words_of_lots::of_tag(farm, *id, &self.standing, settings)]
            }
            Subject::Hold(id) => {
                let code = farm.lot(*id).code;
                let stop = self.standing.stop(*id);
                let stop = stop.ok_or(LabelError::NotHeld { code })?;
                vec![words_of_lots::of_hold(farm, *id, &stop, settings)]
            }
            Subject::Bin(bin) => vec![words_of_places::of_a_bin(farm, *bin, settings)],
            Subject::Rack(rack) => vec![words_of_places::of_a_rack(farm, rack, settings)],
        })
    }

    fn packs(&self, run: LotId, range: Option<SerialRange>) -> Result<Vec<Content>, LabelError> {
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
        let all = || SerialRange::new(first(), Serial::new(count)?);
        let serials = range.or_else(all).into_iter().flat_map(|r| r.serials());
        Ok(words_of_packs::of_run(
            self.farm,
            run,
            serials,
            self.settings,
        ))
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

fn first() -> Serial {
    Serial::new(1).expect("1 is a serial")
}

/// The labels of one template and sheet, before they are laid out.
struct Page {
    template: Template,
    sheet: Sheet,
    subjects: Vec<Subject>,
    words: Vec<Content>,
}

impl Page {
    fn new(template: Template, sheet: Sheet, subject: &Subject, words: &[Content]) -> Self {
        Self {
            template,
            sheet,
            subjects: vec![subject.clone()],
            words: words.to_vec(),
        }
    }

    fn add(&mut self, subject: &Subject, words: &[Content]) {
        self.subjects.push(subject.clone());
        self.words.extend_from_slice(words);
    }

    fn lay_out(self, farm: &Farm) -> Result<Sheaf, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut labels = Vec::new();
        for words in &self.words {
            match lay_out(&self.template, words, self.sheet.cell()) {
                Ok(label) => labels.push(label),
                Err(found) => problems.extend(found),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(Sheaf {
            what: what(farm, &self.subjects),
            template: self.template.name,
            sheet: self.sheet,
            labels,
            date: newest(farm, &self.subjects),
        })
    }
}

/// Says in one word what labels are for: the one thing, or the kind of several.
fn what(farm: &Farm, subjects: &[Subject]) -> String {
    let called = |id: LotId| {
        let lot = farm.lot(id);
        let mark = lot.mark.as_ref().map(ToString::to_string);
        mark.unwrap_or_else(|| lot.code.to_string())
    };
    match subjects {
        [Subject::Packs(run, None)] => called(*run),
        [Subject::Packs(run, Some(range))] => format!("{}_{range}", called(*run)),
        [Subject::Lot(id) | Subject::Hold(id)] => called(*id),
        [Subject::Bin(bin)] => bin.to_string(),
        [Subject::Rack(rack)] => rack.clone(),
        [Subject::Packs(..), ..] => "packs".to_owned(),
        [Subject::Bin(_), ..] => "bins".to_owned(),
        [Subject::Rack(_), ..] => "racks".to_owned(),
        [Subject::Hold(_), ..] => "holds".to_owned(),
        [Subject::Lot(id), ..] => match farm.lot(*id).sort {
            LotSort::Delivery(_) => "deliveries".to_owned(),
            LotSort::Bed => "beds".to_owned(),
            LotSort::Batch(_) | LotSort::Run(_) => "batches".to_owned(),
        },
        [] => "nothing".to_owned(),
    }
}
