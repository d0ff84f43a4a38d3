//! The one style sheet of the pages, and the content security policy that lets it and nothing else in.

use sha2::{Digest, Sha256};

/// The style sheet, as it stands in every page.
pub const STYLE: &str = include_str!("../../templates/pages/style.css");

/// Returns the policy that each page states: no script, no form, nothing fetched; the one style sheet by its digest.
///
/// A server in front of the pages can send the same as a header, with `frame-ancestors 'none'` added.
pub fn policy() -> String {
    let digest = base64(&Sha256::digest(STYLE));
    format!(
        "default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )
}

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Writes bytes in base 64 (RFC 4648, section 4), which is how a policy spells a digest.
fn base64(bytes: &[u8]) -> String {
    let mut text = String::new();
    for chunk in bytes.chunks(3) {
        let at = |i: usize| u32::from(chunk.get(i).copied().unwrap_or_default());
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4 {
            let sextet = (bits >> (18 - 6 * place)) & 63;
            let letter = char::from(ALPHABET[sextet as usize]);
            text.push(if place > chunk.len() { '=' } else { letter });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_is_that_of_the_standard() {
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, written) in vectors {
            assert_eq!(base64(plain.as_bytes()), written);
        }
    }

    #[test]
    fn the_policy_lets_no_script_in() {
        let policy = policy();
        assert!(policy.starts_with("default-src 'none';"));
        assert!(!policy.contains("script") && !policy.contains("unsafe"));
    }
}
