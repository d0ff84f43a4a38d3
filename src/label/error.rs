//! Why labels cannot be made: the one error of this folder.

use crate::farm::{LotCode, Moment};

use super::fault::TemplateError;
use super::length::Size;
use super::pdf::PdfError;
use super::proof::Proof;
use super::sheet::Sheet;
use super::template::Template;

/// Why labels cannot be made.
#[derive(Debug, thiserror::Error)]
pub enum LabelError {
    /// No built-in template has this name.
    #[error("`{name}` is not a label template; there are {}", Template::BUILT_IN.join(", "))]
    NoSuchTemplate {
        /// The name as typed.
        name: String,
    },
    /// A template cannot be read.
    #[error(transparent)]
    Template {
        /// What is wrong, and on which line.
        #[from]
        source: TemplateError,
    },
    /// No sheet has this name.
    #[error("`{name}` is not a sheet; there are {}", all_sheets())]
    NoSuchSheet {
        /// The name as typed.
        name: String,
    },
    /// A place on a sheet that has fewer.
    #[error("`{sheet}` has places 1 to {places}, counted across, then down; there is no {place}")]
    NoSuchPlace {
        /// The sheet.
        sheet: &'static str,
        /// How many places a page has.
        places: u32,
        /// The place as typed.
        place: u32,
    },
    /// castlot.toml has no such printer.
    #[error("castlot.toml has no printer `{name}`{}", printers(known))]
    NoSuchPrinter {
        /// The name as typed.
        name: String,
        /// The printers there are.
        known: Vec<String>,
    },
    /// Several printers may print this sheet.
    #[error("`{sheet}` may go to more than one printer: {}", names.join(", "))]
    WhichPrinter {
        /// The sheet.
        sheet: &'static str,
        /// The printers.
        names: Vec<String>,
    },
    /// A PDF of the farm's own cannot be drawn as a picture; in a PDF of labels it may well print.
    #[error("`{file}` cannot be shown in a picture")]
    NoPreview {
        /// The file as the template names it.
        file: String,
    },
    /// The proof refuses some labels.
    #[error("{}", one_a_line(&proof.refused))]
    Refused {
        /// Everything that it found.
        proof: Box<Proof>,
    },
    /// A hold tag for a lot that nothing holds.
    #[error("{code} is not on hold")]
    NotHeld {
        /// The lot.
        code: LotCode,
    },
    /// A tag for a bed that has ended.
    #[error("bed {code} ended on {ended}; there is no bin to hang its label on")]
    BedEnded {
        /// The bed.
        code: LotCode,
        /// When it ended.
        ended: Moment,
    },
    /// A run has no such pack.
    #[error("{code} has packs 1 to {count}; there is no {serial}")]
    NoSuchPack {
        /// The run.
        code: LotCode,
        /// How many packs it has.
        count: u32,
        /// The serial as typed.
        serial: u32,
    },
    /// More labels than one order can be.
    #[error("these are {asked} labels, and castlot lays out up to {most} at once")]
    TooMany {
        /// How many are asked for.
        asked: u64,
        /// How many there may be.
        most: u64,
    },
    /// There is no label to print.
    #[error("there is no label to print")]
    Nothing,
    /// A label was laid out for another size than the sheet's.
    #[error("label `{label}` is laid out for {size}, and `{sheet}` has labels of {cell}")]
    OtherSize {
        /// The label.
        label: String,
        /// The size it was laid out for.
        size: Size,
        /// The sheet.
        sheet: &'static str,
        /// The size of its labels.
        cell: Size,
    },
    /// The PDF could not be written.
    #[error(transparent)]
    Pdf {
        /// What went wrong.
        #[from]
        source: PdfError,
    },
}

fn all_sheets() -> String {
    let names: Vec<_> = Sheet::ALL.iter().map(Sheet::name).collect();
    names.join(", ")
}

fn printers(known: &[String]) -> String {
    match known {
        [] => String::new(),
        known => format!("; there are {}", known.join(", ")),
    }
}

fn one_a_line(problems: &[impl ToString]) -> String {
    let lines: Vec<_> = problems.iter().map(ToString::to_string).collect();
    lines.join("\n")
}
