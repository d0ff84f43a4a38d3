//! What shows that a form was shown by this server to whoever sends it: a token, and what the browser says of where it
//! was sent from.

use axum::http::HeaderMap;
use axum::http::header::{HOST, HeaderName, ORIGIN};

use super::random;

/// The field of a form that holds it.
pub const FIELD: &str = "token";

/// The token of every form that is shown to the bearer of a cookie.
///
/// It is worked out of the cookie, so nothing is kept; and neither it nor what is kept of the cookie leads to the other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormToken(String);

impl FormToken {
    /// Works out the token of a cookie.
    pub fn of(cookie: &str) -> Self {
        Self(random::digest(&[b"castlot form token", cookie.as_bytes()]))
    }

    /// Tells whether this is the token, in a time that does not tell how much of it is right.
    pub fn is(&self, given: &str) -> bool {
        let (due, given) = (self.0.as_bytes(), given.as_bytes());
        let apart = due
            .iter()
            .zip(given)
            .fold(0_u8, |apart, (a, b)| std::hint::black_box(apart | (a ^ b)));
        due.len() == given.len() && apart == 0
    }

    /// Returns it as it stands in a form.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// Where a browser was sent from; those in the field send at least one of the two headers with a form.
const FETCH_SITE: HeaderName = HeaderName::from_static("sec-fetch-site");

/// Tells whether a form can have come from a page of this server, as far as the browser tells.
///
/// An `Origin` of `null` tells nothing: a page with a strict referrer policy sends it to its own server too. The token
/// decides then, as it does where a browser says nothing.
pub fn is_from_here(headers: &HeaderMap) -> bool {
    let text = |name| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let site = text(FETCH_SITE).is_none_or(|site| matches!(site, "same-origin" | "none"));
    let origin = match text(ORIGIN) {
        None | Some("null") => true,
        Some(origin) => {
            let origin = origin.split_once("://").map(|(_, authority)| authority);
            let host = text(HOST);
            host.zip(origin)
                .is_some_and(|(host, origin)| host.eq_ignore_ascii_case(origin))
        }
    };
    site && origin
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_is_its_cookies_and_no_other() {
        let token = FormToken::of("a");
        assert!(token.is(token.clone().as_str()));
        assert!(!token.is(FormToken::of("b").as_str()));
        assert!(!token.is("") && !token.is(&token.as_str()[1..]));
        assert!(!token.is(&format!("{}0", token.as_str())));
        assert_ne!(
            token.as_str(),
            random::digest(&[b"a"]),
            "nor what is kept of it"
        );
    }

    #[test]
    fn a_form_from_another_site_is_known_by_its_headers() {
        let from = |pairs: &[(&'static str, &'static str)]| {
            let mut headers = HeaderMap::new();
            for (name, value) in pairs {
                headers.insert(*name, value.parse().unwrap());
            }
            is_from_here(&headers)
        };
        let host = ("host", "192.168.1.20:8080");
        assert!(from(&[host]));
        assert!(from(&[host, ("origin", "null")]));
        assert!(from(&[
            host,
            ("origin", "http://192.168.1.20:8080"),
            ("sec-fetch-site", "same-origin")
        ]));
        assert!(from(&[
            ("host", "Shed.Example"),
            ("origin", "https://shed.example")
        ]));
        assert!(!from(&[host, ("origin", "http://192.168.1.20")]));
        assert!(!from(&[host, ("origin", "http://evil.example")]));
        assert!(!from(&[host, ("origin", "192.168.1.20:8080")]));
        assert!(!from(&[("origin", "http://192.168.1.20:8080")]));
        assert!(!from(&[host, ("sec-fetch-site", "cross-site")]));
        assert!(!from(&[host, ("sec-fetch-site", "same-site")]));
        assert!(!from(&[
            host,
            ("origin", "null"),
            ("sec-fetch-site", "cross-site")
        ]));
    }
}
