//! What every answer says to the browser beside the page itself: where things may come from, and what it may pass on.

use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderName, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue};
use axum::response::Response;

use crate::site;

/// The policy of pages behind the sign-in: the farm's own style sheet and script, and nothing else.
const SHED: &str = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// What no page needs of a browser.
const PERMISSIONS: &str = "camera=(), geolocation=(), microphone=(), payment=(), usb=()";

/// Returns the policy of public pages: what they state themselves, and that nobody may frame them.
pub fn public_policy() -> HeaderValue {
    let policy = format!("{}; frame-ancestors 'none'", site::policy());
    HeaderValue::from_str(&policy).expect("a policy is written in ASCII")
}

/// Sets what an answer does not say already. An answer that says nothing of keeping is not kept.
///
/// Strict-Transport-Security is left out: it would bind the phones for months to a certificate that a farm makes itself and
/// lets run out, and shut them out of a server that is started without it again.
pub fn complete(mut response: Response) -> Response {
    let headers = response.headers_mut();
    usually(headers, CONTENT_SECURITY_POLICY, SHED);
    usually(headers, X_CONTENT_TYPE_OPTIONS, "nosniff");
    // Not `no-referrer`: under it a browser sends a form with the origin `null`, and the form would be turned away.
    usually(headers, REFERRER_POLICY, "same-origin");
    usually(headers, CACHE_CONTROL, "no-store");
    usually(
        headers,
        HeaderName::from_static("permissions-policy"),
        PERMISSIONS,
    );
    usually(
        headers,
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    );
    usually(
        headers,
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    );
    response
}

fn usually(headers: &mut HeaderMap, name: HeaderName, value: &'static str) {
    headers
        .entry(name)
        .or_insert(HeaderValue::from_static(value));
}
