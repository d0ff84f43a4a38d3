//! Tests of the door as a browser meets it: signing in and out, forms, and whoever tries without.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use axum::body::Body;
use axum::extract::State;
use axum::http::{Request, StatusCode};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use http_body_util::BodyExt;
use jiff::Timestamp;
use tower::ServiceExt;

use super::*;
use crate::serve::limits::limited;
use crate::serve::{Clock, DoorOptions, Once, Phones, Pin, PinHash, Pins, Posted};

/// A shed with a door, and two workers who have a PIN.
struct Shed {
    _farm: tempfile::TempDir,
    phones: Phones,
    door: Arc<Door>,
    router: Router,
    clock: Arc<AtomicI64>,
}

/// A browser: the cookies it keeps.
#[derive(Clone, Default)]
struct Browser {
    cookies: Vec<(String, String)>,
}

/// What a browser was answered.
struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    page: String,
}

const PIN: &str = "407193";

fn open(phones: &Phones, clock: &Arc<AtomicI64>, tls: bool) -> Arc<Door> {
    let clock = Arc::clone(clock);
    let tells = move || Timestamp::from_second(clock.load(Ordering::Relaxed)).unwrap();
    let options = DoorOptions {
        clock: Clock::of(tells),
        farm: "Marlhythe <Wormery>".to_owned(),
        tls,
    };
    Arc::new(Door::open(phones, options).unwrap())
}

