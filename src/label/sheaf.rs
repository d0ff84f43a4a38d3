//! Sheaves of labels: all of one template on one kind of sheet, laid out together.

use crate::farm::{Farm, LotId, LotSort, Printer};

use super::day::newest;
use super::dots::Dots;
use super::field::Content;
use super::item::Layout;
use super::layout::lay_out_in;
use super::order::{Sheaf, Subject};
use super::problem::Problem;
use super::proofing::Proofing;
use super::sheet::Sheet;
use super::template::Template;

/// The labels of one template and sheet, before they are laid out.
pub struct Page<'a> {
    template: Template,
    sheet: Sheet,
    printer: Option<&'a Printer>,
    parts: Vec<(Subject, Vec<Content>)>,
}

impl<'a> Page<'a> {
    /// Makes a page without labels.
    pub fn new(template: Template, sheet: Sheet, printer: Option<&'a Printer>) -> Self {
        Self {
            template,
            sheet,
            printer,
            parts: Vec::new(),
        }
    }

    /// Tells whether labels of this template on this sheet go here.
    pub fn is_of(&self, template: &Template, sheet: Sheet) -> bool {
        self.template == *template && self.sheet == sheet
    }

    /// Adds the labels of a subject.
    pub fn add(&mut self, subject: &Subject, words: Vec<Content>) {
        self.parts.push((subject.clone(), words));
    }

    /// Lays out one label.
    pub fn lay_out_one(&self, words: &Content) -> Result<Layout, Vec<Problem>> {
        let dots = Dots::for_codes(self.printer);
        lay_out_in(&self.template, words, self.sheet.cell(), dots)
    }

    /// Lays all labels out and has them looked at; `None` where some cannot be laid out.
    pub fn lay_out(self, proofing: &mut Proofing) -> Option<Sheaf> {
        let mut labels = Vec::new();
        let mut whole = true;
        for (subject, contents) in &self.parts {
            let surface = proofing.surface(subject, &self.template.name, self.printer);
            for words in contents {
                match self.lay_out_one(words) {
                    Ok(label) => {
                        proofing.label(subject, &label, &surface);
                        labels.push(label);
                    }
                    Err(problems) => {
                        proofing.problems(problems);
                        whole = false;
                    }
                }
            }
        }
        let subjects: Vec<Subject> = self.parts.into_iter().map(|(subject, _)| subject).collect();
        let farm = proofing.farm();
        whole.then(|| Sheaf {
            what: what(farm, &subjects),
            template: self.template.name,
            sheet: self.sheet,
            labels,
            date: newest(farm, &subjects),
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
