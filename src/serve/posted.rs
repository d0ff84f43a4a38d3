//! A form that a signed-in worker sent: what a handler of forms takes. It comes from a page of this server, is theirs,
//! and has a key.

use std::sync::Arc;

use axum::extract::{FromRef, FromRequest, Request};
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::{Form, RequestExt};
use jiff::SignedDuration;

use super::door::Door;
use super::form_key::{self, FormKey, MOST_DAYS};
use super::initials::Initials;
use super::random;
use super::signed_in::SignedIn;
use super::token::{self, FormToken, is_from_here};
use super::turned_away::TurnedAway;

/// A form, with all that was asked of it before.
#[derive(Clone, Debug)]
pub struct Posted {
    /// Who sent it.
    pub by: SignedIn,
    /// By what it is known when it comes again.
    pub key: FormKey,
    /// The digest of what it says, and of who says it.
    pub content: String,
    /// How long it was kept on the phone, by the phone's own clock; never longer than since it was shown.
    pub age: Option<SignedDuration>,
    fields: Fields,
}

/// The fields of a form, in the order they came.
pub type Pairs = Vec<(String, String)>;

/// The fields of a form.
#[derive(Clone, Debug)]
pub struct Fields(Pairs);

/// Whose form it is.
const BY: &str = "by";

/// How many seconds it was kept on the phone.
const AGE: &str = "age";

impl Fields {
    /// Reads the fields of a request's body, and the rest of the request.
    pub(super) async fn of(request: Request) -> Result<(Parts, Self), TurnedAway> {
        let (parts, body) = request.into_parts();
        let request = Request::from_parts(parts.clone(), body);
        let read: Result<Form<Pairs>, _> = request.extract().await;
        let Form(pairs) = read.map_err(|rejection| TurnedAway::unread(rejection.status()))?;
        Ok((parts, Self(pairs)))
    }

    /// Returns what a field says, without spaces around it; nothing, where it is not there.
    pub fn text(&self, name: &str) -> &str {
        let named = self.0.iter().find(|(field, _)| field == name);
        named.map_or("", |(_, text)| text.trim())
    }

    /// Returns what a field says, where it says anything.
    pub fn said(&self, name: &str) -> Option<&str> {
        Some(self.text(name)).filter(|text| !text.is_empty())
    }

    /// Returns what each field of a name says.
    pub fn all(&self, name: &str) -> Vec<&str> {
        let named = self.0.iter().filter(|(field, _)| field == name);
        named.map(|(_, text)| text.trim()).collect()
    }

    /// Tells whether a form was shown to the bearer of a cookie, by this server.
    pub(super) fn are_ours(&self, parts: &Parts, token: &FormToken) -> bool {
        is_from_here(&parts.headers) && token.is(self.text(token::FIELD))
    }

    /// Returns the digest of what they say, whoever signed in anew in between and however long it was kept.
    fn content(&self, path: &str, by: &Initials) -> String {
        let beside = [token::FIELD, form_key::FIELD, BY, AGE];
        let by = by.key();
        let says = self.0.iter().filter(|(name, _)| !beside.contains(&&**name));
        let says = says.flat_map(|(name, text)| [name.as_bytes(), text.as_bytes()]);
        let mut pieces = vec![path.as_bytes(), by.as_bytes()];
        pieces.extend(says);
        random::digest(&pieces)
    }
}

impl Posted {
    /// Returns what it says.
    pub fn fields(&self) -> &Fields {
        &self.fields
    }

    fn of(parts: &Parts, fields: Fields, door: &Door) -> Result<Self, TurnedAway> {
        let by = SignedIn::of(parts, door)?;
        if !fields.are_ours(parts, &by.token) {
            return Err(TurnedAway::not_ours());
        }
        let theirs: Option<Initials> = fields.text(BY).parse().ok();
        if theirs.as_ref() != Some(&by.initials) {
            return Err(TurnedAway::of_another(theirs, &by.initials));
        }
        let key: Option<FormKey> = fields.text(form_key::FIELD).parse().ok();
        let key = key.ok_or_else(|| {
            TurnedAway::words(
                StatusCode::UNPROCESSABLE_ENTITY,
                "This form cannot be taken",
                "It has lost its key. Nothing was recorded; open the page again and fill it in once more.".to_owned(),
            )
        })?;
        if key.is_too_old(door.clock().now()) {
            return Err(TurnedAway::words(
                StatusCode::UNPROCESSABLE_ENTITY,
                "This form is too old",
                format!(
                    "It was opened more than {MOST_DAYS} days ago, and castlot no longer knows whether it came before. \
                     Nothing was recorded now; look in the log, and record it anew if it is not there."
                ),
            ));
        }
        Ok(Self {
            content: fields.content(parts.uri.path(), &by.initials),
            age: fields.text(AGE).parse().ok().map(|seconds: u32| {
                let said = SignedDuration::from_secs(i64::from(seconds));
                key.age(said, door.clock().now())
            }),
            by,
            key,
            fields,
        })
    }
}

impl<S> FromRequest<S> for Posted
where
    S: Send + Sync,
    Arc<Door>: FromRef<S>,
{
    type Rejection = TurnedAway;

    async fn from_request(request: Request, state: &S) -> Result<Self, Self::Rejection> {
        let door = Arc::<Door>::from_ref(state);
        let (parts, fields) = Fields::of(request).await?;
        Self::of(&parts, fields, &door)
    }
}
