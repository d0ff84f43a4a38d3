//! Turns placed labels into a PDF; the only file that names the PDF crates.
//!
//! Fonts are embedded as subsets, text can be selected, QR codes are 1-bit image masks (drawn
//! as squares they grow fat in 1-bit printing), and the same labels give the same bytes: ids
//! are fixed, dates are the caller's, and the file's /ID is a digest of its own content.

use std::collections::{BTreeMap, BTreeSet};

use lopdf::{Document, Object, ObjectId, StringFormat};
use printpdf::{
    FontId, FontMetrics, Mm, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage,
    PdfSaveOptions, Pt, TextItem,
};
use sha2::{Digest, Sha256};
use subsetter::GlyphRemapper;

use super::aim::Scale;
use super::canvas::{Canvas, Subset, font_name};
use super::font::Face;
use super::item::{Item, Layout};
use super::length::{Length, Point, Size};

/// One page, and where its labels' top left corners are.
pub struct Page<'a> {
    /// The size of the page.
    pub size: Size,
    /// The labels and their corners.
    pub labels: Vec<(Point, &'a Layout)>,
}

/// What a document says of itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// The title that a reader shows.
    pub title: String,
    /// The day it is dated; the caller's, never the clock's.
    pub date: jiff::civil::Date,
}

/// Why a PDF could not be written: a fault in castlot or its fonts, never in a label.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// A font could not be cut down to the letters used.
    #[error("cannot subset the font {}", face.name())]
    Subset {
        /// The font.
        face: Face,
        /// What the subsetter says.
        source: subsetter::Error,
    },
    /// The finished document could not be read back to be given its id.
    #[error("cannot finish the PDF")]
    Finish {
        /// What the PDF library says.
        #[from]
        source: lopdf::Error,
    },
    /// The finished document could not be written to memory.
    #[error("cannot write the PDF")]
    Write {
        /// What went wrong.
        #[from]
        source: std::io::Error,
    },
}

