//! A paper: blocks put one under the other, and written as a PDF.

use jiff::civil::Date;

use crate::label::{Area, Heading, Layout, Length, Page, Point, write};

use super::block::Block;
use super::error::PaperError;
use super::flow::flow;
use super::format::Format;
use super::frame::{Edges, seal};
use super::slab::{Keep, Slab};
use super::style::{Lettering, Style};
use super::table::Table;
use super::wording::count;

/// Who made a paper, and from what: it stands on every page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imprint {
    /// The farm's name.
    pub farm: String,
    /// Its address, a line each.
    pub address: Vec<String>,
    /// Its telephone number.
    pub phone: Option<String>,
    /// The diary's seal.
    pub seal: String,
    /// How many entries the diary has.
    pub entries: usize,
    /// The day on which the newest of them was written.
    pub date: Date,
    /// The moment of printing, where the paper must tell it.
    pub printed: Option<String>,
}

impl Imprint {
    /// The seal's first and last eight characters: enough to tell two papers apart.
    pub(super) fn short_seal(&self) -> String {
        match (self.seal.get(..8), self.seal.len().checked_sub(8)) {
            (Some(first), Some(end)) if end > 8 => {
                format!("seal {first}…{}", self.seal.get(end..).unwrap_or_default())
            }
            _ => format!("seal {}", self.seal),
        }
    }

    /// What the foot of a page says.
    pub(super) fn brief(&self) -> String {
        let (seal, entries) = (self.short_seal(), self.entries());
        let printed = self.printed.as_ref();
        let printed = printed.map_or_else(String::new, |printed| format!(", printed {printed}"));
        format!("{seal}, {entries}, newest of {}{printed}", self.date)
    }

    pub(super) fn entries(&self) -> String {
        count(self.entries, "entry", "entries")
    }

    /// Returns the farm's name, address and telephone number in one line.
    pub fn sender(&self) -> String {
        let name = std::iter::once(&self.farm);
        let lines = name.chain(&self.address).chain(&self.phone);
        lines.cloned().collect::<Vec<_>>().join(", ")
    }
}

/// A paper in the making.
#[derive(Clone, Debug)]
pub struct Paper {
    format: Format,
    title: String,
    imprint: Imprint,
    blocks: Vec<Block>,
    lettering: Lettering,
}

impl Paper {
    /// Begins a paper with its title and the farm's address.
    pub fn new(format: Format, title: &str, imprint: Imprint) -> Self {
        let sender = imprint.sender();
        let mut paper = Self::sign(format, title, imprint);
        paper
            .blocks
            .push(Block::Text(Style::TITLE, title.to_owned()));
        paper.blocks.push(Block::Text(Style::CELL, sender));
        paper
    }

    /// Begins a paper whose title stands in the head only.
    pub fn sign(format: Format, title: &str, imprint: Imprint) -> Self {
        Self {
            format,
            title: title.to_owned(),
            imprint,
            blocks: Vec::new(),
            lettering: Lettering::Usual,
        }
    }

    /// Sets what every paper has as large as a paper that is filled in by hand needs it.
    pub(super) fn by_hand(mut self) -> Self {
        self.lettering = Lettering::Hand;
        self
    }

    /// Adds a section's heading.
    pub fn heading(&mut self, text: &str) -> &mut Self {
        self.with(Block::Heading(Style::HEADING, text.to_owned()))
    }

    /// Adds a heading within a section.
    pub fn sub_heading(&mut self, text: &str) -> &mut Self {
        self.with(Block::Heading(Style::SUB, text.to_owned()))
    }

    /// Adds a paragraph.
    pub fn text(&mut self, text: impl Into<String>) -> &mut Self {
        self.with(Block::Text(Style::TEXT, text.into()))
    }

    /// Adds a paragraph in small type.
    pub fn small(&mut self, text: impl Into<String>) -> &mut Self {
        self.with(Block::Text(Style::CELL, text.into()))
    }

    /// Adds a paragraph in another style.
    pub(super) fn set(&mut self, style: Style, text: impl Into<String>) -> &mut Self {
        self.with(Block::Text(style, text.into()))
    }

    /// Adds a paragraph that stays with what follows.
    pub fn lead_in(&mut self, text: impl Into<String>) -> &mut Self {
        self.with(Block::LeadIn(text.into()))
    }

    /// Adds days and what was sold on each, as large as a sign needs.
    pub(super) fn signposts(&mut self, posts: Vec<(String, Vec<String>)>) -> &mut Self {
        self.with(Block::Signposts(posts))
    }