fn router(door: &Arc<Door>) -> Router {
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
    fn new() -> Self {
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

    fn later(&self, seconds: i64) {
        self.clock.fetch_add(seconds, Ordering::Relaxed);
    }

    async fn answer(&self, browser: &mut Browser, request: Request<Body>) -> Answer {
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

    async fn get(&self, browser: &mut Browser, path: &str) -> Answer {
        let request = browser.request("GET", path).body(Body::empty()).unwrap();
        self.answer(browser, request).await
    }

    async fn post(&self, browser: &mut Browser, path: &str, fields: &[(&str, &str)]) -> Answer {
        let request = browser.request("POST", path);
        let request = request.header("content-type", "application/x-www-form-urlencoded");
        let request = request.body(Body::from(encoded(fields))).unwrap();
        self.answer(browser, request).await
    }

    /// Opens the page that asks, and answers it.
    async fn try_pin(&self, browser: &mut Browser, by: &str, pin: &str) -> Answer {
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

    async fn signed_in(&self, by: &str, pin: &str) -> Browser {
        let mut browser = Browser::default();
        let answer = self.try_pin(&mut browser, by, pin).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.page);
        browser
    }

    /// Opens the page of a bin, and returns the token and the key of its form.
    async fn form(&self, browser: &mut Browser) -> (String, String) {
        let page = self.get(browser, "/BIN/A07").await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.page);
        let words: Vec<&str> = page.page.split(' ').collect();
        (words[1].to_owned(), words[2].to_owned())
    }
}

fn set_pin(phones: &Phones, by: &str, pin: &str) {
    let pin: Pin = pin.parse().unwrap();
    let hash = PinHash::of(&pin).unwrap();
    Pins::change(phones, |pins| pins.set(by.parse().unwrap(), hash)).unwrap();
}

/// Writes fields as a browser sends them; nothing in these tests needs more.
fn encoded(fields: &[(&str, &str)]) -> String {
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
    fn request(&self, method: &str, path: &str) -> axum::http::request::Builder {
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

    fn keep(&mut self, response: &Response) {
        for cookie in response.headers().get_all("set-cookie") {
            let pair = cookie.to_str().unwrap().split(';').next().unwrap();
            let (name, value) = pair.split_once('=').unwrap();
            self.cookies.retain(|(had, _)| had != name);
            if !value.is_empty() {
                self.cookies.push((name.to_owned(), value.to_owned()));
            }
        }
    }

    fn cookie(&self, name: &str) -> Option<&str> {
        let found = self.cookies.iter().find(|(had, _)| had == name);
        found.map(|(_, value)| value.as_str())
    }

    fn set(&mut self, name: &str, value: &str) {
        self.cookies.retain(|(had, _)| had != name);
        self.cookies.push((name.to_owned(), value.to_owned()));
    }
}

impl Answer {
    fn field(&self, name: &str) -> String {
        let after = self.page.split(&format!("name=\"{name}\" value=\"")).nth(1);
        after
            .unwrap_or_else(|| panic!("no {name} in {}", self.page))
            .split('"')
            .next()
            .unwrap()
            .to_owned()
    }

    fn header(&self, name: &str) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }
}

#[tokio::test]
async fn a_worker_signs_in_comes_back_to_where_they_were_and_signs_out() {
    let shed = Shed::new();
    let mut browser = Browser::default();
    let asked = shed.get(&mut browser, "/BIN/A07").await;
    assert_eq!(asked.status, StatusCode::UNAUTHORIZED);
    assert_eq!(asked.field("to"), "/BIN/A07");
    assert!(
        asked.page.contains("Marlhythe &#60;Wormery&#62;"),
        "{}",
        asked.page
    );
    assert_eq!(asked.header("cache-control"), "no-store");
    // Under `no-referrer` the form would come back with the origin `null`, and be turned away.
    assert_eq!(asked.header("referrer-policy"), "same-origin");
    assert!(
        asked
            .header("content-security-policy")
            .contains("form-action 'self'")
    );
    let fields = [
        ("token", &*asked.field("token")),
        ("to", "/BIN/A07"),
        ("by", "mv"),
        ("pin", PIN),
    ];
    let signed_in = shed.post(&mut browser, SIGN_IN, &fields).await;
    assert_eq!(signed_in.status, StatusCode::SEE_OTHER);
    assert_eq!(signed_in.header("location"), "/BIN/A07");
    let cookie = signed_in.header("set-cookie");
    for part in ["HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=1209600"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Secure"), "there is no TLS: {cookie}");
    let page = shed.get(&mut browser, "/BIN/A07").await;
    assert!(page.page.starts_with("MV "), "{}", page.page);
    let (token, _) = shed.form(&mut browser).await;
    let kept = browser.clone();
    let out = shed
        .post(&mut browser, "/shed/sign-out", &[("token", &token)])
        .await;
    assert_eq!(
        (out.status, out.header("location")),
        (StatusCode::SEE_OTHER, SIGN_IN)
    );
    assert_eq!(browser.cookie("castlot"), None);
    for mut browser in [browser, kept] {
        let page = shed.get(&mut browser, "/BIN/A07").await;
        assert_eq!(page.status, StatusCode::UNAUTHORIZED);
    }
}

#[tokio::test]
async fn under_tls_the_cookies_are_never_sent_in_the_clear() {
    let mut shed = Shed::new();
    let (phones, clock) = (shed.phones.clone(), Arc::clone(&shed.clock));
    shed.router = Router::new();
    shed.door = {
        drop(std::mem::replace(
            &mut shed.door,
            open(
                &Phones::of(tempfile::tempdir().unwrap().path()),
                &clock,
                true,
            ),
        ));
        open(&phones, &clock, true)
    };
    shed.router = router(&shed.door);
    let mut browser = Browser::default();
    let asked = shed.get(&mut browser, "/BIN/A07").await;
    assert!(
        asked.header("set-cookie").contains("; Secure"),
        "{}",
        asked.header("set-cookie")
    );
    let answer = shed.try_pin(&mut browser, "MV", PIN).await;
    assert!(answer.header("set-cookie").contains("; Secure"));
}

#[tokio::test]
async fn wrong_initials_and_a_wrong_pin_are_told_alike_and_each_is_hashed() {
    let shed = Shed::new();
    let mut pages = Vec::new();
    for (by, pin) in [
        ("MV", "407194"),
        ("XX", PIN),
        ("<b>", PIN),
        ("MV", ""),
        ("", ""),
        ("RB", PIN),
    ] {
        let compared = shed.door.compared();
        let mut browser = Browser::default();
        let answer = shed.try_pin(&mut browser, by, pin).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{by}");
        assert_eq!(shed.door.compared(), compared + 1, "{by}");
        assert_eq!(browser.cookie("castlot"), None);
        assert!(!answer.page.contains("<b>"));
        let token = answer.field("token");
        pages.push(answer.page.replace(&token, "").replace(
            &format!(
                "name=\"by\" value=\"{}\"",
                by.replace('<', "&#60;").replace('>', "&#62;")
            ),
            "",
        ));
    }
    pages.dedup();
    assert_eq!(pages.len(), 1, "{pages:?}");
}

#[tokio::test]
async fn wrong_tries_make_the_next_wait_even_the_right_one_but_sign_nobody_out() {
    let shed = Shed::new();
    let mut inside = shed.signed_in("MV", PIN).await;
    let mut guesser = Browser::default();
    for (by, right) in [("MV", PIN), ("XX", "0")] {
        for _ in 0..3 {
            let answer = shed.try_pin(&mut guesser, by, "111111").await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{by}");
        }
        let answer = shed.try_pin(&mut guesser, by, right).await;
        assert_eq!(answer.status, StatusCode::TOO_MANY_REQUESTS, "{by}");
        assert_eq!(answer.header("retry-after"), "2");
        assert!(
            answer.page.contains("Please wait 2 seconds"),
            "{}",
            answer.page
        );
    }
    let page = shed.get(&mut inside, "/BIN/A07").await;
    assert_eq!(page.status, StatusCode::OK, "who is inside stays inside");
    shed.later(2);
    shed.signed_in("MV", PIN).await;
}

#[tokio::test]
async fn ten_thousand_wrong_pins_are_three_comparisons() {
    let shed = Shed::new();
    let mut browser = Browser::default();
    let page = shed.get(&mut browser, SIGN_IN).await;
    let token = page.field("token");
    let mut statuses = std::collections::BTreeMap::new();
    for pin in 0..10_000 {
        let pin = format!("{pin:06}");
        let fields = [("token", &*token), ("by", "MV"), ("pin", &*pin)];
        let answer = shed.post(&mut browser, SIGN_IN, &fields).await;
        *statuses.entry(answer.status.as_u16()).or_insert(0) += 1;
    }
    assert_eq!(shed.door.compared(), 3);
    assert_eq!(statuses, [(403, 3), (429, 9_997)].into());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn many_who_sign_in_at_once_wait_in_a_short_queue() {
    let shed = Arc::new(Shed::new());
    let mut browser = Browser::default();
    let page = shed.get(&mut browser, SIGN_IN).await;
    let token = page.field("token");
    let tries = (0..40).map(|n| {
        let (shed, mut browser, token) = (Arc::clone(&shed), browser.clone(), token.clone());
        tokio::spawn(async move {
            let by = format!("W{n}");
            let fields = [("token", &*token), ("by", &*by), ("pin", PIN)];
            shed.post(&mut browser, SIGN_IN, &fields)
                .await
                .status
                .as_u16()
        })
    });
    let tries: Vec<_> = tries.collect();
    let mut statuses = Vec::new();
    for one in tries {
        statuses.push(one.await.unwrap());
    }
    let count = |status: u16| statuses.iter().filter(|found| **found == status).count();
    assert!(count(403) >= 8, "{statuses:?}");
    assert!(count(503) >= 1, "{statuses:?}");
    assert_eq!(count(403) + count(503) + count(429), 40, "{statuses:?}");
    // The queue is free again, and nobody's wait grew by being sent away.
    shed.signed_in("MV", PIN).await;
}

#[tokio::test]
async fn a_form_is_taken_with_its_token_and_recorded_once() {
    let shed = Shed::new();
    let mut browser = shed.signed_in("MV", PIN).await;
    let (token, key) = shed.form(&mut browser).await;
    let fields = |grams| {
        vec![
            ("token", &*token),
            ("key", &*key),
            ("by", "MV"),
            ("grams", grams),
        ]
    };
    let first = shed.post(&mut browser, "/shed/fed", &fields("300")).await;
    assert_eq!(
        (first.status, &*first.page),
        (StatusCode::OK, "recorded [300]")
    );
    let again = shed.post(&mut browser, "/shed/fed", &fields("300")).await;
    assert_eq!(
        (again.status, &*again.page),
        (StatusCode::OK, "before [300]")
    );
    let aged = [fields("300"), vec![("age", "900")]].concat();
    let again = shed.post(&mut browser, "/shed/fed", &aged).await;
    assert_eq!(
        (again.status, &*again.page),
        (StatusCode::OK, "before [300]")
    );
    let other = shed.post(&mut browser, "/shed/fed", &fields("400")).await;
    assert_eq!(
        (other.status, &*other.page),
        (StatusCode::CONFLICT, "other")
    );
    // Signed in anew, the same form with the new token is still the same form.
    let mut later = shed.signed_in("MV", PIN).await;
    let (token, _) = shed.form(&mut later).await;
    let fields = [
        ("token", &*token),
        ("key", &*key),
        ("by", "MV"),
        ("grams", "300"),
    ];
    let again = shed.post(&mut later, "/shed/fed", &fields).await;
    assert_eq!(
        (again.status, &*again.page),
        (StatusCode::OK, "before [300]")
    );
}

#[tokio::test]
async fn a_form_without_token_cookie_or_key_or_of_another_is_not_taken() {
    let shed = Shed::new();
    let mut mv = shed.signed_in("MV", PIN).await;
    let mut rb = shed.signed_in("RB", "580264").await;
    let (token, key) = shed.form(&mut mv).await;
    let (of_rb, _) = shed.form(&mut rb).await;
    let send = async |browser: &mut Browser, token: &str, key: &str, by: &str| {
        let fields = [("token", token), ("key", key), ("by", by), ("grams", "300")];
        shed.post(browser, "/shed/fed", &fields)
            .await
            .status
            .as_u16()
    };
    assert_eq!(
        send(&mut mv, &of_rb, &key, "MV").await,
        403,
        "another's token"
    );
    assert_eq!(send(&mut mv, "", &key, "MV").await, 403, "no token");
    assert_eq!(
        send(&mut Browser::default(), &token, &key, "MV").await,
        401,
        "no cookie"
    );
    assert_eq!(
        send(&mut rb, &of_rb, &key, "MV").await,
        401,
        "a form of MV's on RB's phone"
    );
    assert_eq!(send(&mut mv, &token, "", "MV").await, 422, "no key");
    assert_eq!(
        send(&mut mv, &token, &key[1..], "MV").await,
        422,
        "half a key"
    );
    let mut forged = mv.clone();
    forged.set("castlot", &"0".repeat(64));
    assert_eq!(
        send(&mut forged, &token, &key, "MV").await,
        401,
        "a forged cookie"
    );
    shed.later(13 * 24 * 3600);
    assert_eq!(
        send(&mut mv, &token, &key, "MV").await,
        401,
        "ended, unused"
    );
    shed.later(33 * 24 * 3600);
    let mut mv = shed.signed_in("MV", PIN).await;
    let (token, _) = shed.form(&mut mv).await;
    assert_eq!(
        send(&mut mv, &token, &key, "MV").await,
        422,
        "kept for too long"
    );
}

#[tokio::test]
async fn a_form_from_another_site_is_not_taken_whatever_it_says() {
    let shed = Shed::new();
    let mut browser = shed.signed_in("MV", PIN).await;
    let (token, key) = shed.form(&mut browser).await;
    let body = encoded(&[
        ("token", &token),
        ("key", &key),
        ("by", "MV"),
        ("grams", "300"),
    ]);
    for (header, value, status) in [
        ("origin", "http://evil.example", 403),
        ("sec-fetch-site", "cross-site", 403),
        ("origin", "http://shed.example:8080", 200),
    ] {
        let request = browser.request("POST", "/shed/fed").header(header, value);
        let request = request.header("content-type", "application/x-www-form-urlencoded");
        let request = request.body(Body::from(body.clone())).unwrap();
        let answer = shed.answer(&mut browser, request).await;
        assert_eq!(answer.status.as_u16(), status, "{header} {value}");
    }
    // A sign-in that another site sends, with a token of its own making, is not taken either.
    let mut victim = Browser::default();
    let fields = [("token", &*token), ("by", "MV"), ("pin", PIN)];
    let answer = shed.post(&mut victim, SIGN_IN, &fields).await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    assert_eq!(victim.cookie("castlot"), None);
}

#[tokio::test]
async fn what_is_no_form_is_told_and_recorded_nowhere() {
    let shed = Shed::new();
    let mut browser = shed.signed_in("MV", PIN).await;
    for (kind, body, status) in [
        ("application/json", "{}".to_owned(), 415),
        (
            "application/x-www-form-urlencoded",
            "grams=%FF%FE".to_owned(),
            403,
        ),
        (
            "application/x-www-form-urlencoded",
            format!("x={}", "a".repeat(3 << 20)),
            413,
        ),
    ] {
        let request = browser
            .request("POST", "/shed/fed")
            .header("content-type", kind);
        let request = request.body(Body::from(body)).unwrap();
        let answer = shed.answer(&mut browser, request).await;
        assert_eq!(answer.status.as_u16(), status, "{kind}: {}", answer.page);
    }
}

#[tokio::test]
async fn a_new_pin_and_none_sign_a_worker_out_while_the_server_runs_and_a_restart_does_not() {
    let mut shed = Shed::new();
    let mut mv = shed.signed_in("MV", PIN).await;
    let mut rb = shed.signed_in("RB", "580264").await;
    let other = tempfile::tempdir().unwrap();
    // Only one server has a farm's door; for a restart, this one has to let go of it.
    let elsewhere = open(&Phones::of(other.path()), &shed.clock, false);
    shed.router = router(&elsewhere);
    shed.door = elsewhere;
    shed.door = open(&shed.phones, &shed.clock, false);
    shed.router = router(&shed.door);
    assert_eq!(shed.get(&mut mv, "/BIN/A07").await.status, StatusCode::OK);
    set_pin(&shed.phones, "MV", "407194");
    assert_eq!(
        shed.get(&mut mv, "/BIN/A07").await.status,
        StatusCode::UNAUTHORIZED
    );
    assert_eq!(shed.get(&mut rb, "/BIN/A07").await.status, StatusCode::OK);
    Pins::change(&shed.phones, |pins| pins.forget(&"RB".parse().unwrap())).unwrap();
    assert_eq!(
        shed.get(&mut rb, "/BIN/A07").await.status,
        StatusCode::UNAUTHORIZED
    );
    // A file of PINs that somebody spoilt lets nobody in, and says so without naming the computer's folders.
    shed.phones.replace("pins.toml", b"MV = 1").unwrap();
    let spoilt = shed.get(&mut mv, "/BIN/A07").await;
    assert_eq!(spoilt.status, StatusCode::INTERNAL_SERVER_ERROR);
    assert!(
        !spoilt.page.contains("/tmp") && spoilt.page.contains("not as castlot wrote it"),
        "{}",
        spoilt.page
    );
}
