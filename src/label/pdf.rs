//! Turns placed labels into a PDF, page by page.
//!
//! Fonts are embedded as subsets, text can be selected, codes are 1-bit image masks (drawn as
//! squares they grow fat in 1-bit printing), a picture is stored once however often it is shown, and
//! the same labels give the same bytes: ids are fixed, dates are the caller's, and the file's /ID is
//! a digest of its own content. A page is packed as soon as it is written, so that what is held in
//! memory is little more than the file.

use std::io;
use std::sync::Arc;

use lopdf::{
    Dictionary, Document, Object, ObjectId, Stream, StringFormat, dictionary, text_string,
};
use sha2::{Digest, Sha256};

use super::aim::Scale;
use super::canvas::Canvas;
use super::font::Face;
use super::item::Layout;
use super::length::{Length, Point, Size};
use super::page_picture;
use super::picture::{Art, Picture, Pixels};
use super::subset::Letters;

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
        source: io::Error,
    },
}

/// A PDF as it is written.
pub struct Paper {
    document: Document,
    /// The list of pages, and what all of them use.
    list: ObjectId,
    resources: ObjectId,
    pages: Vec<Object>,
    letters: Letters,
    pictures: Vec<Arc<Picture>>,
}

impl Paper {
    /// An empty one.
    pub fn new() -> Self {
        let mut document = Document::with_version("1.7");
        let (list, resources) = (document.new_object_id(), document.new_object_id());
        Self {
            document,
            list,
            resources,
            pages: Vec::new(),
            letters: Letters::default(),
            pictures: Vec::new(),
        }
    }

    /// Adds a page whose labels are as large as they were laid out.
    pub fn add(&mut self, page: &Page<'_>) -> Result<(), PdfError> {
        self.add_scaled(page, Scale::NONE)
    }

    /// Adds a page, each of its labels scaled about its corner.
    pub fn add_scaled(&mut self, page: &Page<'_>, scale: Scale) -> Result<(), PdfError> {
        let mut canvas = Canvas {
            text: String::new(),
            letters: &mut self.letters,
            pictures: &mut self.pictures,
            scale,
        };
        for (corner, label) in &page.labels {
            canvas.label(*corner, label, page.size);
        }
        let mut content = Stream::new(Dictionary::new(), canvas.text.into_bytes());
        content.compress()?;
        // Thousands of pages are held at once.
        content.content.shrink_to_fit();
        let content = self.document.add_object(content);
        let page = self.document.add_object(dictionary! {
            "Type" => "Page",
            "Parent" => self.list,
            "MediaBox" => vec![0.into(), 0.into(), points(page.size.width), points(page.size.height)],
            "Contents" => content,
            "Resources" => self.resources,
        });
        self.pages.push(page.into());
        Ok(())
    }

    /// Tells whether it has no page yet.
    pub fn is_empty(&self) -> bool {
        self.pages.is_empty()
    }

    /// The finished file.
    pub fn finish(mut self, heading: &Heading) -> Result<Vec<u8>, PdfError> {
        let fonts = self.letters.embed(&mut self.document)?;
        let mut pictures = Dictionary::new();
        for (number, picture) in self.pictures.iter().enumerate() {
            let drawn = set_in(&mut self.document, &picture.art)?;
            pictures.set(picture_name(number), drawn);
        }
        let resources = dictionary! { "Font" => fonts, "XObject" => pictures };
        let count = i64::try_from(self.pages.len()).expect("pages are fewer than that");
        let list = dictionary! { "Type" => "Pages", "Kids" => self.pages, "Count" => count };
        let mut document = self.document;
        document.objects.insert(self.resources, resources.into());
        document.objects.insert(self.list, list.into());
        let catalog = dictionary! { "Type" => "Catalog", "Pages" => self.list };
        let catalog = document.add_object(catalog);
        let day = heading.date.strftime("D:%Y%m%d000000Z").to_string();
        let about = document.add_object(dictionary! {
            "Title" => text_string(&heading.title),
            "Producer" => text_string("castlot"),
            "CreationDate" => Object::string_literal(day.clone()),
            "ModDate" => Object::string_literal(day),
        });
        document.trailer.set("Root", catalog);
        document.trailer.set("Info", about);
        let mut file = Digested::default();
        document.save_to(&mut file)?;
        let mut content = Vec::with_capacity(file.bytes + ROOM_FOR_ID);
        let digest = file.digest.finalize()[..16].to_vec();
        let id = Object::String(digest, StringFormat::Hexadecimal);
        document.trailer.set("ID", vec![id.clone(), id]);
        document.save_to(&mut content)?;
        Ok(content)
    }
}

/// The id makes a file longer by less than this.
const ROOM_FOR_ID: usize = 128;

/// Takes the digest and the length of a file without holding the file.
#[derive(Default)]
struct Digested {
    digest: Sha256,
    bytes: usize,
}

impl io::Write for Digested {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.digest.update(bytes);
        self.bytes += bytes.len();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// Writes pages as a PDF.
pub fn write(pages: &[Page<'_>], heading: &Heading) -> Result<Vec<u8>, PdfError> {
    let mut paper = Paper::new();
    pages.iter().try_for_each(|page| paper.add(page))?;
    paper.finish(heading)
}

/// A picture's name in the page content.
pub fn picture_name(number: usize) -> String {
    format!("P{number}")
}

fn points(length: Length) -> Object {
    Object::Real(length.to_millipoints() as f32 / 1000.0)
}

/// Puts a picture into a document, one unit wide and high.
fn set_in(document: &mut Document, art: &Art) -> Result<ObjectId, PdfError> {
    Ok(match art {
        Art::Page { bytes, .. } => page_picture::set_in(document, bytes)?,
        Art::Pixels(pixels) => {
            let mut image = Stream::new(image(pixels), pixels.bytes.clone());
            image.compress()?;
            document.add_object(image)
        }
        Art::Jpeg { bytes, pixels } => {
            let mut about = image(pixels);
            about.set("Filter", "DCTDecode");
            document.add_object(Stream::new(about, bytes.clone()).with_compression(false))
        }
    })
}

fn image(pixels: &Pixels) -> Dictionary {
    let colours = match pixels.samples {
        1 => "DeviceGray",
        _ => "DeviceRGB",
    };
    dictionary! {
        "Type" => "XObject",
        "Subtype" => "Image",
        "Width" => i64::from(pixels.width),
        "Height" => i64::from(pixels.height),
        "ColorSpace" => colours,
        "BitsPerComponent" => 8,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::print::tests::{heading, labels, shown};
    use crate::label::{Places, Sheet, print};

    #[test]
    fn a_file_has_only_its_own_pages_dates_and_id() {
        let sheet: Sheet = "a4-2x4-99x67".parse().unwrap();
        let bytes = print(&Places::all(sheet), shown(&labels(9, sheet)), &heading()).unwrap();
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
