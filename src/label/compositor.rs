//! Lays out labels of one template, one after the other, and sets a block of text again only where its words change.
//!
//! Packs of a run differ in their serial and code; whatever else they say is broken into lines and measured once.

use super::dots::Dots;
use super::entry::{Filled, Misfit, fill};
use super::field::Content;
use super::item::{Item, Layout};
use super::layout::Desk;
use super::length::Size;
use super::problem::Problem;
use super::setting::set;
use super::template::{Block, Template};

/// Who lays out labels of a template on a cell.
pub struct Compositor<'t> {
    template: &'t Template,
    cell: Size,
    dots: Dots,
    /// The latest setting of each block of the template's layout for this cell.
    blocks: Vec<Latest<'t>>,
}

/// The latest setting of a block, if there was one.
#[derive(Default)]
struct Latest<'t>(Option<Setting<'t>>);

/// What a block said, and what came of it.
struct Setting<'t> {
    said: Vec<Filled<'t>>,
    items: Result<Vec<Item>, Vec<Misfit>>,
}

impl<'t> Compositor<'t> {
    /// Begins with labels whose codes are of whole dots.
    pub fn new(template: &'t Template, cell: Size, dots: Dots) -> Self {
        let layout = template.layout_for(cell);
        let blocks = layout.map_or(0, |layout| layout.blocks.len());
        Self {
            template,
            cell,
            dots,
            blocks: (0..blocks).map(|_| Latest::default()).collect(),
        }
    }

    /// Lays a label out, or tells everything that is wrong with it.
    pub fn lay_out(&mut self, content: &Content) -> Result<Layout, Vec<Problem>> {
        let desk = Desk {
            template: self.template,
            content,
            cell: self.cell,
            dots: self.dots,
        };
        let Some(layout) = self.template.layout_for(self.cell) else {
            return Err(vec![desk.no_layout()]);
        };
        let mut items = desk.shapes(layout);
        let mut problems = Vec::new();
        for (block, latest) in layout.blocks.iter().zip(&mut self.blocks) {
            match latest.set(block, content, self.cell) {
                Ok(set) => items.extend_from_slice(set),
                Err(misfits) => {
                    problems.extend(misfits.into_iter().map(|misfit| desk.problem(misfit)));
                }
            }
        }
        problems.extend(items.iter().filter_map(|item| desk.off_the_label(item)));
        desk.add_codes(layout, &mut items, &mut problems);
        match problems.is_empty() {
            true => Ok(desk.layout(items)),
            false => Err(problems),
        }
    }
}

impl<'t> Latest<'t> {
    /// Sets a block, unless it says what it said before.
    fn set(
        &mut self,
        block: &'t Block,
        content: &Content,
        cell: Size,
    ) -> Result<&[Item], Vec<Misfit>> {
        let filled = fill(block, content)?;
        self.0.take_if(|before| before.said != filled);
        let setting = self.0.get_or_insert_with(|| Setting {
            items: set(block, &filled, cell),
            said: filled,
        });
        setting.items.as_deref().map_err(Clone::clone)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::look::sheet_of;
    use crate::label::sample::content;
    use crate::label::{Field, lay_out};

    /// Labels of one template that differ in what they say, lack and cannot hold.
    fn contents(name: &str) -> Vec<Content> {
        let with = |field: Field, words: Option<&str>| {
            let mut content = content(name);
            match words {
                Some(words) => content.fields.insert(field, words.to_owned()),
                None => content.fields.remove(&field),
            };
            content
        };
        vec![
            content(name),
            with(Field::Code, Some("P26115-07-S/0013")),
            with(Field::Code, Some("P26115-07-S/0013")),
            with(Field::BestBy, None),
            with(Field::Product, Some(&"a very long name ".repeat(40))),
            with(Field::Product, Some(&"a very long name ".repeat(40))),
            with(Field::Product, Some("🪱")),
            with(Field::Lot, None),
            with(Field::Wormer, None),
            content(name),
        ]
    }

    #[test]
    fn what_was_laid_out_before_leaves_no_mark_on_a_label() {
        for (name, cut) in [
            ("bag-small", "99x67"),
            ("tub", "63x72"),
            ("delivery", "99x93"),
        ] {
            let template = Template::built_in(name).unwrap();
            let cell = sheet_of(cut).cell();
            let mut compositor = Compositor::new(&template, cell, Dots::USUAL);
            for content in contents(name) {
                let alone = lay_out(&template, &content, cell);
                assert_eq!(compositor.lay_out(&content), alone, "{name}");
            }
        }
    }
}
