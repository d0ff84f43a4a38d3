//! Random bytes, and bytes as text.

use sha2::{Digest, Sha256};

use super::phones::PhonesError;

/// Returns random bytes of the system's.
pub fn bytes<const N: usize>() -> Result<[u8; N], PhonesError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|source| PhonesError::NoRandom { source })?;
    Ok(bytes)
}

/// Writes bytes as lower-case hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let digit = |nibble: u8| char::from(DIGITS[usize::from(nibble)]);
    bytes
        .iter()
        .flat_map(|byte| [digit(byte >> 4), digit(byte & 15)])
        .collect()
}

/// Tells whether a text is so many lower-case hexadecimal digits.
pub fn is_hex(text: &str, digits: usize) -> bool {
    text.len() == digits
        && text
            .bytes()
            .all(|c| c.is_ascii_digit() || (b'a'..=b'f').contains(&c))
}

/// Returns the SHA-256 of what is given, piece after piece, in hexadecimal digits.
///
/// Each piece is preceded by its length, so that no two lists of pieces are digested alike.
pub fn digest(pieces: &[&[u8]]) -> String {
    let mut digest = Sha256::new();
    for piece in pieces {
        digest.update((piece.len() as u64).to_be_bytes());
        digest.update(piece);
    }
    hex(&digest.finalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_cut_elsewhere_are_digested_otherwise() {
        assert_ne!(digest(&[b"ab", b"c"]), digest(&[b"a", b"bc"]));
        assert_eq!(hex(&[0, 0x1f, 0xff]), "001fff");
        assert!(is_hex("00ff", 4) && !is_hex("00fF", 4) && !is_hex("00ff", 5));
    }
}
