//! Tests of signing in and out, as a browser meets them.

use std::sync::Arc;

use axum::Router;
use axum::http::StatusCode;

use super::door_testing::{Browser, PIN, Shed, open, router, set_pin};
use super::phones::Phones;
use super::pins_file::Pins;
use super::sign_in::SIGN_IN;

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

#[tokio::test]
async fn whoever_signs_in_on_anothers_phone_signs_the_other_out_there() {
    let shed = Shed::new();
    let mut phone = shed.signed_in("MV", PIN).await;
    let mut elsewhere = shed.signed_in("MV", PIN).await;
    let mut copied = phone.clone();
    // A wrong try signs nobody out.
    shed.try_pin(&mut phone, "RB", PIN).await;
    assert!(
        shed.get(&mut copied, "/BIN/A07")
            .await
            .page
            .starts_with("MV ")
    );
    let answer = shed.try_pin(&mut phone, "RB", "580264").await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert!(
        shed.get(&mut phone, "/BIN/A07")
            .await
            .page
            .starts_with("RB ")
    );
    let gone = shed.get(&mut copied, "/BIN/A07").await;
    assert_eq!(gone.status, StatusCode::UNAUTHORIZED);
    let other = shed.get(&mut elsewhere, "/BIN/A07").await;
    assert!(other.page.starts_with("MV "), "on that phone alone");
}

#[tokio::test]
async fn a_cookie_that_somebody_planted_is_no_sign_in_and_is_not_kept_at_one() {
    let shed = Shed::new();
    let mut phone = Browser::default();
    let planted = "0123456789abcdef".repeat(4);
    phone.set("castlot", &planted);
    phone.set("castlot-door", &planted);
    let answer = shed.try_pin(&mut phone, "MV", PIN).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert_ne!(phone.cookie("castlot"), Some(&*planted));
    phone.set("castlot", &planted);
    let page = shed.get(&mut phone, "/BIN/A07").await;
    assert_eq!(page.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn a_sign_in_never_leads_to_another_site() {
    let shed = Shed::new();
    for to in [
        "//evil.example/",
        "/\\evil.example",
        "/\t/evil.example",
        "https://evil.example/",
        "/BIN/A07\r\nLocation: https://evil.example/",
        "/shed/sign-out",
        "javascript:alert(1)",
    ] {
        let mut phone = Browser::default();
        let token = shed.get(&mut phone, SIGN_IN).await.field("token");
        let fields = [("token", &*token), ("to", to), ("by", "MV"), ("pin", PIN)];
        let answer = shed.post(&mut phone, SIGN_IN, &fields).await;
        assert_eq!(answer.header("location"), "/shed/round", "{to}");
        assert_eq!(answer.headers.get_all("location").iter().count(), 1);
    }
}

#[tokio::test]
async fn nothing_is_changed_by_opening_an_address() {
    let shed = Shed::new();
    let mut phone = shed.signed_in("MV", PIN).await;
    let token = shed.get(&mut phone, "/BIN/A07").await.page;
    let token = token.split(' ').nth(1).unwrap().to_owned();
    for address in ["/shed/sign-out", "/shed/fed"] {
        let address = format!("{address}?token={token}&by=MV&grams=300");
        let answer = shed.get(&mut phone, &address).await;
        assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED, "{address}");
    }
    // Nor by a form of another site's, which has no token.
    let out = shed.post(&mut phone, "/shed/sign-out", &[]).await;
    assert_eq!(out.status, StatusCode::FORBIDDEN);
    assert_eq!(
        shed.get(&mut phone, "/BIN/A07").await.status,
        StatusCode::OK
    );
}
