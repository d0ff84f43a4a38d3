//! Labels: laid out in millimetres from a template and plain words, and printed as a PDF.
//!
//! Text that does not fit is an error that names label, field and text; it is never cut, and
//! shrinks only where its template says so. The same labels give the same bytes. `words_of_…` alone
//! know the farm; nothing here reads the clock, the disk or the diary.

mod artwork;
mod bars;
mod bars_setting;
mod built_in;
mod canvas;
mod day;
mod entry;
mod error;
#[cfg(test)]
mod example;
mod fault;
mod field;
mod figure;
mod font;
#[cfg(test)]
mod font_test;
mod graft;
mod item;
mod layout;
mod length;
#[cfg(test)]
mod look;
mod made_from;
mod order;
mod page_picture;
mod paragraph;
mod pattern;
mod pdf;
mod penalty;
mod picture;
#[cfg(test)]
mod picture_test;
mod place;
mod print;
mod problem;
mod qr;
#[cfg(test)]
mod qr_test;
mod quantity;
mod raw;
mod read;
#[cfg(test)]
mod read_test;
mod room;
mod said;
#[cfg(test)]
mod sample;
pub mod scan_text;
#[cfg(test)]
mod scan_text_test;
mod setting;
mod sheet;
mod span;
mod specimen;
mod standing;
mod subset;
mod template;
mod templates;
mod usual;
mod words_of_lots;
mod words_of_packs;
mod words_of_places;

pub use artwork::Artwork;
pub use bars::{BarError, Bars, BarsMisfit, PlacedBars};
pub use error::{LabelError, NotForSale};
pub use field::{Content, Field, UnknownField};
pub use font::{Face, Family, NoGlyph, Run, Weight};
pub use item::{Ink, Item, Layout, PlacedPicture, PlacedQr, TextRun};
pub use layout::lay_out;
pub use length::{Area, Length, Point, Size, TypeSize};
pub use made_from::made_from;
pub use order::{Order, Sheaf, Subject};
pub use paragraph::Paragraph;
pub use pdf::{Heading, Page, PdfError, write};
pub use picture::{Art, Picture, PictureError, Pixels};
pub use print::print;
pub use qr::{Level, Matrix, QUIET_MODULES, TooLong};
pub use said::Said;
pub use templates::Templates;
pub use words_of_packs::species;

pub use fault::{Fault, TemplateError};
pub use place::Places;
pub use problem::Problem;
pub use sheet::Sheet;
pub use specimen::{Specimen, specimen};
pub use template::Template;
