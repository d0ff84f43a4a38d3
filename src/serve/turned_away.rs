//! Whoever is turned away, with the words that tell why and what to do.

use askama::Template;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, REFERRER_POLICY, RETRY_AFTER};
use axum::http::request::Parts;
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use jiff::SignedDuration;

use super::door::Door;
use super::initials::Initials;
use super::phones::PhonesError;
use super::sign_in::SignInPage;
use super::way::Way;

/// Why a page was not shown or a form was not taken.
#[derive(Debug)]
pub struct TurnedAway(Box<Response>);

/// A page that only tells something.
#[derive(Template)]
#[template(path = "shed/turned-away.html")]
struct WordsPage {
    title: &'static str,
    words: String,
}

impl TurnedAway {
    /// Asks whoever is not signed in for a PIN, and says so.
    pub(super) fn not_signed_in(door: &Door, parts: &Parts, way: Way) -> Self {
        let words = if parts.method.is_safe() {
            None
        } else {
            Some("Nothing was recorded: nobody is signed in on this phone.".to_owned())
        };
        let page = SignInPage::new(door, &parts.headers, way, words);
        match page {
            Ok(page) => Self(Box::new(page.respond(StatusCode::UNAUTHORIZED))),
            Err(error) => error.into(),
        }
    }

    /// Tells that a form did not come from a page that this server showed to whoever sends it.
    pub(super) fn not_ours() -> Self {
        Self::words(
            StatusCode::FORBIDDEN,
            "This form cannot be taken",
            "It was not shown to this phone since it was signed in. Nothing was recorded; open the page again.".to_owned(),
        )
    }

    /// Tells that a form is somebody else's than who is signed in.
    pub(super) fn of_another(theirs: Option<Initials>, who: &Initials) -> Self {
        let words = match theirs {
            Some(theirs) => format!(
                "It was filled in by {theirs}, and {who} is signed in on this phone. Nothing was recorded; it can be sent when {theirs} has signed in."
            ),
            None => "It does not say who filled it in. Nothing was recorded; open the page again."
                .to_owned(),
        };
        Self::words(
            StatusCode::UNAUTHORIZED,
            "This form is somebody else's",
            words,
        )
    }

    /// Tells that a form could not be read.
    pub(super) fn unread(status: StatusCode) -> Self {
        let words = match status {
            StatusCode::PAYLOAD_TOO_LARGE => {
                "It is longer than any form of castlot's. Nothing was recorded."
            }
            _ => "It is not a form of castlot's. Nothing was recorded.",
        };
        Self::words(status, "This form cannot be read", words.to_owned())
    }

    /// Tells to come back in a while.
    pub fn later(words: String, wait: SignedDuration) -> Self {
        let mut away = Self::words(StatusCode::SERVICE_UNAVAILABLE, "Not now", words);
        away.0.headers_mut().insert(RETRY_AFTER, seconds(wait));
        away
    }

    /// Tells something, on a page of its own.
    pub fn words(status: StatusCode, title: &'static str, words: String) -> Self {
        Self(Box::new(private(status, &WordsPage { title, words })))
    }
}

impl From<PhonesError> for TurnedAway {
    fn from(error: PhonesError) -> Self {
        // Paths of the computer are nobody's business; whoever runs the server finds the same by starting it again.
        let words = match error {
            PhonesError::Io { .. } | PhonesError::InUse { .. } => "a file could not be used",
            PhonesError::Damaged { .. } | PhonesError::NotPins { .. } => {
                "a file is not as castlot wrote it"
            }
            PhonesError::NoRandom { .. } | PhonesError::Hash { .. } => {
                "the computer could not work it out"
            }
        };
        Self::words(
            StatusCode::INTERNAL_SERVER_ERROR,
            "castlot cannot use what it keeps of phones",
            format!(
                "In the farm's folder `phones`, {words}. Nothing was recorded; tell whoever looks after castlot."
            ),
        )
    }
}

impl IntoResponse for TurnedAway {
    fn into_response(self) -> Response {
        *self.0
    }
}

/// Makes the answer of a page that nothing on the way may keep, and whose forms may say where they come from.
pub fn private(status: StatusCode, page: &impl Template) -> Response {
    let text = page.render().expect("our own templates write into a text");
    let headers = [
        (CONTENT_TYPE, "text/html; charset=utf-8"),
        (CACHE_CONTROL, "no-store"),
        (REFERRER_POLICY, "same-origin"),
    ];
    (status, headers, text).into_response()
}

/// Writes a wait in whole seconds, and never none.
pub fn seconds(wait: SignedDuration) -> HeaderValue {
    HeaderValue::from(whole_seconds(wait))
}

/// Returns a wait in whole seconds, rounded up.
pub fn whole_seconds(wait: SignedDuration) -> u64 {
    let up = wait.as_millis().max(1).unsigned_abs().div_ceil(1000);
    u64::try_from(up).unwrap_or(u64::MAX)
}
