//! What can be wrong with a sheet, where, and what is let pass with a word.

use std::fmt;

use crate::farm::{
    AmountError, CodeError, EntryNumber, KindError, MomentError, PortionError, Refusal,
};

/// What is wrong with a cell, a row or a sheet.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// It is not an amount.
    #[error(transparent)]
    Amount {
        /// Why.
        #[from]
        source: AmountError,
    },
    /// It is not a date or a time.
    #[error(transparent)]
    Moment {
        /// Why.
        #[from]
        source: MomentError,
    },
    /// It is not a code, a ref, a bin, a place or a serial.
    #[error(transparent)]
    Code {
        /// Why.
        #[from]
        source: CodeError,
    },
    /// It is none of the words that can stand there.
    #[error(transparent)]
    Kind {
        /// Why.
        #[from]
        source: KindError,
    },
    /// It is not a share.
    #[error(transparent)]
    Portion {
        /// Why.
        #[from]
        source: PortionError,
    },
    /// The farm's rules refuse the row.
    #[error(transparent)]
    Refused {
        /// Why.
        #[from]
        source: Refusal,
    },
    /// A cell that has to say something is empty.
    #[error("nothing is said here")]
    Empty,
    /// A number is not whole, or out of bounds.
    #[error("`{typed}` is not a whole number from {least} to {most}")]
    NotWhole {
        /// What was typed.
        typed: String,
        /// The least that can be meant.
        least: u32,
        /// The most that can be meant.
        most: u32,
    },
    /// It is not a number.
    #[error("`{typed}` is not a number; write one as in `21` or `6.8`")]
    NotANumber {
        /// What was typed.
        typed: String,
    },
    /// A date has a time with it.
    #[error("`{typed}` has a time; only the date is wanted here")]
    NotADay {
        /// What was typed.
        typed: String,
    },
    /// A lot has no quantity beside it.
    #[error("`{typed}` has no quantity; write the lot, a space and how much, as in `mix-17 300g`")]
    NoQuantity {
        /// What was typed.
        typed: String,
    },
    /// It does not say which packs.
    #[error("`{typed}` does not say which packs; write `run-7 #1-12`, `run-7 x31` or `run-7 all`")]
    NoPacks {
        /// What was typed.
        typed: String,
    },
    /// The first serial of a range comes after the last.
    #[error("`{typed}` runs backwards; write the lower serial first")]
    Backwards {
        /// What was typed.
        typed: String,
    },
    /// More lots than one are thrown out in a row.
    #[error("more than one lot is thrown out in this row; give each a row of its own")]
    OneLotARow,
    /// castlot.toml knows no such product.
    #[error("castlot.toml has no product `{typed}`; it has {}", list(.known))]
    NoSuchProduct {
        /// What was typed.
        typed: String,
        /// The keys there are.
        known: Vec<String>,
    },
    /// A sieving cannot yield it.
    #[error("a sieving does not yield `{typed}`; write {}", list(.known))]
    NotSieved {
        /// What was typed.
        typed: String,
        /// What a sieving yields.
        known: Vec<&'static str>,
    },
    /// A sale names neither a buyer nor a market.
    #[error("a sale names a buyer or a market, and this one names neither")]
    NoBuyer,
    /// The row stands in the diary already.
    #[error("this row is in the diary already, as entry {entry}")]
    AlreadyThere {
        /// The entry.
        entry: EntryNumber,
    },
    /// The sheet has no such column.
    #[error("there is no column `{typed}` in this sheet; it has {}", list(.known))]
    NoSuchColumn {
        /// What was typed.
        typed: String,
        /// The columns there are.
        known: Vec<&'static str>,
    },
    /// A column stands twice in the header.
    #[error("this column stands twice in the header")]
    DoubledColumn,
    /// A column has to be in the header and is not.
    #[error("this column has to be in the header, and is not")]
    MissingColumn,
    /// There is something in a column without a header.
    #[error("there is something in a column without a header")]
    NoHeader,
    /// A row has more or fewer cells than the header.
    #[error("the row has {cells} cells, and the header has {columns}")]
    Ragged {
        /// How many cells it has.
        cells: usize,
        /// How many columns the header has.
        columns: usize,
    },
    /// A quote is opened and never closed.
    #[error("a quote is opened in this row and never closed")]
    OpenQuote,
    /// The file is in UTF-16.
    #[error("the sheet is saved as UTF-16; save it as CSV in UTF-8")]
    Utf16,
    /// Another file stands for the same sheet.
    #[error("`{other}` is the same sheet; put all rows into one file")]
    TwoFiles {
        /// The other file.
        other: String,
    },
}

/// Writes "`a`, `b`, or `c`".
fn list<T: fmt::Display>(known: &[T]) -> String {
    let quoted: Vec<String> = known.iter().map(|word| format!("`{word}`")).collect();
    match quoted.as_slice() {
        [] => "none".to_owned(),
        [only] => only.clone(),
        [first, last] => format!("{first} or {last}"),
        [most @ .., last] => format!("{}, or {last}", most.join(", ")),
    }
}

/// Something wrong with a row, and the column it is about.
#[derive(Clone, Debug, PartialEq)]
pub struct CellProblem {
    /// The column, where it is about one.
    pub column: Option<&'static str>,
    /// What is wrong.
    pub error: SheetError,
}

impl fmt::Display for CellProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.column {
            Some(column) => write!(f, "column {column}: {}", self.error),
            None => self.error.fmt(f),
        }
    }
}

/// Something wrong with a sheet, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetProblem {
    /// The file.
    pub file: String,
    /// The row as a spreadsheet counts them, the header being 1.
    pub row: Option<u32>,
    /// The column, as its header has it.
    pub column: Option<String>,
    /// What is wrong.
    pub error: SheetError,
}

impl fmt::Display for SheetProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(row) = self.row {
            write!(f, ", row {row}")?;
        }
        if let Some(column) = &self.column {
            write!(f, ", column {column}")?;
        }
        write!(f, ": {}", self.error)
    }
}

/// What is let pass with a word.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Notice {
    /// The file is not UTF-8.
    #[error("{file} is not UTF-8; it was read as Windows-1252")]
    Windows1252 {
        /// The file.
        file: String,
    },
    /// The file is no sheet.
    #[error("{file} is not a diary sheet; it was left alone")]
    NotASheet {
        /// The file.
        file: String,
    },
}
