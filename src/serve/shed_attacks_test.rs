//! Tests of the shed against bad luck and bad will behind the sign-in: whatever a form says, whoever has the diary,
//! whatever the clocks say.

use std::sync::mpsc;
use std::time::Duration;

use axum::http::StatusCode;
use proptest::prelude::*;
use proptest::sample::select;

use super::phone_testing::{Phone, encoded};
use crate::diary::{Book, Pen};
use crate::farm::{DeliveryKind, HoldStep, Reach};
use crate::site::makings::{at, delivery, draft, hold};

#[tokio::test]
async fn a_phone_whose_clock_was_put_right_by_years_dates_nothing_before_its_page_was_opened() {
    let phone = Phone::signed_in().await;
    let bed = phone.bed();
    let years = (56_u64 * 365 * 86_400).to_string();
    let greens = format!("{} 500g", phone.server.code("mark-of-greens"));
    for age in [&*years, "4294967295", "4294967296", "-5", "1e9", ""] {
        let fields = [("bed", &*bed), ("takes", &*greens), ("age", age)];
        let answer = phone.send("fed", &fields).await;
        assert_eq!(answer.status, StatusCode::OK, "{age}: {}", answer.text);
    }
    let written = phone.written();
    let days = |when: &str| written.iter().filter(|line| line.starts_with(when)).count();
    // The page was opened an hour before; what is no age is none.
    assert_eq!(days("2026-04-01T09:00"), 2, "{written:?}");
    assert_eq!(days("2026-04-01T10:00"), 4, "{written:?}");
}

