//! The head and foot of every page, and the seal in full on the last.

use crate::label::{Area, Item, Layout, Length, Point, Said};

use super::block::Block;
use super::error::PaperError;
use super::format::Format;
use super::paper::Imprint;
use super::set;
use super::slab::fill;
use super::style::Lettering;

const RULE: Length = Length::of_micrometres(250);

/// From the head's rule to the text.
const BELOW_HEAD: Length = Length::of_mm(4);

/// What stands at the edges of each page.
pub struct Edges<'a> {
    format: Format,
    title: &'a str,
    imprint: &'a Imprint,
    /// The farm's name and the title, in as many lines as they take.
    farm: Vec<String>,
    titles: Vec<String>,
    lettering: Lettering,
}

impl<'a> Edges<'a> {
    /// Sets the head.
    pub fn new(
        format: Format,
        title: &'a str,
        imprint: &'a Imprint,
        lettering: Lettering,
    ) -> Result<Self, PaperError> {
        let half = (format.sheet().size.width - Length::of_mm(6)) / 2;
        Ok(Self {
            format,
            title,
            imprint,
            farm: set::lines(&set::plain(&imprint.farm), lettering.edge_strong(), half)?,
            titles: set::lines(&set::plain(title), lettering.edge(), half)?,
            lettering,
        })
    }

    /// Returns the room of the text between head and foot.
    pub fn body(&self) -> Area {
        self.format.body(self.rule() + RULE + BELOW_HEAD)
    }

    /// How far below the head's top its rule stands.
    fn rule(&self) -> Length {
        let lines = self.farm.len().max(self.titles.len()).max(1);
        let lines = i64::try_from(lines).expect("a head has few lines");
        self.lettering.edge().leading * lines + Length::of_micrometres(600)
    }

    /// Returns head and foot of one page.
    pub fn of(&self, page: usize, pages: usize) -> Result<Layout, PaperError> {
        let mut items = self.head()?;
        items.extend(self.foot(page, pages)?);
        Ok(Layout {
            name: self.title.to_owned(),
            size: self.format.size(),
            items,
            said: Said::default(),
        })
    }

    /// The farm at the left, the title at the right.
    fn head(&self) -> Result<Vec<Item>, PaperError> {
        let sheet = self.format.sheet();
        let mut items = Vec::new();
        let mut y = sheet.at.y;
        for line in &self.farm {
            items.extend(set::line(
                line,
                self.lettering.edge_strong(),
                Point { x: sheet.at.x, y },
            )?);
            y += self.lettering.edge().leading;
        }
        y = sheet.at.y;
        for line in &self.titles {
            items.extend(set::line_to(line, self.lettering.edge(), sheet.right(), y)?);
            y += self.lettering.edge().leading;
        }
        let rule = sheet.at.y + self.rule();
        items.push(fill(sheet.at.x, rule, sheet.size.width, RULE));
        Ok(items)
    }

    /// The seal at the left, as long as there is room for it, the page's number at the right.
    fn foot(&self, page: usize, pages: usize) -> Result<Vec<Item>, PaperError> {
        let sheet = self.format.sheet();
        let y = sheet.bottom() - self.lettering.edge().leading;
        let rule = y - Length::of_mm(1);
        let mut items = vec![fill(sheet.at.x, rule, sheet.size.width, RULE)];
        let number = format!("page {page} of {pages}");
        let room =
            sheet.size.width - set::widths(&number, self.lettering.edge())?.1 - Length::of_mm(5);
        items.extend(set::line_to(
            &number,
            self.lettering.edge(),
            sheet.right(),
            y,
        )?);
        let whole = self.imprint.brief();
        let said = match set::widths(&whole, self.lettering.edge())?.1 <= room {
            true => whole,
            false => self.imprint.short_seal(),
        };
        items.extend(set::line(
            &said,
            self.lettering.edge(),
            Point { x: sheet.at.x, y },
        )?);
        Ok(items)
    }
}

/// Returns the block that ends a paper: the seal in full, and what it is for.
pub fn seal(imprint: &Imprint, lettering: Lettering) -> [Block; 3] {
    let [heading, code, text] = lettering.seal();
    let said = format!(
        "Made from the diary as it stood after {}, of {}{}. Whoever keeps this paper can tell by the seal \
         whether anything written until then was changed since.",
        imprint.entries(),
        imprint.date,
        imprint
            .printed
            .as_ref()
            .map_or_else(String::new, |printed| format!("; printed {printed}")),
    );
    [
        Block::Heading(heading, "The diary's seal".to_owned()),
        Block::Text(code, imprint.seal.clone()),
        Block::Text(text, said),
    ]
}
