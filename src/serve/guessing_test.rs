//! Tests of whoever tries PINs that are not theirs.

use std::sync::Arc;

use axum::http::StatusCode;

use super::door_testing::{Browser, PIN, Shed};
use super::sign_in::SIGN_IN;

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
