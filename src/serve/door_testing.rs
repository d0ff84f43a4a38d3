//! A door with two workers, and browsers that come to it, for the tests of signing in and of forms.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use axum::Router;
use axum::body::Body;
use axum::extract::State;
use axum::http::{HeaderMap, Request, StatusCode};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use http_body_util::BodyExt;
use jiff::Timestamp;
use tower::ServiceExt;

use super::clock::Clock;
use super::door::{Door, DoorOptions};
use super::limits::limited;
use super::phones::{Phones, PhonesError};
use super::pin::{Pin, PinHash};
use super::pins_file::Pins;
use super::posted::Posted;
use super::sent::Once;
use super::sign_in::{SIGN_IN, routes};
use super::signed_in::SignedIn;

/// A shed with a door, and two workers who have a PIN.
pub struct Shed {
    _farm: tempfile::TempDir,
    pub phones: Phones,
    pub door: Arc<Door>,
    pub router: Router,
    pub clock: Arc<AtomicI64>,
}

/// A browser: the cookies it keeps.
#[derive(Clone, Default)]
pub struct Browser {
    cookies: Vec<(String, String)>,
}

/// What a browser was answered.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub page: String,
}

/// MV's PIN.
pub const PIN: &str = "407193";

/// Opens the door of a folder, by a clock that the test sets.
pub fn open(phones: &Phones, clock: &Arc<AtomicI64>, tls: bool) -> Arc<Door> {
    let clock = Arc::clone(clock);
    let tells = move || Timestamp::from_second(clock.load(Ordering::Relaxed)).unwrap();
    let options = DoorOptions {
        clock: Clock::of(tells),
        farm: "Marlhythe <Wormery>".to_owned(),
        tls,
    };
    Arc::new(Door::open(phones, options).unwrap())
}

/// Returns a page and a form behind a door.
pub fn router(door: &Arc<Door>) -> Router {
    let routes = routes()
        .route("/BIN/A07", get(bin))
        .route("/shed/fed", post(fed));
    limited(routes.with_state(Arc::clone(door)))
}

/// A page behind the sign-in: who, their token, and the key of a form.
async fn bin(State(door): State<Arc<Door>>, who: SignedIn) -> String {
    let key = who.key(&door).unwrap();
    format!("{} {} {key}", who.initials, who.token.as_str())
}

/// Takes a form, and says what came of it.
async fn fed(State(door): State<Arc<Door>>, form: Posted) -> Told {
    let now = door.clock().now();
    let record = |_| Ok::<_, PhonesError>(vec![form.fields().text("grams").parse().unwrap()]);
    let once = door
        .sent()
        .once(&form.key, &form.content, now, |_| Ok(vec![]), record);
    let (status, words) = match once.unwrap() {
        Once::Recorded(entries) => (StatusCode::OK, format!("recorded {entries:?}")),
        Once::RecordedBefore(entries) => (StatusCode::OK, format!("before {entries:?}")),
        Once::OtherContent => (StatusCode::CONFLICT, "other".to_owned()),
    };
    (status, Html(words))
}

type Told = (StatusCode, Html<String>);

impl Shed {
    /// Opens it.
    pub fn new() -> Self {
        let farm = tempfile::tempdir().unwrap();
        let phones = Phones::of(farm.path());
        for (by, pin) in [("MV", PIN), ("RB", "580264")] {
            set_pin(&phones, by, pin);
        }
        let clock = Arc::new(AtomicI64::new(1_793_448_000));
        let door = open(&phones, &clock, false);
        Self {
            _farm: farm,
            phones,
            router: router(&door),
            door,
            clock,
        }
    }

    /// Lets time pass.
    pub fn later(&self, seconds: i64) {
        self.clock.fetch_add(seconds, Ordering::Relaxed);
    }

    /// Answers what a browser asks.
    pub async fn answer(&self, browser: &mut Browser, request: Request<Body>) -> Answer {
        let response = self.router.clone().oneshot(request).await.unwrap();
        browser.keep(&response);
        let (parts, body) = response.into_parts();
        let page = body.collect().await.unwrap().to_bytes();
        Answer {
            status: parts.status,
            headers: parts.headers,
            page: String::from_utf8(page.to_vec()).unwrap(),
        }
    }

