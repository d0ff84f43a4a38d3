//! Sheaves of labels: all of one template on one kind of sheet, laid out together.

use jiff::civil::Date;

use crate::farm::{Farm, LotId, LotSort, Printer};

use super::day::newest;
use super::dots::Dots;
use super::labels::{Group, Labels};
use super::order::Subject;
use super::proofing::Proofing;
use super::sheet::Sheet;
use super::template::Template;
use super::words::Words;

/// Labels of one template on one kind of sheet.
#[derive(Clone)]
pub struct Sheaf<'a> {
    /// What they are for, in one word: `run-7`, `bins`.
    pub what: String,
    /// The template's name.
    pub template: String,
    /// The sheet.
    pub sheet: Sheet,
    /// The labels, in order.
    pub labels: Labels<'a>,
    /// The day of the newest entry that they speak of.
    pub date: Date,
}

/// The labels of one template and sheet, before they are laid out.
pub struct Page<'a> {
    template: Template,
    sheet: Sheet,
    printer: Option<&'a Printer>,
    parts: Vec<(Subject, Words<'a>)>,
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
    pub fn add(&mut self, subject: &Subject, words: Words<'a>) {
        self.parts.push((subject.clone(), words));
    }

    /// Returns how many labels it has.
    pub fn len(&self) -> usize {
        self.parts.iter().map(|(_, words)| words.len()).sum()
    }

    /// Lays all labels out and has them looked at; `None` where some cannot be laid out.
    pub fn lay_out(self, proofing: &mut Proofing) -> Option<Sheaf<'a>> {
        let mut group = Group {
            template: self.template,
            cell: self.sheet.cell(),
            dots: Dots::for_codes(self.printer),
            words: Words::default(),
        };
        let mut compositor = group.compositor();
        let mut whole = true;
        for (subject, words) in &self.parts {
            let surface = proofing.surface(subject, &group.template.name, self.printer);
            for words in words.iter() {
                match compositor.lay_out(&words) {
                    Ok(label) => proofing.label(subject, &label, &surface),
                    Err(problems) => {
                        proofing.problems(problems);
                        whole = false;
                    }
                }
            }
        }
        let mut subjects = Vec::new();
        for (subject, words) in self.parts {
            subjects.push(subject);
            group.words.join(words);
        }
        let farm = proofing.farm();
        whole.then(|| Sheaf {
            what: what(farm, &subjects),
            template: group.template.name.clone(),
            sheet: self.sheet,
            labels: Labels::laid_out_before(group),
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
