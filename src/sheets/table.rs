//! A CSV file as rows of text: its encoding, its separator, its header.
//!
//! RFC 4180, and as much looser as spreadsheets are.

use std::borrow::Cow;

use csv::{ReaderBuilder, StringRecord};
use encoding_rs::WINDOWS_1252;

use super::column::{self, columns};
use super::error::{Notice, SheetError, SheetProblem};
use super::row::Row;
use crate::farm::Noun;

/// A sheet as it was read.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub file: String,
    pub noun: Noun,
    /// For each column of the sheet, where it stands in this file.
    columns: Vec<Option<usize>>,
    lines: Vec<Line>,
}

/// One record of a CSV file.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// Its row as a spreadsheet counts them.
    pub row: u32,
    pub record: StringRecord,
}

/// What became of a file's bytes: the table, as far as it could be made, and what to say about it.
#[derive(Debug)]
pub(super) struct Tabled {
    pub table: Table,
    pub problems: Vec<SheetProblem>,
    pub notices: Vec<Notice>,
}

impl Table {
    /// Reads a sheet; rows that have the wrong number of cells are left out of the table.
    pub fn read(file: &str, noun: Noun, bytes: &[u8]) -> Tabled {
        let mut tabled = Tabled {
            table: Self {
                file: file.to_owned(),
                noun,
                columns: vec![None; columns(noun).len()],
                lines: Vec::new(),
            },
            problems: Vec::new(),
            notices: Vec::new(),
        };
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            tabled.problem(None, None, SheetError::Utf16);
            return tabled;
        }
        let (text, guessed) = decode(bytes);
        if guessed {
            tabled.notices.push(Notice::Windows1252 {
                file: file.to_owned(),
            });
        }
        let (lines, open) = split(&text, separator(&text));
        if let Some(row) = open {
            tabled.problem(Some(row), None, SheetError::OpenQuote);
        }
        let mut lines = lines.into_iter();
        let header = lines.next();
        let width = header.as_ref().map_or(0, |line| line.record.len());
        let unnamed = tabled.read_header(header.as_ref());
        if tabled.problems.is_empty() {
            tabled.keep(lines, width, &unnamed);
        }
        tabled
    }

    /// Returns how many rows there are.
    pub fn len(&self) -> usize {
        self.lines.len()
    }

    /// Returns the number of a row as a spreadsheet counts them.
    pub fn number(&self, index: usize) -> u32 {
        self.lines[index].row
    }

    /// Returns a row.
    pub fn row(&self, index: usize) -> Row<'_> {
        let record = &self.lines[index].record;
        let cell =
            |at: &Option<usize>| Cow::Borrowed(at.and_then(|at| record.get(at)).unwrap_or(""));
        Row::of(self.noun, self.columns.iter().map(cell).collect())
    }

    /// Returns a cell of a column by its name, trimmed.
    pub fn cell(&self, index: usize, column: &str) -> &str {
        column::place(self.noun, column)
            .and_then(|place| self.columns[place])
            .and_then(|at| self.lines[index].record.get(at))
            .map_or("", str::trim)
    }
}

impl Tabled {
    fn problem(&mut self, row: Option<u32>, column: Option<&str>, error: SheetError) {
        self.problems.push(SheetProblem {
            file: self.table.file.clone(),
            row,
            column: column.map(str::to_owned),
            error,
        });
    }

    /// Finds the sheet's columns in the header; returns where columns without a name stand.
    fn read_header(&mut self, header: Option<&Line>) -> Vec<usize> {
        let noun = self.table.noun;
        let row = header.map_or(1, |line| line.row);
        let mut unnamed = Vec::new();
        for (at, name) in header
            .iter()
            .flat_map(|line| line.record.iter())
            .enumerate()
        {
            let name = name.trim();
            match column::place(noun, name).filter(|_| !name.contains('-')) {
                Some(place) if self.table.columns[place].is_some() => {
                    self.problem(Some(row), Some(name), SheetError::DoubledColumn);
                }
                Some(place) => self.table.columns[place] = Some(at),
                None if name.is_empty() => unnamed.push(at),
                None => {
                    let known = columns(noun).iter().map(|column| column.name).collect();
                    let typed = name.to_owned();
                    self.problem(
                        Some(row),
                        Some(name),
                        SheetError::NoSuchColumn { typed, known },
                    );
                }
            }
        }
        for (place, column) in columns(noun).iter().enumerate() {
            if column.required && self.table.columns[place].is_none() {
                self.problem(Some(row), Some(column.name), SheetError::MissingColumn);
            }
        }
        unnamed
    }

