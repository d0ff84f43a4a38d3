//! Signing in and out: `/shed/sign-in` asks for initials and a PIN and leads back to where one came from;
//! `/shed/sign-out` forgets the phone.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{ConnectInfo, FromRef, Query, Request, State};
use axum::http::header::{LOCATION, RETRY_AFTER, SET_COOKIE};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum_extra::extract::CookieJar;
use axum_extra::extract::cookie::{Cookie, SameSite};
use jiff::SignedDuration;

use super::door::{Asked, Door};
use super::phones::PhonesError;
use super::posted::{Fields, Pairs};
use super::random;
use super::session;
use super::signed_in::{COOKIE, SignedIn};
use super::token::FormToken;
use super::turned_away::{TurnedAway, private, seconds, whole_seconds};
use super::way::Way;

/// The page that asks for initials and a PIN.
#[derive(Template)]
#[template(path = "shed/sign-in.html")]
pub struct SignInPage {
    farm: String,
    /// What is told above the form.
    words: Option<String>,
    /// The initials that were typed before.
    by: String,
    way: Way,
    token: FormToken,
    /// The cookie that the token is worked out of, where it is a new one.
    set_cookie: Option<HeaderValue>,
}

/// The cookie of whoever is asked for a PIN, so that this form too has a token.
const DOOR_COOKIE: &str = "castlot-door";

/// What is told of initials and a PIN, whichever of the two is wrong.
const WRONG: &str = "These initials and this PIN do not go together.";

/// What is told where the queue is full, and how long a browser had better wait then.
const BUSY: &str = "Too many are signing in at this moment. Please try again in a few seconds.";
const A_WHILE: SignedDuration = SignedDuration::from_secs(5);

/// Where one signs in.
pub const SIGN_IN: &str = "/shed/sign-in";

/// Returns the routes of signing in and out.
pub fn routes<S>() -> Router<S>
where
    S: Clone + Send + Sync + 'static,
    Arc<Door>: FromRef<S>,
{
    Router::new()
        .route(SIGN_IN, get(ask::<S>).post(answer::<S>))
        .route("/shed/sign-out", axum::routing::post(sign_out::<S>))
}

async fn ask<S>(
    State(door): State<Arc<Door>>,
    Query(asks): Query<Pairs>,
    headers: HeaderMap,
) -> Result<Response, TurnedAway>
where
    Arc<Door>: FromRef<S>,
{
    let to = asks.iter().find(|(name, _)| name == "to");
    let way = Way::of(to.map_or("", |(_, to)| to));
    let page = SignInPage::new(&door, &headers, way, None)?;
    Ok(page.respond(StatusCode::OK))
}

impl SignInPage {
    /// Makes the page.
    pub(super) fn new(
        door: &Door,
        headers: &HeaderMap,
        way: Way,
        words: Option<String>,
    ) -> Result<Self, PhonesError> {
        let jar = CookieJar::from_headers(headers);
        let had = jar.get(DOOR_COOKIE).map(|cookie| cookie.value().to_owned());
        let had = had.filter(|value| random::is_hex(value, 64));
        let (value, is_new) = match had {
            Some(value) => (value, false),
            None => (random::hex(&random::bytes::<32>()?), true),
        };
        Ok(Self {
            farm: door.options.farm.clone(),
            words,
            by: String::new(),
            way,
            token: FormToken::of(&value),
            set_cookie: is_new.then(|| set_cookie(DOOR_COOKIE, value, None, door)),
        })
    }

    /// Makes the answer of it.
    pub(super) fn respond(self, status: StatusCode) -> Response {
        let mut response = private(status, &self);
        if let Some(cookie) = self.set_cookie {
            response.headers_mut().append(SET_COOKIE, cookie);
        }
        response
    }
}

