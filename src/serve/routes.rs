//! Which address leads where.

use std::sync::Arc;

use axum::Router;
use axum::extract::FromRef;
use axum::middleware::from_fn_with_state;
use axum::routing::get;

use super::door::Door;
use super::limits::{limited, limited_photos};
use super::live::Live;
use super::shed::Shed;
use super::{host, photo_form, public, shed_files, shed_forms, shed_pages, sign_in};

/// What every answer is made from.
pub struct Serving {
    /// The farm.
    pub live: Arc<Live>,
    /// What is behind the sign-in.
    pub shed: Shed,
}

/// The same, as handlers are handed parts of it.
#[derive(Clone)]
pub struct Here(Arc<Serving>);

impl FromRef<Here> for Arc<Serving> {
    fn from_ref(here: &Here) -> Self {
        Self::clone(&here.0)
    }
}

impl FromRef<Here> for Arc<Door> {
    fn from_ref(here: &Here) -> Self {
        Self::clone(&here.0.shed.door)
    }
}

/// Returns all routes, within their limits.
pub fn routes(serving: Arc<Serving>) -> Router {
    let ours = from_fn_with_state(Arc::clone(&serving), host::ours);
    let photos = photo_form::routes().with_state(Here(Arc::clone(&serving)));
    let photos = limited_photos(photos.layer(ours.clone()));
    limited(open(serving).layer(ours)).merge(photos)
}

/// Returns the routes alone.
pub fn open(serving: Arc<Serving>) -> Router {
    // What is no address of the shed's own is read as a label's.
    let public = get(public::page).with_state(Arc::clone(&serving));
    Router::new()
        .merge(sign_in::routes())
        .merge(shed_pages::routes())
        .merge(shed_forms::routes())
        .merge(shed_files::routes())
        .with_state(Here(serving))
        .fallback_service(public)
}
