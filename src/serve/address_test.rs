//! Addresses as people type them, as labels carry them, and as somebody tries who looks for a way in.

use super::address::Asked;

const PACK: &str = "P26115-07-S?0012";

fn read(address: &str) -> Option<String> {
    let bases = ["https://lots.marlhythe.example/LOTS".to_owned()];
    let (path, query) = match address.split_once('?') {
        Some((path, query)) => (path, Some(query)),
        None => (address, None),
    };
    let asked = Asked::of(path, query, &bases)?;
    asked.names().map(|named| named.to_string())
}

#[test]
fn every_form_of_a_code_and_every_slip_that_its_check_character_confirms_is_read() {
    for typed in [
        "/P26115-07-S?0012",
        "/p2611507s?12",
        "/P26II5-O7-S/0012",
        "/P26115%2D07%2DS?0012&from=somewhere",
        "/LOTS/P26115-07-S/index.html?0012",
        "/lots/P26115-07-S/?0012",
    ] {
        assert_eq!(read(typed).as_deref(), Some(PACK), "{typed}");
    }
    assert_eq!(read("/").as_deref(), Some(""));
    assert_eq!(read("/index.html").as_deref(), Some(""));
    assert_eq!(read("/LOTS").as_deref(), Some(""));
    assert_eq!(read("/bin/a07").as_deref(), Some("BIN/A07"));
    assert_eq!(read("/RACK/r1").as_deref(), Some("RACK/R1"));
    assert_eq!(
        read("/P26115-07-S?utm=1").as_deref(),
        Some("P26115-07-S"),
        "a query that is no serial is left aside"
    );
}

#[test]
fn what_no_label_carries_is_nothing() {
    for typed in [
        "/../../etc/passwd",
        "/%2e%2e%2f%2e%2e%2fetc%2fpasswd",
        "/..%5c..%5cdiary.db",
        "/diary.db",
        "/castlot.toml",
        "/phones/pins.toml",
        "//P26115-07-S/x/y",
        "/P26115-07-T",
        "/15-07",
        "/P26115-07-S%00",
        "/%ff%fe",
        "/%zz",
        "/%",
        "/P26115-07-S/0012/more",
        "/01/09520123456789/10/P26115-07-S",
        "/01/09520123456788/21/0012/10/P26115-07-S",
        "/01/09520123456788",
    ] {
        assert_eq!(read(typed), None, "{typed}");
    }
    assert_eq!(read(&format!("/{}", "A".repeat(100_000))), None);
}

#[test]
fn an_address_that_is_written_right_is_told_from_one_that_is_not() {
    let spelled = |path: &str, query| {
        let asked = Asked::of(path, query, &[]).expect("it is text");
        asked.is_spelled(&asked.names().expect("it names something"))
    };
    assert!(spelled("/P26115-07-S", Some("0012")));
    assert!(spelled("/P26115-07-S/index.html", None));
    assert!(spelled(
        "/01/09520123456788/10/P26115-07-S",
        Some("15=270803")
    ));
    assert!(!spelled("/p26115-07-s", None));
    assert!(!spelled("/P26115-07-S", Some("12")));
    assert!(!spelled("/P26115-07-S/0012", None));
}

/// Against every address that GS1's own syntax engine read (`tests/reference/digital_link_examples.csv`), with a lot of
/// ours in the place of each: what it takes of the forms that castlot prints is taken here, and what it refuses is not.
#[test]
fn digital_links_are_read_as_gs1s_own_engine_reads_them() {
    let table = include_str!("../../tests/reference/digital_link_examples.csv");
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let (mut taken, mut refused) = (0, 0);
    for row in rows.records().map(|row| row.expect("the table is sound")) {
        // A fault of the lot itself goes with the lot.
        if &row[0] != "parse" || row[6].starts_with("AI (10)") && row[6].contains("character") {
            continue;
        }
        let (_, rest) = row[1].split_once("://").expect("an address");
        let path = rest.find('/').map_or("/", |slash| &rest[slash..]);
        let named = read(&with_lot(path));
        if &row[3] == "invalid" {
            assert_eq!(named, None, "{path}");
            refused += 1;
        } else if path.contains("/10/") && !path.contains("/22/") {
            assert!(
                named.is_some_and(|named| named.starts_with("01/")),
                "{path}"
            );
            taken += 1;
        }
    }
    assert!(taken >= 5 && refused >= 8, "{taken} and {refused}");
}

/// Puts a lot of ours where a path has another, and a serial of ours.
fn with_lot(path: &str) -> String {
    let (path, query) = path.split_once('?').unwrap_or((path, ""));
    let mut parts: Vec<&str> = path.split('/').collect();
    for at in 1..parts.len() {
        let ours = match parts[at - 1] {
            "10" if !parts[at].is_empty() => "P26115-07-S",
            "21" => "0012",
            _ => continue,
        };
        parts[at] = ours;
    }
    format!("{}?{query}", parts.join("/"))
}
