//! How much, and how long, one request may take.

use std::time::Duration;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::map_response;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::csrf::CsrfLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::TimeoutLayer;

use super::headers::complete;
use super::plain::{dressed, fallen};

/// The most bytes that a form may have.
pub const LONGEST_FORM: usize = 64 * 1024;

/// The most bytes that the form with a photo may have: a photo of 8 MB, and what stands around it.
pub const LONGEST_PHOTO: usize = 8 * 1024 * 1024 + LONGEST_FORM;

/// The most bytes that may stand before a form: the address, the cookies.
pub const LONGEST_HEAD: usize = 16 * 1024;

/// How long one request may take; a recording waits up to five seconds for another to finish.
pub const LONGEST: Duration = Duration::from_secs(15);

/// How long a photo may take to come, and to be looked at.
pub const LONGEST_LOOK: Duration = Duration::from_secs(60);

/// How long somebody may take to say what he asks for, and to stay without asking.
pub const HEAD: Duration = Duration::from_secs(15);

/// How long what is being written may take when the server ends.
pub const LAST: Duration = Duration::from_secs(10);

/// Puts the limits around all routes. A form is taken only from a page of the same address.
pub fn limited<S: Clone + Send + Sync + 'static>(routes: Router<S>) -> Router<S> {
    within(routes, LONGEST)
}

/// The same for photos alone.
pub fn limited_photos<S: Clone + Send + Sync + 'static>(routes: Router<S>) -> Router<S> {
    layered(routes, LONGEST_LOOK, LONGEST_PHOTO)
}

/// The same with another limit of time.
pub fn within<S: Clone + Send + Sync + 'static>(routes: Router<S>, longest: Duration) -> Router<S> {
    layered(routes, longest, LONGEST_FORM)
}

fn layered<S: Clone + Send + Sync + 'static>(
    routes: Router<S>,
    longest: Duration,
    most_bytes: usize,
) -> Router<S> {
    // The last stands outermost.
    routes
        .layer(CsrfLayer::new())
        .layer(DefaultBodyLimit::disable())
        .layer(RequestBodyLimitLayer::new(most_bytes))
        .layer(TimeoutLayer::with_status_code(
            StatusCode::REQUEST_TIMEOUT,
            longest,
        ))
        .layer(CatchPanicLayer::custom(fallen))
        .layer(map_response(async |response| complete(dressed(response))))
}
