//! The style sheet and the script of the shed's pages: two texts that the program holds, and no file.

use axum::Router;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use super::kept::Page;

const STYLE: &str = include_str!("../../templates/shed/shed.css");
const SCRIPT: &str = include_str!("../../templates/shed/shed.js");

/// Returns the routes.
pub fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    Router::new()
        .route(
            "/shed/style.css",
            get(|headers: HeaderMap| async move { text(STYLE, "text/css; charset=utf-8", &headers) }),
        )
        .route(
            "/shed/shed.js",
            get(|headers: HeaderMap| async move {
                text(SCRIPT, "text/javascript; charset=utf-8", &headers)
            }),
        )
}

/// Sends a text that a browser may keep, but asks about each time: a new castlot may have another.
fn text(text: &'static str, kind: &'static str, headers: &HeaderMap) -> Response {
    let page = Page::of(text.as_bytes().to_vec());
    let known = headers.get(IF_NONE_MATCH);
    let known = known.and_then(|tag| tag.to_str().ok());
    let has = known.is_some_and(|known| known.split(',').any(|tag| tag.trim() == page.tag));
    let said = [(ETAG, page.tag), (CACHE_CONTROL, "no-cache".to_owned())];
    if has {
        return (StatusCode::NOT_MODIFIED, said).into_response();
    }
    (said, [(CONTENT_TYPE, kind)], page.bytes).into_response()
}
