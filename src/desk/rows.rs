//! Fills the columns of a row by name.

use crate::sheets::Row;

/// Says something in a column of a row.
///
/// # Panics
/// Where the row's sheet has no such column: columns are named in code, never by whoever types.
pub fn put(row: &mut Row<'static>, column: &'static str, text: impl Into<String>) {
    let text: String = text.into();
    row.set(column, text)
        .expect("commands fill columns of the sheet that they write");
}

/// Says something in a column, where there is something to say.
pub fn maybe(row: &mut Row<'static>, column: &'static str, text: Option<&str>) {
    if let Some(text) = text {
        put(row, column, text);
    }
}
