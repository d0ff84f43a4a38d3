//! Tests of files that are read as tables.

use super::*;

/// RFC 4180, section 2, case by case; the rows and where they come from stand in the file itself.
const CASES: &str = include_str!("../../tests/reference/rfc4180_cases.csv");

fn feeds(bytes: &[u8]) -> Tabled {
    Table::read("feeds.csv", Noun::Feed, bytes)
}

/// Reads a sheet and returns its rows as `row: when|bin|takes|note`, or its problems.
fn read(bytes: &[u8]) -> Result<Vec<String>, Vec<String>> {
    let tabled = feeds(bytes);
    if !tabled.problems.is_empty() {
        return Err(tabled.problems.iter().map(ToString::to_string).collect());
    }
    let table = tabled.table;
    let told = |index: usize| {
        let row = table.row(index);
        let cells = ["when", "bin", "takes", "note"].map(|column| row.cell(column));
        format!("{}: {}", table.number(index), cells.join("|"))
    };
    Ok((0..table.len()).map(told).collect())
}

fn rows(expected: &[&str]) -> Result<Vec<String>, Vec<String>> {
    Ok(expected.iter().map(|row| (*row).to_owned()).collect())
}

#[test]
fn every_case_of_rfc_4180_splits_as_it_says() {
    let mut reader = csv::Reader::from_reader(CASES.as_bytes());
    let mut cases = 0;
    for case in reader.records() {
        let case = case.expect("the reference is sound");
        let unescape = |text: &str| text.replace("\\r\\n", "\r\n");
        let (lines, open) = split(&unescape(&case[1]), b',');
        let records: Vec<String> = lines
            .iter()
            .map(|line| line.record.iter().collect::<Vec<_>>().join("|"))
            .collect();
        assert_eq!(records.join(" / "), unescape(&case[2]), "{}", &case[0]);
        assert_eq!(open, None, "{}", &case[0]);
        cases += 1;
    }
    assert_eq!(cases, 9);
}

#[test]
fn separators_line_ends_and_byte_order_marks_make_no_difference() {
    let text = "when,bin,takes,note\n2026-02-05,A01,mix-1 480g,\n2026-02-06,A02,mix-1 2kg,wet\n";
    let expected = rows(&[
        "2: 2026-02-05|A01|mix-1 480g|",
        "3: 2026-02-06|A02|mix-1 2kg|wet",
    ]);
    for text in [
        text.to_owned(),
        text.replace(',', ";"),
        text.replace(',', "\t"),
        text.replace('\n', "\r\n"),
        text.replace('\n', "\r"),
        text.trim_end().to_owned(),
        format!("\u{FEFF}{text}"),
    ] {
        assert_eq!(read(text.as_bytes()), expected, "{text:?}");
    }
}

#[test]
fn a_list_in_a_sheet_with_semicolons_is_quoted() {
    let text = "when;bin;takes\n2026-02-05;A01;\"mix-1 480g; mix-2 1kg\"\n";
    let expected = rows(&["2: 2026-02-05|A01|mix-1 480g; mix-2 1kg|"]);
    assert_eq!(read(text.as_bytes()), expected);
}

#[test]
fn what_is_not_utf_8_is_read_as_windows_1252_with_a_word_about_it() {
    let bytes = b"when,bin,takes,note\n2026-02-05,A01,mix-1 480g,18 \xB0C \x96 caf\xE9\n";
    assert_eq!(
        read(bytes),
        rows(&["2: 2026-02-05|A01|mix-1 480g|18 °C – café"])
    );
    let file = "feeds.csv".to_owned();
    assert_eq!(feeds(bytes).notices, [Notice::Windows1252 { file }]);
    assert_eq!(feeds("when,bin,takes,note\n,,,é\n".as_bytes()).notices, []);
}