    /// Keeps the rows that have something in them and as many cells as the header.
    fn keep(&mut self, lines: impl Iterator<Item = Line>, width: usize, unnamed: &[usize]) {
        for line in lines {
            let record = &line.record;
            let cells = record.len();
            if record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            if cells != width {
                let columns = width;
                self.problem(Some(line.row), None, SheetError::Ragged { cells, columns });
            } else if unnamed
                .iter()
                .any(|at| record.get(*at).is_some_and(|cell| !cell.trim().is_empty()))
            {
                self.problem(Some(line.row), None, SheetError::NoHeader);
            } else {
                self.table.lines.push(line);
            }
        }
    }
}

/// Returns the text of a file, and whether it had to be taken for Windows-1252.
pub(super) fn decode(bytes: &[u8]) -> (Cow<'_, str>, bool) {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => (Cow::Borrowed(text), false),
        Err(_) => (WINDOWS_1252.decode_without_bom_handling(bytes).0, true),
    }
}

/// Returns the separator: of comma, semicolon and tab the one that the header has most of.
pub(super) fn separator(text: &str) -> u8 {
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    let mut quoted = false;
    let body = text.trim_start_matches(['\r', '\n']);
    for byte in body.bytes() {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => break,
            _ if !quoted => {
                if let Some((_, count)) = counts.iter_mut().find(|(sign, _)| *sign == byte) {
                    *count += 1;
                }
            }
            _ => {}
        }
    }
    // The first of equals is the comma.
    let mut best = counts[0];
    for count in counts {
        if count.1 > best.1 {
            best = count;
        }
    }
    best.0
}

/// Splits a text into records; tells too in which row a quote is opened that is never closed.
pub(super) fn split(text: &str, separator: u8) -> (Vec<Line>, Option<u32>) {
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes());
    let mut lines = Vec::new();
    let mut record = StringRecord::new();
    let (mut row, mut last) = (0_u32, 0_usize);
    // The text is UTF-8 and in memory, so that reading a record cannot fail.
    while reader.read_record(&mut record).unwrap_or(false) {
        let start = record.position().map_or(0, |position| position.byte());
        last = usize::try_from(start).unwrap_or(text.len());
        row = row
            .saturating_add(1)
            .saturating_add(blank_lines(text.as_bytes(), last));
        lines.push(Line {
            row,
            record: record.clone(),
        });
    }
    let rest = text.as_bytes().get(last..).unwrap_or_default();
    let open = (row > 0 && ends_in_quote(rest, separator)).then_some(row);
    (lines, open)
}

/// Counts the empty lines from `start` on, which the CSV reader passes over and a spreadsheet counts.
fn blank_lines(bytes: &[u8], start: usize) -> u32 {
    let mut at = start;
    // A line feed here may be the second half of the line end before.
    if start > 0 && bytes.get(start - 1) == Some(&b'\r') && bytes.get(start) == Some(&b'\n') {
        at += 1;
    }
    let mut count = 0;
    loop {
        match (bytes.get(at), bytes.get(at + 1)) {
            (Some(b'\r'), Some(b'\n')) => at += 2,
            (Some(b'\r' | b'\n'), _) => at += 1,
            _ => return count,
        }
        count += 1;
    }
}

/// Tells whether a record ends while a quote is open.
fn ends_in_quote(record: &[u8], separator: u8) -> bool {
    let mut quoted = false;
    let mut fresh = true;
    for byte in record {
        match byte {
            b'"' if quoted => quoted = false,
            // Opens a cell, or goes on after a doubled quote.
            b'"' if fresh => quoted = true,
            _ => {}
        }
        fresh = !quoted && (*byte == separator || matches!(byte, b'\r' | b'\n' | b'"'));
    }
    quoted
}

#[cfg(test)]
#[path = "table_test.rs"]
mod tests;
