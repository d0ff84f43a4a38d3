//! Lays a label out: a template, the label's words, and a cell of so many millimetres.
//!
//! Everything that is wrong is told at once, each with the label's name, so that a run of
//! labels is put right in one go. Nothing is cut, moved or left out to make it fit.

use std::sync::Arc;

use super::bars::{BarsMisfit, PlacedBars};
use super::bars_setting;
use super::compositor::Compositor;
use super::dots::Dots;
use super::entry::Misfit;
use super::field::Content;
use super::item::{Item, Layout, PlacedPicture, PlacedQr};
use super::length::Size;
use super::problem::Problem;
use super::qr::{Code, QUIET_MODULES};
use super::quiet::{ground, is_crowded};
use super::room::{fitted, square, stand_in};
use super::said::Said;
use super::template::{BarsPlace, CodePlace, Need, SizeLayout, Template};

/// The fewest dots to a module (three dots, 0.375 mm: measured to decode without fault, grey
/// and in one bit, by two decoders).
const LEAST_DOTS: i64 = 3;

/// Lays a label out on a cell, or tells everything that is wrong with it.
pub fn lay_out(template: &Template, content: &Content, cell: Size) -> Result<Layout, Vec<Problem>> {
    lay_out_in(template, content, cell, Dots::USUAL)
}

/// Lays a label out whose codes are of whole dots of a printer.
pub fn lay_out_in(
    template: &Template,
    content: &Content,
    cell: Size,
    dots: Dots,
) -> Result<Layout, Vec<Problem>> {
    Compositor::new(template, cell, dots).lay_out(content)
}

/// Every field that some run of text has words from.
fn said(items: &[Item]) -> Said {
    let mut said = Said::default();
    for run in items.iter().flat_map(Item::runs) {
        said.join(run.fields);
    }
    said
}

/// What a label is laid out from.
pub(super) struct Desk<'a> {
    pub template: &'a Template,
    pub content: &'a Content,
    pub cell: Size,
    /// A module of a code is a whole number of these, so that its edges fall on dots.
    pub dots: Dots,
}