    /// Opens a page.
    pub async fn get(&self, browser: &mut Browser, path: &str) -> Answer {
        let request = browser.request("GET", path).body(Body::empty()).unwrap();
        self.answer(browser, request).await
    }

    /// Sends a form.
    pub async fn post(&self, browser: &mut Browser, path: &str, fields: &[(&str, &str)]) -> Answer {
        let request = browser.request("POST", path);
        let request = request.header("content-type", "application/x-www-form-urlencoded");
        let request = request.body(Body::from(encoded(fields))).unwrap();
        self.answer(browser, request).await
    }

    /// Opens the page that asks, and answers it.
    pub async fn try_pin(&self, browser: &mut Browser, by: &str, pin: &str) -> Answer {
        let page = self.get(browser, "/shed/sign-in?to=/BIN/A07").await;
        assert_eq!(page.status, StatusCode::OK);
        let token = page.field("token");
        let fields = [
            ("token", &*token),
            ("to", "/BIN/A07"),
            ("by", by),
            ("pin", pin),
        ];
        self.post(browser, SIGN_IN, &fields).await
    }

    /// Signs a browser in.
    pub async fn signed_in(&self, by: &str, pin: &str) -> Browser {
        let mut browser = Browser::default();
        let answer = self.try_pin(&mut browser, by, pin).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.page);
        browser
    }

    /// Opens the page of a bin, and returns the token and the key of its form.
    pub async fn form(&self, browser: &mut Browser) -> (String, String) {
        let page = self.get(browser, "/BIN/A07").await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.page);
        let words: Vec<&str> = page.page.split(' ').collect();
        (words[1].to_owned(), words[2].to_owned())
    }
}

/// Gives a worker a PIN.
pub fn set_pin(phones: &Phones, by: &str, pin: &str) {
    let pin: Pin = pin.parse().unwrap();
    let hash = PinHash::of(&pin).unwrap();
    Pins::change(phones, |pins| pins.set(by.parse().unwrap(), hash)).unwrap();
}

/// Writes fields as a browser sends them; nothing in these tests needs more.
pub fn encoded(fields: &[(&str, &str)]) -> String {
    let plain = |text: &str| -> String {
        text.bytes()
            .map(|c| match c {
                c if c.is_ascii_alphanumeric() => char::from(c).to_string(),
                c => format!("%{c:02X}"),
            })
            .collect()
    };
    let pairs: Vec<String> = fields
        .iter()
        .map(|(name, text)| format!("{name}={}", plain(text)))
        .collect();
    pairs.join("&")
}

impl Browser {
    /// Begins a request with the cookies it keeps.
    pub fn request(&self, method: &str, path: &str) -> axum::http::request::Builder {
        let cookies: Vec<String> = self
            .cookies
            .iter()
            .map(|(name, value)| format!("{name}={value}"))
            .collect();
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header("host", "shed.example:8080");
        match cookies.is_empty() {
            true => request,
            false => request.header("cookie", cookies.join("; ")),
        }
    }

    /// Keeps the cookies of an answer.
    pub fn keep(&mut self, response: &Response) {
        for cookie in response.headers().get_all("set-cookie") {
            let pair = cookie.to_str().unwrap().split(';').next().unwrap();
            let (name, value) = pair.split_once('=').unwrap();
            self.cookies.retain(|(had, _)| had != name);
            if !value.is_empty() {
                self.cookies.push((name.to_owned(), value.to_owned()));
            }
        }
    }

    /// Returns a cookie.
    pub fn cookie(&self, name: &str) -> Option<&str> {
        let found = self.cookies.iter().find(|(had, _)| had == name);
        found.map(|(_, value)| value.as_str())
    }

    /// Sets a cookie.
    pub fn set(&mut self, name: &str, value: &str) {
        self.cookies.retain(|(had, _)| had != name);
        self.cookies.push((name.to_owned(), value.to_owned()));
    }
}

impl Answer {
    /// Returns what a field of the page says.
    pub fn field(&self, name: &str) -> String {
        let after = self.page.split(&format!("name=\"{name}\" value=\"")).nth(1);
        after
            .unwrap_or_else(|| panic!("no {name} in {}", self.page))
            .split('"')
            .next()
            .unwrap()
            .to_owned()
    }

    /// Returns a header.
    pub fn header(&self, name: &str) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }
}