#[tokio::test]
async fn a_form_that_was_refused_is_recorded_once_the_reason_is_gone() {
    let phone = Phone::signed_in().await;
    let (bed, key) = (phone.bed(), phone.key());
    let fields = [("bed", &*bed), ("amount", "mark-of-late 300g")];
    for _ in 0..2 {
        let refused = phone.send_as(&key, "fed", &fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let late = delivery(DeliveryKind::Feedstock, "20kg", "mark-of-late");
    phone.server.record(vec![draft(at(20, 9), late)]);
    phone.server.live.look();
    for _ in 0..3 {
        let taken = phone.send_as(&key, "fed", &fields).await;
        assert_eq!(taken.status, StatusCode::OK, "{}", taken.text);
    }
    let fed = phone.written();
    let fed = fed
        .iter()
        .filter(|line| line.contains("fed mark-of-late 300g"));
    assert_eq!(fed.count(), 1);
}

#[tokio::test]
async fn a_tap_of_what_was_held_a_moment_ago_is_refused_though_the_page_did_not_know() {
    let phone = Phone::signed_in().await;
    let bed = phone.bed();
    let greens = format!("{} 500g", phone.server.code("mark-of-greens"));
    // Nobody looks at the diary in between: the page's farm is the one from before.
    let held = hold("mark-of-greens", HoldStep::Hold(Reach::All));
    phone.server.record(vec![draft(at(25, 9), held)]);
    let fields = [("bed", &*bed), ("takes", &*greens)];
    let answer = phone.send("fed", &fields).await;
    assert_eq!(
        answer.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        answer.text
    );
    assert_eq!(phone.written().len(), 1, "the hold alone");
}

#[tokio::test]
async fn a_broken_castlot_toml_stops_nobody_from_recording() {
    let phone = Phone::signed_in().await;
    phone.server.put("castlot.toml", "broken");
    phone.server.live.look();
    let place = [("bin", "A02"), ("place", "R2/S1/P9")];
    let answer = phone.send("moved", &place).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    assert_eq!(phone.written().len(), 1);
}

#[tokio::test]
async fn while_another_program_has_the_diary_a_form_is_told_to_come_again_and_then_is_taken() {
    let phone = Phone::signed_in().await;
    let (has, had) = mpsc::channel();
    let (lets_go, let_go) = mpsc::channel::<()>();
    let diary = phone.server.folder.path().join("diary.db");
    let other = std::thread::spawn(move || {
        let mut book = Book::open(&diary).expect("the diary is there");
        let nothing = book.record(&mut Pen::new("UTC"), |_| {
            has.send(()).expect("the test waits for it");
            Err(let_go.recv_timeout(Duration::from_secs(60)).is_ok())
        });
        assert!(nothing.is_err());
    });
    had.recv().expect("the other has it");
    let (key, place) = (phone.key(), [("bin", "A02"), ("place", "R2/S1/P9")]);
    let busy = phone.send_as(&key, "moved", &place).await;
    assert_eq!(
        busy.status,
        StatusCode::SERVICE_UNAVAILABLE,
        "{}",
        busy.text
    );
    assert!(busy.text.contains("Nothing was recorded") && !busy.header("retry-after").is_empty());
    // Who only looks is answered meanwhile.
    assert_eq!(phone.get("/BIN/A02").await.status, StatusCode::OK);
    lets_go.send(()).expect("it waits for this");
    other.join().expect("it does not panic");
    let taken = phone.send_as(&key, "moved", &place).await;
    assert_eq!(taken.status, StatusCode::OK, "{}", taken.text);
    assert_eq!(phone.written().len(), 1);
}

#[tokio::test]
async fn nobody_keeps_the_diary_busy_by_taking_back_ten_thousand_entries() {
    let phone = Phone::signed_in().await;
    let entries = "1 ".repeat(10_000);
    let answer = phone.send("taken-back", &[("entries", &entries)]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        answer.text.contains("More than 20 entries"),
        "{}",
        answer.text
    );
    assert!(phone.written().is_empty());
}

#[tokio::test]
async fn a_code_that_does_not_read_leaves_the_feed_in_use_as_it_was() {
    let phone = Phone::signed_in().await;
    let greens = phone.server.code("mark-of-greens").to_string();
    let back = ("back", "/BIN/A02");
    phone.send("use", &[("lot", &greens), back]).await;
    for wrong in ["P26115-07-X", "nonsense", "G26001-99-A"] {
        let answer = phone.send("use", &[("lot", wrong), back]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
    }
    let page = phone.get("/BIN/A02").await;
    assert!(page.text.contains("Feed in use: <b>mark-of-greens</b>"));
}

const DEEDS: [&str; 8] = [
    "fed",
    "skipped",
    "checked",
    "moved",
    "noted",
    "complaint",
    "taken-back",
    "use",
];

const FIELDS: [&str; 22] = [
    "bin",
    "bed",
    "takes",
    "amount",
    "lot",
    "why",
    "own_why",
    "feed_left",
    "squeeze",
    "smell",
    "worms",
    "temperature_c",
    "note",
    "place",
    "entries",
    "pack",
    "sign",
    "own_sign",
    "bought_about",
    "contact",
    "back",
    "age",
];

/// What somebody might send who wants to see it fall over.
fn values() -> impl Strategy<Value = String> {
    let hostile = [
        "A02",
        "A01",
        "R2/S1/P9",
        "mark-of-greens 500g",
        "mark-of-greens",
        "500",
        "999999999999999999999g",
        "0",
        "-1g",
        "1e400",
        "NaN",
        "?",
        "~",
        "~?kg",
        ";;;",
        "#",
        "run#",
        "mark-of-run #1-",
        "mark-of-run #4294967295",
        "all",
        "1 of 0",
        "0/0",
        "2026-13-45",
        "0000-00-00",
        "9999-12-31T23:59",
        "-9999-01-01",
        "18446744073709551615",
        "21",
        "none",
        "lots",
        "stream",
        "+\u{7f}",
        "\u{0}",
        "\r\nSet-Cookie: castlot=1",
        "<script>alert(1)</script>",
        "\"><img src=x onerror=alert(1)>",
        "=1+1",
        "forgotten-1",
        "forgotten-18446744073709551615",
        "\u{202e}\u{feff}",
        "//evil.example",
        "HTTPS://LOTS.MARLHYTHE.EXAMPLE/",
        "%00",
        "İ",
        "ß",
        "ŉ",
        "½kg",
        "５００g",
        "P26115-07-S/0012",
    ];
    prop_oneof![
        6 => select(hostile.to_vec()).prop_map(str::to_owned),
        1 => "\\PC{0,30}",
        1 => any::<String>(),
        1 => (select(hostile.to_vec()), 1..400_usize).prop_map(|(text, times)| text.repeat(times)),
    ]
}

fn forms() -> impl Strategy<Value = (&'static str, Vec<(&'static str, String)>)> {
    let fields = prop::collection::vec((select(FIELDS.to_vec()), values()), 0..9);
    (select(DEEDS.to_vec()), fields)
}

/// Tells whether an answer is a whole page that lets nothing of a form through as markup.
fn sound(text: &str) -> bool {
    let whole = text.is_empty() || text.starts_with("<!DOCTYPE html>");
    whole && !text.contains("<script>alert") && !text.contains("<img")
}

/// Whatever a form says, it is recorded or refused in words, and never half; and so is an address.
#[test]
fn no_form_and_no_address_makes_the_server_fall_over() {
    let runtime = tokio::runtime::Runtime::new().expect("the system has threads");
    let phone = runtime.block_on(Phone::signed_in());
    let bed = phone.bed();
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let counts = std::cell::Cell::new((0, 0));
    let ran = runner.run(&forms(), |(deed, fields)| {
        let mut said: Vec<(&str, &str)> =
            fields.iter().map(|(name, text)| (*name, &**text)).collect();
        // A form without a bed gets no further than that.
        said.push(("bed", &bed));
        said.push(("bin", "A02"));
        let before = phone.written().len();
        let answer = runtime.block_on(phone.send(deed, &said));
        let more = phone.written().len() - before;
        let status = answer.status.as_u16();
        prop_assert!(
            [200, 303, 422].contains(&status),
            "{} {}",
            status,
            answer.text
        );
        prop_assert!(sound(&answer.text), "{}", answer.text);
        prop_assert_eq!(status == 200, more > 0, "{} entries and {}", more, status);
        prop_assert_eq!(answer.headers.get_all("set-cookie").iter().count(), 0);
        let (taken, all) = counts.get();
        counts.set((taken + usize::from(status == 200), all + 1));
        let Some((_, text)) = fields.first() else {
            return Ok(());
        };
        for address in [
            "/shed/find?q=",
            "/shed/trace/",
            "/BIN/",
            "/RACK/",
            "/shed/round?rack=",
            "/shed/complaint?pack=",
            "/",
        ] {
            let address = format!("{address}{}", encoded(text));
            if address.len() < 4_000 {
                let page = runtime.block_on(phone.get(&address));
                prop_assert!(page.status.as_u16() < 500, "{} {}", address, page.status);
                prop_assert!(sound(&page.text), "{}", address);
            }
        }
        Ok(())
    });
    ran.expect("nothing falls over");
    let (taken, all) = counts.get();
    assert!(taken * 20 > all, "some are recorded: {taken} of {all}");
    let book = Book::open(&phone.server.folder.path().join("diary.db")).expect("it is there");
    assert!(book.verify().is_ok(), "the diary is sound after all of it");
}
