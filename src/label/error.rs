//! Why labels cannot be made: the one error of this folder.

use super::fault::TemplateError;
use super::length::Size;
use super::pdf::PdfError;
use super::problem::Problem;
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
    /// Some labels cannot be laid out.
    #[error("{}", one_a_line(problems))]
    Problems {
        /// Everything that is wrong with them.
        problems: Vec<Problem>,
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

fn one_a_line(problems: &[Problem]) -> String {
    let lines: Vec<_> = problems.iter().map(Problem::to_string).collect();
    lines.join("\n")
}
