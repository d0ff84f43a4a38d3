//! Outside tables that no file of `src` checks itself against: GS1's check digits and RFC 3339's timestamps.
//!
//! SHA-256 stands in `diary/chain.rs`, canonical JSON in `diary/pinned.rs`, CSV in `sheets/table`, QR in `label/qr.rs`,
//! Digital Links in `label/scan_text_test.rs`.

use castlot::farm::Gtin;
use jiff::Timestamp;

/// Source: GS1 General Specifications 7.9.1 and GS1's own syntax engine; which row is whose stands in the file.
#[test]
fn every_gtin_of_gs1s_tables_is_taken_or_refused_as_they_say() {
    let table = include_str!("reference/gs1_check_digits.csv");
    let (mut taken, mut refused) = (0, 0);
    for row in csv::Reader::from_reader(table.as_bytes()).records() {
        let row = row.expect("the reference is sound");
        let (kind, body, full, expect, digit) = (&row[0], &row[1], &row[2], &row[3], &row[4]);
        if !kind.starts_with("GTIN-") {
            continue;
        }
        let read = full.parse::<Gtin>();
        match expect {
            "valid" => {
                let gtin = read.unwrap_or_else(|error| panic!("{full}: {error}"));
                assert_eq!(gtin.digits(), format!("{full:0>14}"));
                taken += 1;
            }
            _ => {
                assert!(read.is_err(), "{full}");
                refused += 1;
            }
        }
        // Of the ten last digits only the right one is taken.
        let right: Vec<String> = (0..10)
            .map(|last| last.to_string())
            .filter(|last| format!("{body}{last}").parse::<Gtin>().is_ok())
            .collect();
        assert_eq!(right, [digit], "{body}");
    }
    assert_eq!((taken, refused), (12, 4));
}

/// Source: RFC 3339, section 5.8 (from memory; the UTC forms by Python's datetime). `written` in stored lines is read
/// with this crate.
#[test]
fn the_crate_that_reads_written_reads_the_examples_of_rfc_3339() {
    let table = include_str!("reference/rfc3339_examples.csv");
    let mut seen = 0;
    for row in csv::Reader::from_reader(table.as_bytes()).records() {
        let row = row.expect("the reference is sound");
        let read: Timestamp = row[0]
            .parse()
            .unwrap_or_else(|e| panic!("{}: {e}", &row[0]));
        // Python has no leap seconds, so those rows have no UTC form; both name the same one, which is before 1991.
        let utc = match &row[1] {
            "" => "1990-12-31T23:59:59Z".to_owned(),
            utc => utc.to_owned(),
        };
        assert_eq!(
            read,
            utc.parse::<Timestamp>().expect("a UTC form"),
            "{}",
            &row[0]
        );
        seen += 1;
    }
    assert_eq!(seen, 5);
}
