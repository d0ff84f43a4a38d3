//! Tests of forms at the door: whose they are, where they come from, and that each is recorded once.

use axum::body::Body;
use axum::http::StatusCode;

use super::door_testing::{Browser, PIN, Shed, encoded};
use super::sign_in::SIGN_IN;

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
async fn a_form_with_the_key_of_another_workers_is_not_recorded() {
    let shed = Shed::new();
    let mut mv = shed.signed_in("MV", PIN).await;
    let mut rb = shed.signed_in("RB", "580264").await;
    let (of_mv, key) = shed.form(&mut mv).await;
    let (of_rb, _) = shed.form(&mut rb).await;
    let send = async |browser: &mut Browser, token: &str, by: &str| {
        let fields = [
            ("token", token),
            ("key", &*key),
            ("by", by),
            ("grams", "300"),
        ];
        shed.post(browser, "/shed/fed", &fields).await
    };
    let first = send(&mut mv, &of_mv, "MV").await;
    assert_eq!(first.page, "recorded [300]");
    let replayed = send(&mut rb, &of_rb, "RB").await;
    assert_eq!(replayed.status, StatusCode::CONFLICT);
    let again = send(&mut mv, &of_mv, "MV").await;
    assert_eq!(again.page, "before [300]");
}
