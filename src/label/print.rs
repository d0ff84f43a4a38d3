//! Puts labels on the places of a sheet, page after page.

use super::error::LabelError;
use super::item::Layout;
use super::pdf::{Heading, Page, write};
use super::place::Places;

/// Prints labels, in order, on the free places of a sheet, as a PDF.
pub fn print(places: &Places, labels: &[Layout], heading: &Heading) -> Result<Vec<u8>, LabelError> {
    if labels.is_empty() {
        return Err(LabelError::Nothing);
    }
    let sheet = places.sheet();
    let mut pages: Vec<Page<'_>> = Vec::new();
    for ((page, cell), label) in places.iter().zip(labels) {
        if label.size != sheet.cell() {
            let (label, size) = (label.name.clone(), label.size);
            return Err(LabelError::OtherSize { label, size, sheet });
        }
        if pages.len() == page {
            let labels = Vec::new();
            pages.push(Page {
                size: sheet.page(),
                labels,
            });
        }
        pages[page].labels.push((sheet.corner(cell), label));
    }
    Ok(write(&pages, heading)?)
}
