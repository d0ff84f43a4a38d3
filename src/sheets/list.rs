//! Lists that go out as CSV and never come in again: written as the sheets are, with other columns.

use csv::{Terminator, WriterBuilder};

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
    fn a_name_with_a_comma_stays_one_cell() {
        let row = ["P26170-01-D", "Quay market, by the \"steps\""].map(str::to_owned);
        let text = String::from_utf8(list(["code", "market"], [row])).unwrap();
        assert_eq!(
            text,
            "code,market\r\nP26170-01-D,\"Quay market, by the \"\"steps\"\"\"\r\n"
        );
    }
}
