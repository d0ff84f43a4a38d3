//! Tests of the shed: forms that waited on the phone, photos of codes, and how the round is sent.

use axum::body::Body;
use axum::http::{Request, StatusCode};
use jiff::SignedDuration;
use tower::ServiceExt;

use super::phone_testing::Phone;
use super::photo::photo_test;
use super::testing::Answer;
use super::token::FormToken;

#[tokio::test]
async fn a_tap_that_waited_until_its_bed_was_gone_is_judged_at_its_own_moment() {
    let phone = Phone::signed_in().await;
    let gone = phone.server.code("mark-of-bed-1").to_string();
    let takes = "mark-of-greens 1kg";
    // The bed was sieved and cleared on 20 March at 9; it is 1 April, at 10.
    let hour_before = (12 * 24 + 2) * 3600;
    let late = hour_before.to_string();
    let fields = [("bin", "A01"), ("bed", &*gone), ("takes", takes)];
    let kept = [&fields[..], &[("age", &*late)]].concat();
    // The page had been open since the day before that.
    let shown = || phone.key_shown(SignedDuration::from_hours(13 * 24));
    let kept = phone.send_as(&shown(), "fed", &kept).await;
    assert_eq!(kept.status, StatusCode::OK, "{}", kept.text);
    let written = phone.written();
    assert!(
        written[0].starts_with("2026-03-20T08:00 MV bed mark-of-bed-1 fed"),
        "{written:?}"
    );
    let after = (hour_before - 3 * 3600).to_string();
    let after = [&fields[..], &[("age", &*after)]].concat();
    let after = phone.send_as(&shown(), "fed", &after).await;
    assert_eq!(after.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        after.text.contains("ended on 2026-03-20") && after.text.contains("at the computer"),
        "{}",
        after.text
    );
    assert_eq!(phone.written().len(), 1);
}

#[tokio::test]
async fn the_round_is_sent_packed_to_whoever_takes_it_so() {
    let phone = Phone::signed_in().await;
    let ask = |address: &str, takes: &str| {
        let request = Request::get(address)
            .header("cookie", format!("castlot={}", phone.cookie))
            .header("accept-encoding", takes);
        request.body(Body::empty()).expect("it is an address")
    };
    for (address, takes, packed) in [
        ("/shed/round", "gzip, br", true),
        ("/shed/round", "identity", false),
        ("/RACK/R1", "gzip", true),
        ("/shed/shed.js", "gzip", true),
        ("/shed/find?q=A02x", "gzip", false),
        ("/BIN/A02", "gzip", false),
    ] {
        let answer = phone
            .server
            .routes
            .clone()
            .oneshot(ask(address, takes))
            .await;
        let answer = answer.expect("routes always answer");
        assert_eq!(answer.status(), StatusCode::OK, "{address}");
        let how = answer.headers().get("content-encoding");
        assert_eq!(
            how.is_some_and(|how| how == "gzip"),
            packed,
            "{address} {takes}"
        );
    }
}

/// A form with a photo, as a browser sends it.
fn photo_form(token: &str, photo: &[u8]) -> (String, Vec<u8>) {
    let part = |name: &str, body: &[u8]| {
        let head = format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"");
        let file = if name == "photo" {
            "; filename=\"a.png\""
        } else {
            ""
        };
        [head.as_bytes(), file.as_bytes(), b"\r\n\r\n", body, b"\r\n"].concat()
    };
    let body = [
        part("token", token.as_bytes()),
        part("photo", photo),
        b"--edge--\r\n".to_vec(),
    ];
    (
        "multipart/form-data; boundary=edge".to_owned(),
        body.concat(),
    )
}

impl Phone {
    async fn send_photo(&self, token: &str, photo: &[u8]) -> Answer {
        let (kind, body) = photo_form(token, photo);
        let request = Request::post("/shed/photo")
            .header("cookie", format!("castlot={}", self.cookie))
            .header("content-type", kind)
            .header("content-length", body.len());
        self.server
            .ask(request.body(Body::from(body)).expect("a form"))
            .await
    }
}

#[tokio::test]
async fn a_photo_leads_to_what_its_code_names() {
    let phone = Phone::signed_in().await;
    let token = FormToken::of(&phone.cookie);
    let bin = photo_test::label_of("A02");
    let led = phone.send_photo(token.as_str(), &bin).await;
    assert_eq!(led.status, StatusCode::SEE_OTHER, "{}", led.text);
    assert_eq!(led.header("location"), "/BIN/A02");
    let run = phone.server.code("mark-of-run");
    let pack = photo_test::label_of(&format!("{run}/0003 Worm-worked compost"));
    let found = phone.send_photo(token.as_str(), &pack).await;
    assert_eq!(found.status, StatusCode::OK, "{}", found.text);
    assert!(
        found
            .text
            .contains(&format!("/shed/complaint?pack={run}/0003")),
        "{}",
        found.text
    );
    let none = phone.send_photo(token.as_str(), b"no photo").await;
    assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(none.text.contains("PNG and JPEG can"), "{}", none.text);
    let strange = phone.send_photo("another", &bin).await;
    assert_eq!(strange.status, StatusCode::FORBIDDEN);
    let large = phone.send_photo(token.as_str(), &vec![0; 9 << 20]).await;
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    let (kind, body) = photo_form(token.as_str(), &bin);
    let nobody = Request::post("/shed/photo").header("content-type", kind);
    let nobody = phone
        .server
        .ask(nobody.body(Body::from(body)).expect("a form"))
        .await;
    assert_eq!(nobody.status, StatusCode::UNAUTHORIZED);
    assert!(phone.written().is_empty());
    // A larger form than any other may have is taken at that address alone.
    let long = "x".repeat(100_000);
    let long = phone
        .send("noted", &[("bed", &phone.bed()), ("note", &long)])
        .await;
    assert_eq!(long.status, StatusCode::PAYLOAD_TOO_LARGE);
}
