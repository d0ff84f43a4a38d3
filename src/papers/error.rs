//! Why a paper could not be made.

use crate::label::{LabelError, NoGlyph, PdfError, TooLong};

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
    /// A label that it shows cannot be laid out.
    #[error(transparent)]
    Label {
        /// Why not.
        #[from]
        source: LabelError,
    },
    /// No buyer of that name has packs.
    #[error("no buyer called `{buyer}` has packs of `{recall}`")]
    NoSuchBuyer {
        /// The name as typed.
        buyer: String,
        /// The recall.
        recall: String,
    },
    /// No packs were sold on such a market.
    #[error("no packs of `{recall}` were sold {}", market.as_ref().map_or_else(|| "on a market".to_owned(), |market| format!("at `{market}`")))]
    NoSuchMarket {
        /// The market as typed.
        market: Option<String>,
        /// The recall.
        recall: String,
    },
    /// A code on it would hold more than a code can.
    #[error("a code cannot be made: {source}")]
    Code {
        /// Why not.
        #[from]
        source: TooLong,
    },
    /// The PDF could not be written.
    #[error("cannot write the paper")]
    Pdf {
        /// Why not.
        #[from]
        source: PdfError,
    },
}
