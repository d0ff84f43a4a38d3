//! The check character of a lot code: ISO/IEC 7064, system MOD 37,36.
//!
//! It never decides what a code means; it only tells a right code from a mistyped one.

/// The alphabet of the system, in the order of its values 0 to 35.
const ALPHABET: &[u8; 36] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
/// The modulus of the system, as in its name.
const M: u32 = 36;

/// Returns the check character over letters and digits, or `None` where the text holds anything else.
///
/// Hybrid system, ISO/IEC 7064:2003 clause 9: from P = 36, for each character add its value, take the sum
/// modulo 36 (36 where that is 0), double it modulo 37; the check character brings P to 1 modulo 36.
pub fn check_character(body: impl IntoIterator<Item = u8>) -> Option<char> {
    let mut p = M;
    for byte in body {
        // P is 1 to 36 and a value 0 to 35, so that both remainders are at most one subtraction away:
        // every code of every stored line is checked on each start, and divisions cost.
        let sum = p + value(byte)?;
        let doubled = if sum > M { sum - M } else { sum } * 2;
        p = if doubled > M {
            doubled - (M + 1)
        } else {
            doubled
        };
    }
    let check = (M + 1 - p) % M;
    Some(char::from(ALPHABET[check as usize]))
}

/// Returns the value of one letter or digit; lower case counts as upper case.
fn value(byte: u8) -> Option<u32> {
    match byte {
        b'0'..=b'9' => Some(u32::from(byte - b'0')),
        b'A'..=b'Z' => Some(u32::from(byte - b'A') + 10),
        b'a'..=b'z' => Some(u32::from(byte - b'a') + 10),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `tests/reference/iso7064_37_36.csv`, rows generated with python-stdnum 2.2 and its own examples.
    #[test]
    fn the_published_examples_have_these_check_characters() {
        for (body, check) in [
            ("A12425GABC1234002", 'M'),
            ("VC2026W3103", 'F'),
            ("BIN07", 'Y'),
            ("0", '2'),
        ] {
            assert_eq!(check_character(body.bytes()), Some(check), "{body}");
        }
    }

    #[test]
    fn a_hyphen_is_not_part_of_the_alphabet() {
        assert_eq!(check_character("P26-1".bytes()), None);
    }
}
