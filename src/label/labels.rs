//! Labels in their order, laid out one by one as they are asked for.
//!
//! A proof has looked at each of them before; to lay them out again takes less time than to hold them, and so a hundred
//! thousand take no more room than a few.

use super::compositor::Compositor;
use super::dots::Dots;
use super::item::Layout;
use super::length::Size;
use super::template::Template;
use super::words::Words;

/// Labels that can all be laid out.
#[derive(Clone, Default)]
pub struct Labels<'a>(Vec<Group<'a>>);

/// Labels of one template.
#[derive(Clone)]
pub(super) struct Group<'a> {
    pub(super) template: Template,
    pub(super) cell: Size,
    pub(super) dots: Dots,
    pub(super) words: Words<'a>,
}

impl<'a> Labels<'a> {
    /// Takes labels that were laid out before, so that it is known that they can be.
    pub(super) fn laid_out_before(group: Group<'a>) -> Self {
        Self(vec![group])
    }

    /// Adds more labels behind these.
    pub fn join(&mut self, more: Self) {
        self.0.extend(more.0);
    }

    /// Returns how many there are.
    pub fn len(&self) -> usize {
        self.0.iter().map(|group| group.words.len()).sum()
    }

    /// Tells whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Lays each label out, one after the other.
    pub fn iter(&self) -> impl Iterator<Item = Layout> + '_ {
        self.0.iter().flat_map(|group| {
            let mut compositor = group.compositor();
            let laid_out = move |words| {
                let label = compositor.lay_out(&words);
                label.expect("the proof has laid it out before")
            };
            group.words.iter().map(laid_out)
        })
    }
}

impl Group<'_> {
    /// Returns who lays its labels out.
    pub fn compositor(&self) -> Compositor<'_> {
        Compositor::new(&self.template, self.cell, self.dots)
    }
}