#[test]
fn headers_stand_in_any_order_in_any_case_and_with_spaces() {
    let text = " Takes ,NOTE,When,bin\nmix-1 480g,wet,2026-02-05,A01\n";
    assert_eq!(
        read(text.as_bytes()),
        rows(&["2: 2026-02-05|A01|mix-1 480g|wet"])
    );
}

#[test]
fn an_unknown_a_doubled_and_a_missing_header_are_problems() {
    let told = read(b"when,bin,weight,When\n2026-02-05,A01,480g,\n");
    assert_eq!(
        told,
        Err(vec![
            "feeds.csv, row 1, column weight: there is no column `weight` in this sheet; it has `when`, `bin`, `takes`, `by`, or `note`".to_owned(),
            "feeds.csv, row 1, column When: this column stands twice in the header".to_owned(),
            "feeds.csv, row 1, column takes: this column has to be in the header, and is not".to_owned(),
        ])
    );
    assert_eq!(read(b"").map_err(|told| told.len()), Err(3));
}

#[test]
fn rows_count_as_a_spreadsheet_counts_them() {
    let text = "\r\nwhen,bin,takes,note\r\n2026-02-05,A01,mix-1 1kg,\"two\r\nlines\"\r\n\r\n,,,\r\n \r\n2026-02-06,A01,mix-1 1kg,\r\n";
    assert_eq!(
        read(text.as_bytes()),
        rows(&[
            "3: 2026-02-05|A01|mix-1 1kg|two\r\nlines",
            "7: 2026-02-06|A01|mix-1 1kg|"
        ])
    );
    let text = text.replace("\r\n", "\n");
    assert_eq!(
        read(text.as_bytes()).map(|rows| rows.len()),
        Ok(2),
        "with LF alone"
    );
}

#[test]
fn a_row_with_more_or_fewer_cells_than_the_header_is_named() {
    let told = read(
        b"when,bin,takes\n2026-02-05,A01,mix-1 1kg\n2026-02-05,A01\n2026-02-05,A01,mix-1 1kg,wet\n",
    );
    assert_eq!(
        told,
        Err(vec![
            "feeds.csv, row 3: the row has 2 cells, and the header has 3".to_owned(),
            "feeds.csv, row 4: the row has 4 cells, and the header has 3".to_owned(),
        ])
    );
}

#[test]
fn empty_columns_without_a_header_are_let_be_and_full_ones_are_not() {
    let text = "when,bin,takes,,\n2026-02-05,A01,mix-1 1kg,,\n";
    assert_eq!(
        read(text.as_bytes()),
        rows(&["2: 2026-02-05|A01|mix-1 1kg|"])
    );
    let text = text.replace("1kg,,", "1kg,wet,");
    assert_eq!(
        read(text.as_bytes()),
        Err(vec![
            "feeds.csv, row 2: there is something in a column without a header".to_owned()
        ])
    );
}

#[test]
fn a_quote_that_is_never_closed_does_not_swallow_the_rest() {
    let text = "when,bin,takes,note\n2026-02-05,A01,mix-1 1kg,\"wet\n2026-02-06,A01,mix-1 1kg,\n";
    assert_eq!(
        read(text.as_bytes()),
        Err(vec![
            "feeds.csv, row 2: a quote is opened in this row and never closed".to_owned()
        ])
    );
    for sound in ["6\" deep", "\"6\"\" deep\"", "\"\"", "\"6\"\"\""] {
        let text = format!("when,bin,takes,note\n2026-02-05,A01,mix-1 1kg,{sound}");
        assert_eq!(
            read(text.as_bytes()).map(|rows| rows.len()),
            Ok(1),
            "{sound}"
        );
    }
}

#[test]
fn a_sheet_in_utf_16_is_told_how_to_be_saved() {
    let told = read(b"\xFF\xFEw\0h\0e\0n\0");
    assert_eq!(
        told,
        Err(vec![
            "feeds.csv: the sheet is saved as UTF-16; save it as CSV in UTF-8".to_owned()
        ])
    );
}