/// Writes pages as a PDF.
pub fn write(pages: &[Page<'_>], heading: &Heading) -> Result<Vec<u8>, PdfError> {
    write_scaled(pages, Scale::NONE, heading)
}

/// Writes pages as a PDF, each label scaled about its corner.
pub fn write_scaled(
    pages: &[Page<'_>],
    scale: Scale,
    heading: &Heading,
) -> Result<Vec<u8>, PdfError> {
    let letters = letters(pages);
    let mut document = PdfDocument::new(&heading.title);
    let mut subsets = BTreeMap::new();
    for (&face, characters) in &letters {
        let (subset, font) = subset(face, characters)?;
        document
            .resources
            .fonts
            .map
            .insert(font_id(face), PdfFont::new(font));
        subsets.insert(face, subset);
    }
    let content = |page: &Page<'_>| {
        let mut canvas = Canvas {
            text: String::new(),
            subsets: &subsets,
            scale,
        };
        page.labels
            .iter()
            .for_each(|(corner, label)| canvas.label(*corner, label, page.size));
        raw(canvas.text)
    };
    let mut sheets: Vec<_> = pages
        .iter()
        .map(|page| sheet(page.size, vec![content(page)]))
        .collect();
    sheets.push(roll_call(&letters));
    document.with_pages(sheets);
    let date = printpdf_date(heading.date);
    document.metadata.info.creation_date = date;
    document.metadata.info.modification_date = date;
    document.metadata.info.metadata_date = date;
    document.metadata.info.producer = "castlot".to_owned();
    // The finishing pass compresses; uncompressed it reads the pages back faster.
    let plain = PdfSaveOptions {
        optimize: false,
        secure: false,
        ..Default::default()
    };
    finish(&document.save(&plain, &mut Vec::new()))
}

fn letters(pages: &[Page<'_>]) -> BTreeMap<Face, BTreeSet<char>> {
    let mut letters: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    let labels = pages.iter().flat_map(|page| &page.labels);
    for item in labels.flat_map(|(_, label)| &label.items) {
        if let Item::Text(run) = item {
            letters
                .entry(run.face)
                .or_default()
                .extend(run.text.chars());
        }
    }
    letters
}

fn font_id(face: Face) -> FontId {
    FontId(font_name(face).to_owned())
}

/// Cuts a font down to the characters used.
fn subset(face: Face, characters: &BTreeSet<char>) -> Result<(Subset, ParsedFont), PdfError> {
    let whole = ttf_parser::Face::parse(face.bytes(), 0).expect("our own fonts can be read");
    let mut remapper = GlyphRemapper::new();
    let (mut subset, mut codes, mut widths) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
    for &character in characters {
        let glyph = whole
            .glyph_index(character)
            .expect("layout takes no character without glyph");
        let id = remapper.remap(glyph.0);
        subset.insert(character, id);
        codes.insert(u32::from(character), id);
        widths.insert(id, whole.glyph_hor_advance(glyph).unwrap_or_default());
    }
    let bytes = subsetter::subset(face.bytes(), 0, &remapper)
        .map_err(|source| PdfError::Subset { face, source })?;
    let metrics = FontMetrics {
        ascent: whole.ascender(),
        descent: whole.descender(),
    };
    let name = format!("{}+{}", tag(characters), face.name());
    let em = whole.units_per_em();
    let mut font = ParsedFont::with_glyph_data(bytes, 0, Some(name), codes, widths, em, metrics);
    let bounds = whole.global_bounding_box();
    font.pdf_font_metrics.x_min = bounds.x_min;
    font.pdf_font_metrics.x_max = bounds.x_max;
    font.pdf_font_metrics.y_min = bounds.y_min;
    font.pdf_font_metrics.y_max = bounds.y_max;
    font.pdf_font_metrics.us_weight_class = whole.weight().to_number();
    Ok((subset, font))
}

/// The six letters that mark a subset (ISO 32000-1, 9.6.4): the same for the same characters,
/// another for others.
fn tag(characters: &BTreeSet<char>) -> String {
    let text: String = characters.iter().collect();
    let digest = Sha256::digest(text.as_bytes());
    digest
        .iter()
        .take(6)
        .map(|byte| char::from(b'A' + byte % 26))
        .collect()
}

fn sheet(size: Size, ops: Vec<Op>) -> PdfPage {
    let mm = |length: Length| Mm(length.micrometres() as f32 / 1000.0);
    PdfPage::new(mm(size.width), mm(size.height), ops)
}

fn raw(content: String) -> Op {
    Op::Unknown {
        key: content,
        value: Vec::new(),
    }
}

/// A last page that shows every letter once. printpdf embeds the fonts that it sees used, and
/// it cannot see into our own page content; the finishing pass takes the page out again.
fn roll_call(letters: &BTreeMap<Face, BTreeSet<char>>) -> PdfPage {
    let mut ops = vec![Op::StartTextSection];
    for (&face, characters) in letters {
        let font = PdfFontHandle::External(font_id(face));
        ops.push(Op::SetFont {
            font,
            size: Pt(1.0),
        });
        let items = vec![TextItem::Text(characters.iter().collect())];
        ops.push(Op::ShowText { items });
    }
    ops.push(Op::EndTextSection);
    sheet(
        Size {
            width: Length::of_mm(10),
            height: Length::of_mm(10),
        },
        ops,
    )
}

fn printpdf_date(date: jiff::civil::Date) -> printpdf::OffsetDateTime {
    printpdf::OffsetDateTime {
        date: printpdf::Date {
            year: i32::from(date.year()),
            month: u8::try_from(date.month()).expect("a month is 1 to 12"),
            day: u8::try_from(date.day()).expect("a day is 1 to 31"),
        },
        time: printpdf::Time {
            hour: 0,
            minute: 0,
            second: 0,
            millisecond: 0,
        },
        offset: printpdf::Offset {
            hours: 0,
            minutes: 0,
            seconds: 0,
            milliseconds: 0,
        },
    }
}

/// Takes out the last page, gives the file an /ID from its content, and packs it.
fn finish(bytes: &[u8]) -> Result<Vec<u8>, PdfError> {
    let mut document = Document::load_mem(bytes)?;
    take_out_last_page(&mut document)?;
    // printpdf calls every file PDF/X, which it is not.
    let about = document.trailer.get(b"Info")?.as_reference()?;
    document
        .get_dictionary_mut(about)?
        .remove(b"GTS_PDFXVersion");
    document.trailer.remove(b"ID");
    let mut content = Vec::new();
    document.save_to(&mut content)?;
    let digest = Sha256::digest(&content)[..16].to_vec();
    let id = Object::String(digest, StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    document.compress();
    let mut packed = Vec::new();
    document.save_to(&mut packed)?;
    Ok(packed)
}

fn take_out_last_page(document: &mut Document) -> Result<(), lopdf::Error> {
    let pages = document.catalog()?.get(b"Pages")?.as_reference()?;
    let list = document.get_dictionary_mut(pages)?;
    let kids = list.get_mut(b"Kids")?.as_array_mut()?;
    let last: Option<ObjectId> = kids.pop().map(|kid| kid.as_reference()).transpose()?;
    let count = i64::try_from(kids.len()).expect("pages are fewer than that");
    list.set("Count", count);
    if let Some(last) = last {
        let page = document.get_dictionary(last)?;
        let parts = [
            page.get(b"Contents")?.as_reference()?,
            page.get(b"Resources")?.as_reference()?,
        ];
        for part in [last].into_iter().chain(parts) {
            document.objects.remove(&part);
        }
    }
    document.renumber_objects();
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::print::tests::{heading, labels};
    use crate::label::{Places, Sheet, print};

    #[test]
    fn a_file_has_only_its_own_pages_dates_and_id() {
        let sheet: Sheet = "a4-2x4-99x67".parse().unwrap();
        let bytes = print(&Places::all(sheet), &labels(9, sheet), &heading()).unwrap();
        let document = Document::load_mem(&bytes).unwrap();
        let pages = document.get_pages();
        assert_eq!(pages.len(), 2);
        let about = document
            .trailer
            .get(b"Info")
            .unwrap()
            .as_reference()
            .unwrap();
        let about = document.get_dictionary(about).unwrap();
        let created = about.get(b"CreationDate").unwrap().as_str().unwrap();
        assert!(
            created.starts_with(b"D:20260425000000"),
            "{}",
            String::from_utf8_lossy(created)
        );
        assert!(about.get(b"GTS_PDFXVersion").is_err());
        let id = document.trailer.get(b"ID").unwrap().as_array().unwrap();
        assert_eq!(id[0].as_str().unwrap().len(), 16);
        let box_ = document
            .get_dictionary(pages[&1])
            .unwrap()
            .get(b"MediaBox")
            .unwrap();
        let edges: Vec<_> = box_
            .as_array()
            .unwrap()
            .iter()
            .map(|edge| edge.as_float().unwrap())
            .collect();
        assert!((edges[2] - 595.276).abs() < 0.01 && (edges[3] - 841.89).abs() < 0.01);
    }
}
