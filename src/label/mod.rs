//! Labels: laid out in millimetres from a template and plain words, and printed as a PDF.
//!
//! Text that does not fit is an error that names label, field and text; it is never cut, and
//! shrinks only where its template says so. The same labels give the same bytes. `words_of_…` alone
//! know the farm; nothing here reads the clock, the disk or the diary.

mod aim;
#[cfg(test)]
mod aim_test;
mod artwork;
mod bars;
mod bars_setting;
mod built_in;
mod canvas;
mod compositor;
mod counts;
mod day;
mod desk;
mod dots;
mod entry;
mod error;
#[cfg(test)]
mod example;
mod fault;
mod field;
mod figure;
mod finding;
mod finding_words;
mod font;
#[cfg(test)]
mod font_test;
mod graft;
mod item;
mod labels;
mod layout;
mod length;
#[cfg(test)]
mod look;
mod made_from;
mod makings;
mod order;
mod page_pen;
mod page_picture;
mod page_words;
mod paragraph;
mod pattern;
mod pdf;
mod penalty;
mod picture;
#[cfg(test)]
mod picture_test;
mod place;
mod preview;
mod preview_ink;
mod preview_letters;
mod preview_picture;
mod print;
mod problem;
mod problems;
mod proof;
mod proof_claims;
mod proof_layout;
mod proof_made;
mod proof_run;
mod proof_said;
mod proofing;
mod qr;
#[cfg(test)]
mod qr_test;
mod quantity;
mod quiet;
#[cfg(test)]
mod quiet_test;
mod raw;
mod read;
#[cfg(test)]
mod read_test;
mod room;
mod ruler;
#[cfg(test)]
mod ruler_test;
mod said;
#[cfg(test)]
mod sample;
pub mod scan_text;
#[cfg(test)]
mod scan_text_test;
mod setting;
mod sheaf;
mod sheet;
mod sheet_map;
mod span;
mod specimen;
mod standing;
mod subset;
mod template;
mod templates;
mod usual;
mod wording;
mod words;
mod words_of_lots;
mod words_of_packs;
mod words_of_places;

pub use aim::{Aim, Faults, Scale};
pub use artwork::Artwork;
pub use bars::{BarError, Bars, BarsMisfit, PlacedBars};
pub use counts::{Count, Gap, all as all_packs, counts, ranges};
pub use error::LabelError;
pub use field::{Content, Field, UnknownField};
pub use finding::{Against, Finding, Outdoors, Refused, Warned};
pub use font::{Face, Family, NoGlyph, Run, Weight};
pub use item::{Ink, Item, Layout, PlacedPicture, PlacedQr, TextRun};
pub use labels::Labels;
pub use layout::lay_out;
pub use length::{Area, Length, Point, Size, TypeSize};
pub use made_from::made_from;
pub use order::{Order, Subject};
pub use paragraph::Paragraph;
pub use pdf::{Heading, Page, PdfError, write};
pub use picture::{Art, Picture, PictureError, Pixels};
pub use preview::Preview;
pub use print::{AimedPage, Job, print};
pub use qr::{Code, Level, Matrix, QUIET_MODULES, TooLong};
pub use ruler::{marks, ruler, steps};
pub use said::Said;
pub use sheaf::Sheaf;
pub use templates::Templates;
pub use wording::{Heeded, heeded, keeping, using};
pub use words_of_packs::species;

pub use fault::{Fault, TemplateError};
pub use place::Places;
pub use problem::Problem;
pub use proof::{Conditions, Proof, Proofed, Watch};
pub use proof_claims::Upstream;
pub use sheet::Sheet;
pub use sheet_map::sheet_map;
pub use specimen::{Specimen, specimen};
pub use standing::{Sale, Standing, Stop};
pub use template::Template;
pub use usual::{of_product as templates_of_product, printer as usual_printer};
