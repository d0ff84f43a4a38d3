//! The chain: each entry's digest covers its line and the digest before it, so that a change shows.
//!
//! Promises to be computable by anybody: SHA-256 over text that stands in the file as it is.

use std::fmt;
use std::str::FromStr;

use sha2::{Digest, Sha256};

/// The digest of the last entry of a diary: whoever has noted it finds any rewriting of what came before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Seal([u8; 32]);

/// A text that is not a seal.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{typed}` is not a seal; one has 64 characters of 0-9 and a-f")]
pub struct SealError {
    /// What was typed.
    pub typed: String,
}

impl Seal {
    /// The seal of an empty diary: 64 zeros stand before the first entry.
    pub const START: Self = Self([0; 32]);

    /// Returns the digest of a line that follows the entry with this one.
    pub(super) fn then(self, line: &[u8]) -> Self {
        let mut hash = Sha256::new();
        hash.update(hex(&self.0));
        hash.update(line);
        Self(hash.finalize().into())
    }

    /// Returns the 64 lower-case hex characters.
    pub(super) fn hex(self) -> [u8; 64] {
        hex(&self.0)
    }
}

/// Writes 32 bytes as lower-case hex characters.
pub(super) fn hex(bytes: &[u8; 32]) -> [u8; 64] {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let mut text = [0; 64];
    for (pair, byte) in text.chunks_exact_mut(2).zip(bytes) {
        pair[0] = DIGITS[usize::from(byte >> 4)];
        pair[1] = DIGITS[usize::from(byte & 15)];
    }
    text
}

impl fmt::Display for Seal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(std::str::from_utf8(&self.hex()).expect("hex characters are ASCII"))
    }
}

impl FromStr for Seal {
    type Err = SealError;

    /// Reads a seal as it is printed; upper case and spaces around it are let pass.
    fn from_str(text: &str) -> Result<Self, SealError> {
        let bad = || SealError {
            typed: text.to_owned(),
        };
        let typed = text.trim();
        if typed.len() != 64 || !typed.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(bad());
        }
        let mut bytes = [0; 32];
        for (place, byte) in bytes.iter_mut().enumerate() {
            let pair = &typed[place * 2..place * 2 + 2];
            *byte = u8::from_str_radix(pair, 16).map_err(|_| bad())?;
        }
        Ok(Self(bytes))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The messages behind the names in the table, as FIPS 180-4's examples (NIST) give them.
    fn message(name: &str) -> Vec<u8> {
        match name {
            "empty string" => Vec::new(),
            "abc" => b"abc".to_vec(),
            "448-bit message" => b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq".to_vec(),
            "896-bit message" => b"abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmnhijklmnoijklmnopjklmnopqklmnopqrlmnopqrsmnopqrstnopqrstu".to_vec(),
            "million a" => vec![b'a'; 1_000_000],
            other => panic!("the table has a message that this test does not know: {other}"),
        }
    }

    /// Source: FIPS 180-4 and NIST's example values, tests/reference/sha256_vectors.csv.
    #[test]
    fn the_digest_is_sha_256_as_published() {
        let table = include_str!("../../tests/reference/sha256_vectors.csv");
        let rows: Vec<Vec<&str>> = table
            .lines()
            .skip(1)
            .map(|line| line.splitn(4, ',').collect())
            .collect();
        assert_eq!(rows.len(), 5);
        for row in rows {
            let message = message(row[0]);
            assert_eq!(message.len().to_string(), row[1], "{}", row[0]);
            let digest = hex(&Sha256::digest(&message).into());
            assert_eq!(std::str::from_utf8(&digest), Ok(row[2]), "{}", row[0]);
        }
    }

    /// Worked out with Python's hashlib: sha256(("0" * 64 + "{}").encode()), then the same over its hex and `[]`.
    #[test]
    fn the_first_entry_follows_64_zeros() {
        let first = Seal::START.then(b"{}");
        assert_eq!(Seal::START.to_string(), "0".repeat(64));
        assert_eq!(
            first.to_string(),
            "5508d2b710e64bc470079e1b211d9c58e21011e59d0559e422345dc19d659a75"
        );
        assert_eq!(
            first.then(b"[]").to_string(),
            "2a1cbe89db7eb01351dcf953c37aa40d678d3eff7513ff2bbd0f42928dbe4c43"
        );
    }

    #[test]
    fn a_seal_reads_back_and_half_a_seal_does_not() {
        let seal = Seal::START.then(b"line");
        assert_eq!(seal.to_string().parse(), Ok(seal));
        assert_eq!(seal.to_string().to_uppercase().parse(), Ok(seal));
        assert!(seal.to_string()[1..].parse::<Seal>().is_err());
        assert!("é".repeat(32).parse::<Seal>().is_err());
    }
}
