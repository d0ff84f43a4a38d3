//! Why a paper could not be made.

use crate::label::{NoGlyph, PdfError};

/// Why a paper could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// A text has a character that none of our fonts has.
    #[error("{missing}, which stands in `{text}`")]
    NoGlyph {
        /// The text it stands in.
        text: String,
        /// The character.
        missing: NoGlyph,
    },
    /// The PDF could not be written.
    #[error("cannot write the paper")]
    Pdf {
        /// Why not.
        #[from]
        source: PdfError,
    },
}
