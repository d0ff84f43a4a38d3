//! Where a sign-in leads back to: a path of this server, and nothing else.

/// A path of this server, with its query.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way(String);

/// Where one goes who came from nowhere.
const FIRST: &str = "/shed/round";

/// No page of ours has a longer address.
const LONGEST: usize = 500;

impl Way {
    /// Reads where somebody wants to go; the round, where that is no page that sign-in leads to.
    pub fn of(text: &str) -> Self {
        let path = text.split('?').next().unwrap_or_default();
        let plain = |c: u8| c.is_ascii_graphic() && c != b'\\' && c != b'#';
        let ours = path.starts_with('/')
            && !path.starts_with("//")
            && text.len() <= LONGEST
            && text.bytes().all(plain)
            && !path.starts_with("/shed/sign-");
        Self(if ours { text } else { FIRST }.to_owned())
    }

    /// Returns the bin or rack whose label leads there, in words.
    pub fn label(&self) -> Option<String> {
        let label = self.0.strip_prefix("/BIN/").map(|bin| ("bin", bin));
        let label = label.or_else(|| self.0.strip_prefix("/RACK/").map(|rack| ("rack", rack)));
        let plain = |c: u8| c.is_ascii_alphanumeric() || c == b'-';
        label
            .filter(|(_, name)| name.bytes().all(plain))
            .map(|(what, name)| format!("{what} {name}"))
    }

    /// Returns it as the address of a page.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_in_after_a_scan_says_what_was_scanned() {
        let label = |way: &str| Way::of(way).label();
        assert_eq!(label("/BIN/A07").as_deref(), Some("bin A07"));
        assert_eq!(label("/RACK/R1").as_deref(), Some("rack R1"));
        assert_eq!(label("/shed/find?q=A07"), None);
        assert_eq!(label("/BIN/A07?x=<b>"), None);
    }

    #[test]
    fn a_sign_in_leads_to_this_server_alone() {
        for way in [
            "/BIN/A07",
            "/RACK/R1",
            "/shed/find?q=15-02",
            "/",
            "/P26115-07-S?0012",
        ] {
            assert_eq!(Way::of(way).as_str(), way);
        }
        for way in [
            "",
            "BIN/A07",
            "//evil.example/",
            "/\\evil.example",
            "/\t/evil.example",
            "https://evil.example/",
            "javascript:alert(1)",
            "/BIN/A07\r\nSet-Cookie: castlot=1",
            "/BIN/ä",
            "/shed/sign-in",
            "/shed/sign-out?x",
        ] {
            assert_eq!(Way::of(way).as_str(), FIRST, "{way}");
        }
        assert_eq!(Way::of(&format!("/{}", "a".repeat(500))).as_str(), FIRST);
    }
}
