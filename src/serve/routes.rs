//! Which address leads where.

use std::sync::Arc;

use axum::Router;
use axum::routing::get;

use super::limits::limited;
use super::live::Live;
use super::public;

/// What every answer is made from.
pub struct Serving {
    /// The farm.
    pub live: Arc<Live>,
    /// Whether what is sent is encrypted.
    pub is_encrypted: bool,
}

/// Returns all routes, within their limits.
pub fn routes(serving: Arc<Serving>) -> Router {
    limited(open(serving))
}

/// Returns the routes alone.
pub fn open(serving: Arc<Serving>) -> Router {
    // What is no address of the shed's own is read as a label's.
    Router::new().fallback_service(get(public::page).with_state(Arc::clone(&serving)))
}
