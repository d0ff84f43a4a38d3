//! What can be wrong with one label, told with the label's name.

use super::field::Field;
use super::font::NoGlyph;
use super::length::{Length, Size};
use super::qr::TooLong;

/// Why a label cannot be laid out.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Problem {
    /// The template has no layout for a label of this size.
    #[error(
        "label `{label}`: template `{template}` is for labels of {}; this is {cell}",
        sizes(suits)
    )]
    NoLayout {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The smallest and the largest cells of its layouts.
        suits: Vec<(Size, Size)>,
        /// The cell.
        cell: Size,
    },
    /// A field that the template needs is not there.
    #[error("label `{label}`: template `{template}` needs `{field}`, which is missing")]
    Missing {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The field.
        field: Field,
    },
    /// A text does not fit its room.
    #[error("label `{label}`: {} does not fit on `{template}` at {cell}: `{}`", said(*field), one_line(text))]
    Overflow {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The cell.
        cell: Size,
        /// The field the text is from, unless it is the template's own.
        field: Option<Field>,
        /// The whole text.
        text: String,
    },
    /// A text has a character that cannot be printed.
    #[error("label `{label}`: {}: {missing}", said(*field))]
    NoGlyph {
        /// The label.
        label: String,
        /// The field the text is from, unless it is the template's own.
        field: Option<Field>,
        /// The character.
        missing: NoGlyph,
    },
    /// The template has a QR code and the label has nothing to put in it.
    #[error("label `{label}`: template `{template}` needs a QR code, and there is no text for it")]
    NoCode {
        /// The label.
        label: String,
        /// The template.
        template: String,
    },
    /// The text for the QR code is longer than any code.
    #[error("label `{label}`: QR code: {too_long}")]
    CodeTooLong {
        /// The label.
        label: String,
        /// How long it is.
        too_long: TooLong,
    },
    /// The QR code's modules would be too fine to print.
    #[error(
        "label `{label}`: a QR code of {modules} modules for `{}` needs {least} on `{template}` \
         at {cell}, and has {room}",
        one_line(text)
    )]
    CodeTooFine {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The cell.
        cell: Size,
        /// Modules on a side.
        modules: u16,
        /// What it holds.
        text: String,
        /// The room it needs, quiet zone included.
        least: Length,
        /// The room it has.
        room: Length,
    },
    /// Something stands in the quiet zone of the QR code.
    #[error(
        "label `{label}`: on `{template}` at {cell} something stands in the QR code's quiet zone"
    )]
    Crowded {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The cell.
        cell: Size,
    },
}

fn said(field: Option<Field>) -> String {
    field.map_or("the template's own text".to_owned(), |field| {
        format!("`{field}`")
    })
}

fn one_line(text: &str) -> String {
    text.lines().collect::<Vec<_>>().join(" / ")
}

fn sizes(suits: &[(Size, Size)]) -> String {
    let sizes: Vec<_> = suits
        .iter()
        .map(|(least, most)| format!("{least} to {most}"))
        .collect();
    sizes.join(", or ")
}
