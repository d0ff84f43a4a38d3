//! Who is signed in on the phone that asks: what a page behind the sign-in takes.

use std::sync::Arc;

use axum::extract::{FromRef, FromRequestParts};
use axum::http::request::Parts;
use axum_extra::extract::CookieJar;

use super::door::Door;
use super::form_key::FormKey;
use super::initials::Initials;
use super::phones::PhonesError;
use super::token::FormToken;
use super::turned_away::TurnedAway;
use super::way::Way;
use crate::farm::Word;

/// The cookie of a phone that is signed in.
pub const COOKIE: &str = "castlot";

/// A worker who is signed in, for handlers of pages; whoever is not gets the page that asks for a PIN.
#[derive(Clone, Debug)]
pub struct SignedIn {
    /// Their initials, as they stand in the file of PINs.
    pub initials: Initials,
    /// The token that their forms carry.
    pub token: FormToken,
    pub(super) cookie: String,
}

impl SignedIn {
    /// Returns who records.
    pub fn worker(&self) -> Word {
        self.initials.word()
    }

    /// Makes the key of a form that is shown to them now.
    pub fn key(&self, door: &Door) -> Result<FormKey, PhonesError> {
        FormKey::new(door.clock().now())
    }

    /// Looks at the cookies of a request.
    pub(super) fn of(parts: &Parts, door: &Door) -> Result<Self, TurnedAway> {
        let jar = CookieJar::from_headers(&parts.headers);
        let cookie = jar.get(COOKIE).map(|cookie| cookie.value().to_owned());
        let who = |cookie: String| -> Result<Option<Self>, PhonesError> {
            Ok(door.who(&cookie)?.map(|initials| Self {
                initials,
                token: FormToken::of(&cookie),
                cookie,
            }))
        };
        let who = cookie.map(who).transpose()?.flatten();
        who.ok_or_else(|| TurnedAway::not_signed_in(door, parts, way_to(parts)))
    }
}

/// Returns where one wants to go: the page that is asked for; nowhere, where a form is sent.
fn way_to(parts: &Parts) -> Way {
    let path = parts.uri.path_and_query().map_or("", |path| path.as_str());
    Way::of(if parts.method.is_safe() { path } else { "" })
}

impl<S> FromRequestParts<S> for SignedIn
where
    S: Send + Sync,
    Arc<Door>: FromRef<S>,
{
    type Rejection = TurnedAway;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Self::Rejection> {
        Self::of(parts, &Arc::<Door>::from_ref(state))
    }
}