impl Desk<'_> {
    fn label(&self) -> String {
        self.content.name.clone()
    }

    fn template(&self) -> String {
        self.template.name.clone()
    }

    /// Places pictures, frames and rules.
    pub fn shapes(&self, layout: &SizeLayout) -> Vec<Item> {
        let frames = layout.frames.iter().map(|frame| Item::Frame {
            area: frame.place.on(self.cell),
            stroke: frame.stroke,
        });
        let rules = layout
            .rules
            .iter()
            .map(|rule| Item::Fill(rule.on(self.cell)));
        let pictures = layout.pictures.iter().map(|picture| {
            let room = picture.place.on(self.cell);
            let size = fitted(picture.picture.proportions(), room.size);
            let area = stand_in(room, size, (picture.align, picture.stand));
            let picture = Arc::clone(&picture.picture);
            Item::Picture(PlacedPicture { picture, area })
        });
        pictures.chain(frames).chain(rules).collect()
    }

    /// Places bar codes and QR codes where nothing crowds them.
    pub fn add_codes(
        &self,
        layout: &SizeLayout,
        items: &mut Vec<Item>,
        problems: &mut Vec<Problem>,
    ) {
        for place in &layout.bars {
            match self.bars(place) {
                Ok(Some(bars)) => {
                    items.extend(ground(items, bars.area));
                    items.push(Item::Bars(bars));
                    if is_crowded(items, items.len() - 1) {
                        problems.push(self.bars_problem(BarsMisfit::Crowded));
                    }
                }
                Ok(None) => {}
                Err(why) => problems.push(self.bars_problem(why)),
            }
        }
        for place in &layout.codes {
            match self.code(place) {
                Ok(Some(qr)) => {
                    items.extend(ground(items, qr.quiet));
                    items.push(Item::Qr(qr));
                    if is_crowded(items, items.len() - 1) {
                        problems.push(self.crowded());
                    }
                }
                Ok(None) => {}
                Err(problem) => problems.push(problem),
            }
        }
    }

    /// Makes the label of items on which nothing is wrong.
    pub fn layout(&self, items: Vec<Item>) -> Layout {
        Layout {
            name: self.label(),
            size: self.cell,
            said: said(&items),
            items,
        }
    }

    fn bars(&self, place: &BarsPlace) -> Result<Option<PlacedBars>, BarsMisfit> {
        match (&self.content.gtin, place.need) {
            (Some(gtin), _) => bars_setting::set(gtin, place, self.cell, self.dots).map(Some),
            (None, Need::IfThere) => Ok(None),
            (None, Need::Always) => Err(BarsMisfit::NoGtin),
        }
    }

    fn bars_problem(&self, why: BarsMisfit) -> Problem {
        let (label, template, cell) = (self.label(), self.template(), self.cell);
        Problem::Bars {
            label,
            template,
            cell,
            why,
        }
    }

    fn code(&self, place: &CodePlace) -> Result<Option<PlacedQr>, Problem> {
        let Some(text) = &self.content.qr else {
            return match place.need {
                Need::IfThere => Ok(None),
                Need::Always => Err(Problem::NoCode {
                    label: self.label(),
                    template: self.template(),
                }),
            };
        };
        let code = Code::at_least(text, place.level).map_err(|too_long| Problem::CodeTooLong {
            label: self.label(),
            too_long,
        })?;
        let room = place.place.on(self.cell);
        let across = i64::from(code.width() + 2 * QUIET_MODULES);
        let side = room.size.width.min(room.size.height);
        let dots = self.dots.whole_in(side / across);
        if dots < LEAST_DOTS {
            return Err(Problem::CodeTooFine {
                label: self.label(),
                template: self.template(),
                cell: self.cell,
                modules: code.width(),
                text: text.clone(),
                least: self.dots.length(LEAST_DOTS) * across,
                room: side,
            });
        }
        // Rounded to whole micrometres, a module may be a hair too wide for its room.
        let module = self.dots.length(dots).min(side / across);
        Ok(Some(PlacedQr {
            code,
            module,
            quiet: stand_in(room, square(module * across), (place.align, place.stand)),
        }))
    }

    pub fn no_layout(&self) -> Problem {
        let suits = self
            .template
            .sizes
            .iter()
            .map(|size| (size.least, size.most))
            .collect();
        let (label, template, cell) = (self.label(), self.template(), self.cell);
        Problem::NoLayout {
            label,
            template,
            suits,
            cell,
        }
    }

    fn crowded(&self) -> Problem {
        Problem::Crowded {
            label: self.label(),
            template: self.template(),
            cell: self.cell,
        }
    }

    pub fn problem(&self, misfit: Misfit) -> Problem {
        let (label, template, cell) = (self.label(), self.template(), self.cell);
        match misfit {
            Misfit::Missing(field) => Problem::Missing {
                label,
                template,
                field,
            },
            Misfit::NoGlyph { field, missing } => Problem::NoGlyph {
                label,
                field,
                missing,
            },
            Misfit::Overflow { field, text } => Problem::Overflow {
                label,
                template,
                cell,
                field,
                text,
            },
        }
    }

    /// Accents on the first line of a block may rise above it; off the label they may not.
    pub fn off_the_label(&self, item: &Item) -> Option<Problem> {
        if item.area().lies_on(self.cell) {
            return None;
        }
        let text = match item {
            Item::Text(run) => run.text.clone(),
            Item::Fill(_)
            | Item::Ground(_)
            | Item::Frame { .. }
            | Item::Qr(_)
            | Item::Bars(_)
            | Item::Picture(_) => "a rule".to_owned(),
        };
        Some(self.problem(Misfit::Overflow { field: None, text }))
    }
}
