//! What can be wrong with a template, told with file and line.

use super::length::Size;
use super::pattern::PatternError;
use super::picture::PictureError;

/// Why a template cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}, line {line}: {fault}")]
pub struct TemplateError {
    /// The file, as it was named.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// What is wrong there.
    pub fault: Fault,
}

/// What is wrong with a template.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// Not TOML, or a key or value that has no place there.
    #[error("{message}")]
    Form {
        /// What the TOML reader says.
        message: String,
    },
    /// A text with a wrong field.
    #[error(transparent)]
    Pattern(#[from] PatternError),
    /// A picture that is not there or cannot be read.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// A figure out of its range.
    #[error("`{key}` is {value}; it is {least} to {most}")]
    Range {
        /// The key.
        key: &'static str,
        /// The value, as read.
        value: String,
        /// The least it may be.
        least: String,
        /// The most it may be.
        most: String,
    },
    /// Too few or too many edges to know where something is.
    #[error(
        "`at` needs two of `{near}`, `{far}` and `{length}`, or `{length}` alone for the middle"
    )]
    Edges {
        /// Left or top.
        near: &'static str,
        /// Right or bottom.
        far: &'static str,
        /// Width or height.
        length: &'static str,
    },
    /// Something that would stand outside the smallest label.
    #[error("this does not lie on a label of {least}")]
    OffLabel {
        /// The size as declared.
        least: Size,
    },
    /// A line that is neither text nor rule, or both.
    #[error("a line has either `text` and `size` or `rule`")]
    Line,
    /// Nothing to print on.
    #[error("a template needs at least one `[[size]]`")]
    NoSize,
}
