//! The style sheet and the script of the shed's pages: texts that the program holds, and no file.

use axum::Router;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use super::kept::Page;
use super::packed::packed;

const STYLE: &str = include_str!("../../templates/shed/shed.css");
const SCRIPT: &str = include_str!("../../templates/shed/shed.js");
const PHOTO: &str = include_str!("../../templates/shed/photo.js");

/// Returns the routes.
pub fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    let routes = [
        ("/shed/style.css", STYLE, "text/css; charset=utf-8"),
        ("/shed/shed.js", SCRIPT, "text/javascript; charset=utf-8"),
        ("/shed/photo.js", PHOTO, "text/javascript; charset=utf-8"),
    ];
    let routes = routes.into_iter();
    packed(routes.fold(Router::new(), |routes, (name, said, kind)| {
        let answer = async move |headers: HeaderMap| text(said, kind, &headers);
        routes.route(name, get(answer))
    }))
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
