//! Puts labels on the places of a sheet, page after page, aimed for the printer they go to.

use std::borrow::Cow;

use super::aim::{Aim, Scale};
use super::error::LabelError;
use super::item::Layout;
use super::length::{Length, Point, Size};
use super::pdf::{Heading, Page, Paper};
use super::place::Places;

/// Labels on the pages of a sheet, as the printer is to be asked for them.
pub struct Job<'a> {
    page: Size,
    scale: Scale,
    pages: Vec<Vec<(Point, Cow<'a, Layout>)>>,
}

impl<'a> Job<'a> {
    /// Puts labels, in order, on the free places of a sheet.
    pub fn of(
        places: &Places,
        labels: impl IntoIterator<Item = &'a Layout>,
        aim: Aim,
    ) -> Result<Self, LabelError> {
        let sheet = places.sheet();
        let mut pages: Vec<Vec<_>> = Vec::new();
        for ((page, cell), label) in places.iter().zip(labels) {
            if label.size != sheet.cell() {
                let (label, size) = (label.name.clone(), label.size);
                let (sheet, cell) = (sheet.name(), sheet.cell());
                return Err(LabelError::OtherSize {
                    label,
                    size,
                    sheet,
                    cell,
                });
            }
            if pages.len() == page {
                pages.push(Vec::new());
            }
            pages[page].push(aim.label(sheet.corner(cell), label));
        }
        match pages.is_empty() {
            true => Err(LabelError::Nothing),
            false => Ok(Self {
                page: sheet.page(),
                scale: aim.scale(),
                pages,
            }),
        }
    }

    /// Puts one drawing over a whole page.
    pub fn of_page(drawing: &'a Layout, aim: Aim) -> Self {
        let corner = Point {
            x: Length::ZERO,
            y: Length::ZERO,
        };
        Self {
            page: drawing.size,
            scale: aim.scale(),
            pages: vec![vec![aim.label(corner, drawing)]],
        }
    }

    /// Returns how many pages there are.
    pub fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// Returns the size of a page.
    pub fn page_size(&self) -> Size {
        self.page
    }

    /// Returns the factors that every label is drawn by.
    pub fn scale(&self) -> Scale {
        self.scale
    }

    /// Returns the labels of a page, with the corners they are drawn at.
    pub fn labels_on(&self, page: usize) -> impl Iterator<Item = (Point, &Layout)> {
        let labels = self.pages[page].iter();
        labels.map(|(corner, label)| (*corner, label.as_ref()))
    }

    /// Writes the job as a PDF.
    pub fn pdf(&self, heading: &Heading) -> Result<Vec<u8>, LabelError> {
        let mut paper = Paper::new();
        for page in 0..self.pages.len() {
            let page = Page {
                size: self.page,
                labels: self.labels_on(page).collect(),
            };
            paper.add_scaled(&page, self.scale)?;
        }
        Ok(paper.finish(heading)?)
    }
}

/// Prints labels, in order, on the free places of a sheet, as a PDF for a printer that does not miss.
pub fn print(places: &Places, labels: &[Layout], heading: &Heading) -> Result<Vec<u8>, LabelError> {
    Job::of(places, labels, Aim::TRUE)?.pdf(heading)
}

#[cfg(test)]
pub mod tests {
    use super::*;
    use crate::label::sample::content;
    use crate::label::{Field, Sheet, Template, lay_out};

    pub fn labels(count: usize, sheet: Sheet) -> Vec<Layout> {
        let template = Template::built_in("bag-small").unwrap();
        let label = |serial: usize| {
            let mut words = content("bag-small");
            words
                .fields
                .insert(Field::Code, format!("P26115-07-S/{serial:04}"));
            words.qr = Some(format!(
                "HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S?{serial:04}"
            ));
            lay_out(&template, &words, sheet.cell()).unwrap()
        };
        (1..=count).map(label).collect()
    }

    pub fn heading() -> Heading {
        Heading {
            title: "Labels of run-7".to_owned(),
            date: jiff::civil::date(2026, 4, 25),
        }
    }

    #[test]
    fn the_same_labels_are_the_same_bytes_and_others_are_not() {
        let sheet: Sheet = "a4-2x4-99x67".parse().unwrap();
        let places = Places::all(sheet);
        let labels = labels(9, sheet);
        let first = print(&places, &labels, &heading()).unwrap();
        assert_eq!(first, print(&places, &labels, &heading()).unwrap());
        assert_ne!(first, print(&places, &labels[..8], &heading()).unwrap());
    }

    #[test]
    fn a_label_takes_less_than_a_kilobyte() {
        let sheet: Sheet = "a4-2x4-99x67".parse().unwrap();
        let bytes = print(&Places::all(sheet), &labels(200, sheet), &heading()).unwrap();
        assert!(bytes.len() < 200 * 1000, "{}", bytes.len() / 200);
    }

    #[test]
    fn a_label_laid_out_for_another_sheet_is_refused() {
        let labels = labels(1, "a4-2x4-99x67".parse().unwrap());
        let places = Places::all("roll-100x150".parse().unwrap());
        let error = print(&places, &labels, &heading()).unwrap_err().to_string();
        let said = "label `P26115-07-S/0012` is laid out for 99.1 × 67.7 mm, and `roll-100x150` \
                    has labels of 100 × 150 mm";
        assert_eq!(error, said);
    }

    #[test]
    fn no_labels_at_all_are_refused() {
        let error = print(&Places::all(Sheet::ALL[0]), &[], &heading()).unwrap_err();
        assert_eq!(error.to_string(), "there is no label to print");
    }
}