async fn answer<S>(State(door): State<Arc<Door>>, request: Request) -> Result<Response, TurnedAway>
where
    Arc<Door>: FromRef<S>,
{
    let (parts, fields) = Fields::of(request).await?;
    let way = Way::of(fields.text("to"));
    let page = |words: String| -> Result<SignInPage, PhonesError> {
        let mut page = SignInPage::new(&door, &parts.headers, way.clone(), Some(words))?;
        page.by = fields.text("by").to_owned();
        Ok(page)
    };
    let jar = CookieJar::from_headers(&parts.headers);
    let token = jar
        .get(DOOR_COOKIE)
        .map(|cookie| FormToken::of(cookie.value()));
    if !token.is_some_and(|token| fields.are_ours(&parts, &token)) {
        let words = "That page was too old, or its cookie was not kept. Please sign in once more.";
        return Ok(page(words.to_owned())?.respond(StatusCode::FORBIDDEN));
    }
    let pin = fields.text("pin").to_owned();
    let asked = door.sign_in(fields.text("by"), pin, address_of(&parts));
    let (status, words, wait) = match asked.await? {
        Asked::In(cookie) => {
            if let Some(before) = jar.get(COOKIE) {
                // Whoever was signed in on this phone is no more. Where that cannot be kept, it ends by itself.
                let _ = door.sign_out(before.value());
            }
            return Ok(signed_in(&door, &way, cookie));
        }
        Asked::Wrong => (StatusCode::FORBIDDEN, WRONG.to_owned(), None),
        Asked::Wait(wait) => {
            let long = in_words(wait);
            let words =
                format!("There were wrong tries before. Please wait {long}, and sign in then.");
            (StatusCode::TOO_MANY_REQUESTS, words, Some(wait))
        }
        Asked::Busy => (
            StatusCode::SERVICE_UNAVAILABLE,
            BUSY.to_owned(),
            Some(A_WHILE),
        ),
    };
    let mut response = page(words)?.respond(status);
    if let Some(wait) = wait {
        response.headers_mut().insert(RETRY_AFTER, seconds(wait));
    }
    Ok(response)
}

async fn sign_out<S>(
    State(door): State<Arc<Door>>,
    request: Request,
) -> Result<Response, TurnedAway>
where
    Arc<Door>: FromRef<S>,
{
    let (parts, fields) = Fields::of(request).await?;
    let who = SignedIn::of(&parts, &door)?;
    if !fields.are_ours(&parts, &who.token) {
        return Err(TurnedAway::not_ours());
    }
    door.sign_out(&who.cookie)?;
    let gone = set_cookie(COOKIE, String::new(), Some(SignedDuration::ZERO), &door);
    Ok(lead_to(SIGN_IN, gone))
}

/// Leads a phone that is now signed in to where it was going.
fn signed_in(door: &Door, way: &Way, cookie: String) -> Response {
    let cookie = set_cookie(COOKIE, cookie, Some(session::LONGEST), door);
    lead_to(way.as_str(), cookie)
}

fn lead_to(path: &str, cookie: HeaderValue) -> Response {
    let path = HeaderValue::from_str(path).expect("a way is ASCII without control characters");
    let mut response = StatusCode::SEE_OTHER.into_response();
    response.headers_mut().insert(LOCATION, path);
    response.headers_mut().append(SET_COOKIE, cookie);
    response
}

/// Writes a cookie that no script reads and no other site sends; kept as long as the browser runs, where no time is said.
fn set_cookie(
    name: &'static str,
    value: String,
    keep: Option<SignedDuration>,
    door: &Door,
) -> HeaderValue {
    let mut cookie = Cookie::new(name, value);
    cookie.set_http_only(true);
    cookie.set_same_site(SameSite::Strict);
    cookie.set_path("/");
    cookie.set_secure(door.options.tls);
    let mut text = cookie.to_string();
    if let Some(keep) = keep {
        text.push_str(&format!("; Max-Age={}", keep.as_secs()));
    }
    HeaderValue::from_str(&text).expect("a cookie of ours is hexadecimal digits")
}

/// Returns the address that a request comes from; one for all, where the server does not say.
fn address_of(parts: &Parts) -> IpAddr {
    let known = parts.extensions.get::<ConnectInfo<SocketAddr>>();
    known.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |from| from.0.ip())
}

/// Writes a wait as a person would say it.
fn in_words(wait: SignedDuration) -> String {
    match whole_seconds(wait) {
        1 => "a second".to_owned(),
        seconds @ 2..=120 => format!("{seconds} seconds"),
        seconds => format!("{} minutes", seconds.div_ceil(60)),
    }
}
