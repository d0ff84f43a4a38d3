//! Puts labels on the places of a sheet, page after page.

use super::item::Layout;
use super::pdf::{Heading, Page, PdfError, write};
use super::sheet::Places;

/// Prints labels, in order, on the free places of a sheet, as a PDF.
///
/// The labels are laid out for the sheet's cell; one laid out for another size would stand
/// askew on it, so that is a fault of the caller, which tests catch.
pub fn print(places: &Places, labels: &[Layout], heading: &Heading) -> Result<Vec<u8>, PdfError> {
    let sheet = places.sheet();
    let mut pages: Vec<Page<'_>> = Vec::new();
    for ((page, cell), label) in places.iter().zip(labels) {
        debug_assert_eq!(
            label.size,
            sheet.cell(),
            "{} is laid out for another cell",
            label.name
        );
        if pages.len() == page {
            pages.push(Page {
                size: sheet.page(),
                labels: Vec::new(),
            });
        }
        pages[page].labels.push((sheet.corner(cell), label));
    }
    write(&pages, heading)
}
