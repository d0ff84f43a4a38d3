//! A page for what went wrong before any page of the farm could be made: short, in plain words, a whole page all the same.

use askama::Template;
use axum::http::header::{CONTENT_LENGTH, CONTENT_TYPE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{Html, IntoResponse, Response};

/// What went wrong.
#[derive(Template)]
#[template(path = "shed/plain.html")]
struct Plain {
    head: &'static str,
    words: &'static str,
}

/// Makes the page of a status.
pub fn plain(status: StatusCode) -> Response {
    let (head, words) = match status {
        StatusCode::FORBIDDEN => (
            "This form came from another page",
            "A form is taken from the farm’s own pages only. Open the page again from here, and send it once more.",
        ),
        StatusCode::MISDIRECTED_REQUEST => (
            "castlot does not go by that name here",
            "Open it by the number that castlot says when it starts. To open it by a name, write that name to castlot.toml, as the address of shed under [qr].",
        ),
        StatusCode::METHOD_NOT_ALLOWED => (
            "Nothing can be sent to this address",
            "Go back, open the page again, and send the form from there.",
        ),
        StatusCode::REQUEST_TIMEOUT | StatusCode::SERVICE_UNAVAILABLE => (
            "That took too long",
            "Nothing may have been recorded. Look at the page again before you send the form once more.",
        ),
        StatusCode::PAYLOAD_TOO_LARGE => (
            "That is more than a form holds",
            "Nothing was recorded. Shorten what you wrote, and send it again.",
        ),
        StatusCode::INTERNAL_SERVER_ERROR => (
            "Something went wrong in castlot",
            "That is a fault of the program, not of yours. Look at the page again before you send a form once more.",
        ),
        _ => (
            "That could not be read",
            "Nothing was recorded. Go back, open the page again, and send it from there.",
        ),
    };
    let page = Plain { head, words };
    // The template has nothing in it that could fail.
    (status, Html(page.render().unwrap_or_default())).into_response()
}

/// Puts a page in the place of a refusal that has no page of its own.
pub fn dressed(response: Response) -> Response {
    let status = response.status();
    let refused = status.is_client_error() || status.is_server_error();
    let kind = response.headers().get(CONTENT_TYPE);
    let has_page = kind.is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    if !refused || has_page {
        return response;
    }
    let (parts, _) = response.into_parts();
    let mut page = plain(status);
    for (name, value) in &parts.headers {
        if name != CONTENT_TYPE && name != CONTENT_LENGTH {
            page.headers_mut().insert(name.clone(), value.clone());
        }
    }
    page
}

/// The same for a handler that stopped by a fault of ours.
pub fn fallen(_fault: Box<dyn std::any::Any + Send>) -> Response {
    let mut page = plain(StatusCode::INTERNAL_SERVER_ERROR);
    // The state of the connection's other end is not known.
    let close = HeaderValue::from_static("close");
    page.headers_mut().insert("connection", close);
    page
}
