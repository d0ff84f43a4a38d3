//! Lists with columns of their own, written and read as the sheets are.

use csv::{Terminator, WriterBuilder};

use super::error::{SheetError, SheetProblem};
use super::table::{decode, separator, split};

/// A row of a list that came in: its number as a spreadsheet counts, and a cell for each column, trimmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListRow<const N: usize> {
    /// Its number; the header is 1.
    pub row: u32,
    /// The cells; empty where nothing is said or the file has no such column.
    pub cells: [String; N],
}

/// Reads a list whose first column must be there; the others may be left out, and stand in any order.
pub fn read_list<const N: usize>(
    file: &str,
    columns: [&'static str; N],
    bytes: &[u8],
) -> Result<Vec<ListRow<N>>, Vec<SheetProblem>> {
    let mut problems = Vec::new();
    let mut wrong = |row: Option<u32>, column: Option<&str>, error: SheetError| {
        let column = column.map(str::to_owned);
        problems.push(SheetProblem {
            file: file.to_owned(),
            row,
            column,
            error,
        });
    };
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        wrong(None, None, SheetError::Utf16);
        return Err(problems);
    }
    let (text, _) = decode(bytes);
    let (lines, open) = split(&text, separator(&text));
    if let Some(row) = open {
        wrong(Some(row), None, SheetError::OpenQuote);
    }
    let mut lines = lines.into_iter();
    let header = lines.next();
    let mut places = [None; N];
    let names = header.iter().flat_map(|line| line.record.iter());
    for (at, name) in names.map(str::trim).enumerate() {
        match columns
            .iter()
            .position(|column| column.eq_ignore_ascii_case(name))
        {
            Some(column) if places[column].is_some() => {
                wrong(Some(1), Some(name), SheetError::DoubledColumn);
            }
            Some(column) => places[column] = Some(at),
            None => {
                let (typed, known) = (name.to_owned(), columns.to_vec());
                wrong(
                    Some(1),
                    Some(name),
                    SheetError::NoSuchColumn { typed, known },
                );
            }
        }
    }
    if places.first().is_some_and(Option::is_none) {
        wrong(Some(1), columns.first().copied(), SheetError::MissingColumn);
    }
    let width = header.map_or(0, |line| line.record.len());
    let mut rows = Vec::new();
    for line in lines.filter(|line| line.record.iter().any(|cell| !cell.trim().is_empty())) {
        let cells = line.record.len();
        if cells != width {
            let columns = width;
            wrong(Some(line.row), None, SheetError::Ragged { cells, columns });
        }
        let cell = |at: Option<usize>| at.and_then(|at| line.record.get(at)).map_or("", str::trim);
        let cells = places.map(|at| cell(at).to_owned());
        rows.push(ListRow {
            row: line.row,
            cells,
        });
    }
    if problems.is_empty() {
        Ok(rows)
    } else {
        Err(problems)
    }
}

/// Writes rows under a header, in RFC 4180, each as it is made: there may be a million.
pub fn list<const N: usize>(
    columns: [&str; N],
    rows: impl IntoIterator<Item = [String; N]>,
) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    let columns = columns.map(str::to_owned);
    for row in std::iter::once(columns).chain(rows) {
        writer
            .write_record(row)
            .expect("rows of one length are written to memory");
    }
    writer.into_inner().expect("memory takes all bytes")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_reads_back_in_any_order_and_says_what_is_wrong_with_its_header() {
        let read = |text: &str| read_list("round.csv", ["bin", "fed"], text.as_bytes());
        let rows = read("fed;bin\r\n yes ;A07\r\n;\r\n;A08\r\n").expect("it is sound");
        let told = rows.iter().map(|row| (row.row, row.cells.join("|")));
        let told: Vec<_> = told.collect();
        assert_eq!(told, [(2, "A07|yes".to_owned()), (4, "A08|".to_owned())]);
        for wrong in [
            "fed\nyes\n",
            "bin,fed,sed\n",
            "bin,fed\nA07\n",
            "bin,bin\n",
            "",
            "bin,fed\nA07,\"yes\n",
        ] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_name_with_a_comma_stays_one_cell() {
        let row = ["P26170-01-D", "Quay market, by the \"steps\""].map(str::to_owned);
        let text = String::from_utf8(list(["code", "market"], [row])).unwrap();
        assert_eq!(
            text,
            "code,market\r\nP26170-01-D,\"Quay market, by the \"\"steps\"\"\"\r\n"
        );
    }
}
