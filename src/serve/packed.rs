//! Sends the round, the style sheet and the scripts packed, to phones that take them so: with thirty beds the round is eight
//! times as small on the way, and in bad reception that is what one waits for.
//!
//! Only for answers in which nothing stands that somebody else could have put into the address: where a secret (the token of
//! the forms) is packed together with words of a stranger, its length would tell of it.

use axum::Router;
use tower_http::CompressionLevel;
use tower_http::compression::CompressionLayer;

/// Packs what some routes answer.
pub fn packed<S: Clone + Send + Sync + 'static>(routes: Router<S>) -> Router<S> {
    routes.layer(CompressionLayer::new().quality(CompressionLevel::Fastest))
}
