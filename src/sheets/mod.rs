//! Diary sheets in and out: a folder of CSV files, and the one row of `record` and `correct`.
//!
//! Promises to decide nothing: it reads cells into drafts, hands them to the farm's own rules, and writes entries
//! back as rows. Never panics on any bytes; never reads a file, a clock or the environment.

mod blame;
mod cell;
mod column;
mod error;
mod export;
#[cfg(test)]
mod fixture;
mod further;
mod import;
mod item;
mod known;
mod list;
mod names;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod random_farm;
mod read;
mod read_goods;
mod read_rack;
mod read_shop;
mod row;
mod seen;
mod table;
mod write;
mod write_facts;

pub use blame::column_of;
pub use column::{Column, columns};
pub use error::{CellProblem, Notice, SheetError, SheetProblem};
pub use export::{empty_sheets, export};
pub use import::{AlreadyThere, Import, Importing, Origin, Origins, read_folder};
pub use known::Known;
pub use list::{ListRow, list, read_list};
pub use read::Reader;
pub use row::Row;
pub use write::{row_of, row_of_draft};
