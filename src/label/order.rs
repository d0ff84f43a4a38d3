//! An order of labels: what they are for, on which template and sheet; laid out, and proofed before anything prints.

use crate::farm::{BinCode, Farm, LotId, SerialRange, Settings};

use super::desk::Desk;
use super::dots::Dots;
use super::error::LabelError;
use super::layout::lay_out_in;
use super::proof::{Conditions, Proofed};
use super::proof_run::OnPack;
use super::proofing::Proofing;
use super::sheaf::Page;
use super::sheet::Sheet;
use super::standing::Standing;
use super::templates::Templates;

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

impl Subject {
    /// Returns how many labels of a template it has.
    fn count(&self, farm: &Farm) -> u64 {
        match self {
            Self::Packs(run, range) => {
                let made = farm
                    .lot(*run)
                    .shelf
                    .as_ref()
                    .map_or(0, |shelf| shelf.made());
                u64::from(range.map_or(made, |range| range.count().min(made)))
            }
            Self::Lot(_) | Self::Hold(_) | Self::Bin(_) | Self::Rack(_) => 1,
        }
    }
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

impl Order {
    /// More labels at once than this are a slip of the finger.
    pub const MOST_LABELS: u64 = 100_000;

    /// Lays out all labels and proofs them: everything that is wrong with any is told at once.
    pub fn proof<'a>(
        &self,
        farm: &'a Farm,
        settings: &'a Settings,
        templates: &Templates,
        conditions: &Conditions,
    ) -> Result<Proofed<'a>, LabelError> {
        Self::bounded(
            self.subjects
                .iter()
                .map(|subject| subject.count(farm))
                .sum(),
        )?;
        let desk = Desk {
            farm,
            settings,
            standing: Standing::of(farm),
        };
        let mut pages: Vec<Page> = Vec::new();
        for subject in &self.subjects {
            let words = desk.words(subject)?;
            for name in self.template_names(&desk, subject) {
                let template = templates.find(&name)?;
                let sheet = desk.sheet_of(subject, &template, self.sheet)?;
                match pages.iter_mut().find(|page| page.is_of(&template, sheet)) {
                    Some(page) => page.add(subject, words.clone()),
                    None => {
                        let printer = desk.printer_of(sheet, conditions)?;
                        let mut page = Page::new(template, sheet, printer);
                        page.add(subject, words.clone());
                        pages.push(page);
                    }
                }
            }
        }
        let mut proofing = Proofing::new(&desk, conditions, pages.iter().map(Page::len).sum());
        let mut sheaves = Vec::new();
        for page in pages {
            sheaves.extend(page.lay_out(&mut proofing));
        }
        for subject in self.runs() {
            let set = self.set_of(&desk, subject, templates, &mut proofing)?;
            proofing.run(subject, set.as_deref());
        }
        Ok(Proofed::new(sheaves, proofing.finish()))
    }

    /// Refuses more labels than can be laid out at once.
    pub fn bounded(asked: u64) -> Result<(), LabelError> {
        let most = Self::MOST_LABELS;
        match asked > most {
            true => Err(LabelError::TooMany { asked, most }),
            false => Ok(()),
        }
    }

    fn template_names(&self, desk: &Desk, subject: &Subject) -> Vec<String> {
        match &self.template {
            Some(name) => vec![name.clone()],
            None => desk.templates_of(subject),
        }
    }

    /// The subjects that are packs, each run once.
    fn runs(&self) -> Vec<&Subject> {
        let mut runs: Vec<&Subject> = Vec::new();
        for subject in &self.subjects {
            let Subject::Packs(run, _) = subject else {
                continue;
            };
            let known =
                |other: &&Subject| matches!(other, Subject::Packs(known, _) if known == run);
            if !runs.iter().any(known) {
                runs.push(subject);
            }
        }
        runs
    }

    /// Lays out one pack's labels on all templates that belong together, so that front and back count as one: those of
    /// the product, unless another is asked for. `None` where one of them cannot be laid out, which the proof then says.
    fn set_of(
        &self,
        desk: &Desk,
        subject: &Subject,
        templates: &Templates,
        proofing: &mut Proofing,
    ) -> Result<Option<Vec<OnPack>>, LabelError> {
        let own = desk.templates_of(subject);
        let names = match &self.template {
            Some(name) if !own.contains(name) => vec![name.clone()],
            Some(_) | None => own,
        };
        let Some(words) = desk.words(subject)?.iter().next() else {
            return Ok(None);
        };
        let mut set = Vec::new();
        let mut whole = true;
        for name in names {
            let template = templates.find(&name)?;
            // A label that is only looked at beside the one asked for may have another sheet.
            let asked = self
                .sheet
                .filter(|sheet| template.layout_for(sheet.cell()).is_some());
            let sheet = desk.sheet_of(subject, &template, asked)?;
            let printer = desk.printer_of(sheet, proofing.conditions())?;
            match lay_out_in(&template, &words, sheet.cell(), Dots::for_codes(printer)) {
                Ok(label) => set.push(OnPack::of(label, &name)),
                Err(problems) => {
                    proofing.problems(problems);
                    whole = false;
                }
            }
        }
        Ok(whole.then_some(set))
    }
}
