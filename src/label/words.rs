//! The words of labels in their order, each label's written when it is asked for.

use crate::farm::{Serial, SerialRange};

use super::field::Content;
use super::words_of_packs::WordsOfPacks;

/// The words of some labels.
#[derive(Clone, Default)]
pub struct Words<'a>(Vec<Part<'a>>);

/// The words of labels that have most of them in common.
#[derive(Clone)]
enum Part<'a> {
    One(Box<Content>),
    Packs(Box<WordsOfPacks<'a>>, SerialRange),
}

impl<'a> Words<'a> {
    /// The words of one label.
    pub fn one(content: Content) -> Self {
        Self(vec![Part::One(Box::new(content))])
    }

    /// The words of some packs of a run.
    pub fn packs(words: WordsOfPacks<'a>, serials: SerialRange) -> Self {
        Self(vec![Part::Packs(Box::new(words), serials)])
    }

    /// Adds the words of more labels behind these.
    pub fn join(&mut self, more: Self) {
        self.0.extend(more.0);
    }

    /// Returns how many labels they are for.
    pub fn len(&self) -> usize {
        self.0.iter().map(Part::len).sum()
    }

    /// Writes the words of each label, one after the other.
    pub fn iter(&self) -> impl Iterator<Item = Content> + '_ {
        let of_part = |part| (0..Part::len(part)).filter_map(|at| part.at(at));
        self.0.iter().flat_map(of_part)
    }
}

impl Part<'_> {
    fn len(&self) -> usize {
        match self {
            Self::One(_) => 1,
            Self::Packs(_, serials) => serials.count() as usize,
        }
    }

    fn at(&self, at: usize) -> Option<Content> {
        match self {
            Self::One(content) => Some(Content::clone(content)),
            Self::Packs(words, serials) => {
                let number = serials.first().number() + u32::try_from(at).ok()?;
                Serial::new(number).map(|serial| words.pack(serial))
            }
        }
    }
}