    /// Adds a rule across the page.
    pub(super) fn rule(&mut self) -> &mut Self {
        self.with(Block::Rule)
    }

    /// Adds steps, numbered from 1.
    pub fn steps<S: Into<String>>(&mut self, steps: impl IntoIterator<Item = S>) -> &mut Self {
        self.steps_in(Style::TEXT, steps)
    }

    pub(super) fn steps_in<S: Into<String>>(
        &mut self,
        style: Style,
        steps: impl IntoIterator<Item = S>,
    ) -> &mut Self {
        let steps = steps.into_iter().map(Into::into).collect();
        self.with(Block::Steps(style, steps))
    }

    /// Adds names and what they are; where nothing is said, a line to write on.
    pub fn facts<N: Into<String>, V: Into<String>>(
        &mut self,
        facts: impl IntoIterator<Item = (N, V)>,
    ) -> &mut Self {
        let facts = facts.into_iter();
        self.with(Block::Facts(
            facts
                .map(|(name, value)| (name.into(), value.into()))
                .collect(),
        ))
    }

    /// Adds a table.
    pub fn table(&mut self, table: Table) -> &mut Self {
        self.with(Block::Table(table))
    }

    /// Adds a box that stands out.
    pub fn callout<S: Into<String>>(
        &mut self,
        heading: &str,
        texts: impl IntoIterator<Item = S>,
    ) -> &mut Self {
        let texts = texts.into_iter().map(Into::into).collect();
        self.with(Block::Callout(heading.to_owned(), texts))
    }

    /// Adds a label at its real size, with a ring around a place on it.
    pub fn label(&mut self, label: Layout, ring: Option<Area>) -> &mut Self {
        self.with(Block::Label(Box::new(label), ring))
    }

    /// Adds a drawing.
    pub(super) fn drawing(&mut self, parts: Vec<Slab>) -> &mut Self {
        self.with(Block::Drawing(parts))
    }

    /// Ends the page.
    pub fn new_page(&mut self) -> &mut Self {
        self.with(Block::NewPage)
    }

    fn with(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }

    /// Returns the width of the text.
    pub(super) fn room(&self) -> Length {
        self.format.sheet().size.width
    }

    /// Lays it out and writes it as a PDF.
    pub fn to_pdf(&self) -> Result<Vec<u8>, PaperError> {
        Self::bind(std::slice::from_ref(self))
    }

    /// Writes several papers as one PDF, each with its own page numbers. It is named after the first.
    ///
    /// # Panics
    /// If there is none.
    pub fn bind(papers: &[Self]) -> Result<Vec<u8>, PaperError> {
        let first = papers.first().expect("there is a paper to bind");
        let mut sheets = Vec::new();
        for paper in papers {
            let pages = paper.lay_out()?.into_iter();
            sheets.extend(pages.map(|placed| (paper.format.size(), placed)));
        }
        let pages: Vec<Page<'_>> = sheets
            .iter()
            .map(|(size, placed)| Page {
                size: *size,
                labels: placed.iter().map(|(at, layout)| (*at, layout)).collect(),
            })
            .collect();
        let heading = Heading {
            title: format!("{}, {}", first.title, first.imprint.farm),
            date: first.imprint.date,
        };
        Ok(write(&pages, &heading)?)
    }

    /// Lays it out: of each page, what stands where.
    pub(super) fn lay_out(&self) -> Result<Vec<Vec<(Point, Layout)>>, PaperError> {
        let edges = Edges::new(self.format, &self.title, &self.imprint, self.lettering)?;
        let body = edges.body();
        let mut slabs = Vec::new();
        for block in &self.blocks {
            block.set(body.size.width, &mut slabs)?;
        }
        let from = slabs.len();
        for block in seal(&self.imprint, self.lettering) {
            block.set(body.size.width, &mut slabs)?;
        }
        // All of it stands on the last page.
        let but_last = slabs.len() - 1;
        for slab in &mut slabs[from..but_last] {
            slab.keep = Keep::WithNext;
        }
        let mut pages = flow(&slabs, body);
        let count = pages.len();
        for (page, number) in pages.iter_mut().zip(1..) {
            let origin = Point {
                x: Length::ZERO,
                y: Length::ZERO,
            };
            page.push((origin, edges.of(number, count)?));
        }
        Ok(pages)
    }
}
