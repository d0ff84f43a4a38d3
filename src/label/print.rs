//! Puts labels on the places of a sheet, page after page, aimed for the printer they go to.

use std::borrow::Cow;

use super::aim::{Aim, Scale};
use super::error::LabelError;
use super::item::Layout;
use super::length::{Length, Point, Size};
use super::pdf::{Heading, Page, Paper};
use super::place::Places;

/// A page of labels, as the printer is to be asked for it.
pub struct AimedPage<'a> {
    /// The size of the page.
    pub size: Size,
    /// The factors that every label is drawn by.
    pub scale: Scale,
    /// The labels, with the corners they are drawn at.
    pub labels: Vec<(Point, Cow<'a, Layout>)>,
}

impl<'a> AimedPage<'a> {
    /// Puts one drawing over a whole page.
    pub fn of(drawing: &'a Layout, aim: Aim) -> Self {
        let corner = Point {
            x: Length::ZERO,
            y: Length::ZERO,
        };
        Self {
            size: drawing.size,
            scale: aim.scale(),
            labels: vec![aim.label(corner, Cow::Borrowed(drawing))],
        }
    }

    /// Writes it as a PDF of one page.
    pub fn pdf(self, heading: &Heading) -> Result<Vec<u8>, LabelError> {
        pdf_of([Ok(self)], heading)
    }
}

/// Labels on the free places of a sheet, made page by page: only the page that is asked for is held.
pub struct Job<'a> {
    places: &'a Places,
    aim: Aim,
    labels: Box<dyn Iterator<Item = Cow<'a, Layout>> + 'a>,
}

impl<'a> Job<'a> {
    /// Puts labels, in order, on the free places of a sheet.
    pub fn of(
        places: &'a Places,
        labels: impl Iterator<Item = Cow<'a, Layout>> + 'a,
        aim: Aim,
    ) -> Self {
        Self {
            places,
            aim,
            labels: Box::new(labels),
        }
    }

    /// Makes one page after the other.
    pub fn pages(self) -> impl Iterator<Item = Result<AimedPage<'a>, LabelError>> + 'a {
        let Self {
            places,
            aim,
            labels,
        } = self;
        let sheet = places.sheet();
        let mut placed = places.iter().zip(labels).peekable();
        std::iter::from_fn(move || {
            let number = placed.peek().map(|((page, _), _)| *page)?;
            let mut page = AimedPage {
                size: sheet.page(),
                scale: aim.scale(),
                labels: Vec::new(),
            };
            while let Some(((_, cell), label)) = placed.next_if(|((page, _), _)| *page == number) {
                if label.size != sheet.cell() {
                    return Some(Err(other_size(&label, places)));
                }
                page.labels.push(aim.label(sheet.corner(cell), label));
            }
            Some(Ok(page))
        })
    }

    /// Writes the job as a PDF.
    pub fn pdf(self, heading: &Heading) -> Result<Vec<u8>, LabelError> {
        pdf_of(self.pages(), heading)
    }
}

fn other_size(label: &Layout, places: &Places) -> LabelError {
    let sheet = places.sheet();
    LabelError::OtherSize {
        label: label.name.clone(),
        size: label.size,
        sheet: sheet.name(),
        cell: sheet.cell(),
    }
}

fn pdf_of<'a>(
    pages: impl IntoIterator<Item = Result<AimedPage<'a>, LabelError>>,
    heading: &Heading,
) -> Result<Vec<u8>, LabelError> {
    let mut paper = Paper::new();
    for page in pages {
        let AimedPage {
            size,
            scale,
            labels,
        } = page?;
        let labels = labels.iter().map(|(corner, label)| (*corner, &**label));
        let page = Page {
            size,
            labels: labels.collect(),
        };
        paper.add_scaled(&page, scale)?;
    }
    match paper.is_empty() {
        true => Err(LabelError::Nothing),
        false => Ok(paper.finish(heading)?),
    }
}

/// Prints labels, in order, on the free places of a sheet, as a PDF for a printer that does not miss.
pub fn print<'a>(
    places: &'a Places,
    labels: impl Iterator<Item = Cow<'a, Layout>> + 'a,
    heading: &Heading,
) -> Result<Vec<u8>, LabelError> {
    Job::of(places, labels, Aim::TRUE).pdf(heading)
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

    /// Labels that are laid out already, as a job takes them.
    pub fn shown(labels: &[Layout]) -> impl Iterator<Item = Cow<'_, Layout>> {
        labels.iter().map(Cow::Borrowed)
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
        let first = print(&places, shown(&labels), &heading()).unwrap();
        assert_eq!(first, print(&places, shown(&labels), &heading()).unwrap());
        assert_ne!(
            first,
            print(&places, shown(&labels[..8]), &heading()).unwrap()
        );
    }

    #[test]
    fn a_label_takes_less_than_a_kilobyte() {
        let sheet: Sheet = "a4-2x4-99x67".parse().unwrap();
        let bytes = print(&Places::all(sheet), shown(&labels(200, sheet)), &heading()).unwrap();
        assert!(bytes.len() < 200 * 1000, "{}", bytes.len() / 200);
    }

    #[test]
    fn a_label_laid_out_for_another_sheet_is_refused() {
        let labels = labels(1, "a4-2x4-99x67".parse().unwrap());
        let places = Places::all("roll-100x150".parse().unwrap());
        let error = print(&places, shown(&labels), &heading())
            .unwrap_err()
            .to_string();
        let said = "label `P26115-07-S/0012` is laid out for 99.1 × 67.7 mm, and `roll-100x150` \
                    has labels of 100 × 150 mm";
        assert_eq!(error, said);
    }

    #[test]
    fn no_labels_at_all_are_refused() {
        let error = print(&Places::all(Sheet::ALL[0]), shown(&[]), &heading()).unwrap_err();
        assert_eq!(error.to_string(), "there is no label to print");
    }
}
