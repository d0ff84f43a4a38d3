//! Tests of the shed behind the sign-in, as a phone meets it: what a form writes into the diary, and what it does not.

use axum::http::StatusCode;

use super::phone_testing::Phone;

#[tokio::test]
async fn a_tap_is_written_down_once_however_often_it_comes() {
    let phone = Phone::signed_in().await;
    let (bed, key) = (phone.bed(), phone.key());
    let takes = format!("{} 500g", phone.server.code("mark-of-greens"));
    let fields = [("bin", "A02"), ("bed", &*bed), ("takes", &*takes)];
    let first = phone.send_as(&key, "fed", &fields).await;
    assert_eq!(first.status, StatusCode::OK, "{}", first.text);
    assert!(first.text.contains("entry 21"), "{}", first.text);
    let again = [&fields[..], &[("age", "900")]].concat();
    let again = phone.send_as(&key, "fed", &again).await;
    assert_eq!(again.status, StatusCode::OK);
    assert!(again.text.contains("entry 21") && again.text.contains("come before"));
    let other = [
        ("bin", "A02"),
        ("bed", &*bed),
        ("takes", "mark-of-greens 900g"),
    ];
    let other = phone.send_as(&key, "fed", &other).await;
    assert_eq!(other.status, StatusCode::CONFLICT);
    assert!(other.text.contains("data-refused"));
    let written = phone.written();
    assert_eq!(written.len(), 1);
    assert!(
        written[0].starts_with("2026-04-01T10:00 MV bed"),
        "{written:?}"
    );
    assert!(
        written[0].contains("fed mark-of-greens 500g"),
        "{written:?}"
    );
}

#[tokio::test]
async fn boxes_that_were_circled_go_down_with_a_feed_or_a_skip_as_on_the_round_sheet() {
    let phone = Phone::signed_in().await;
    let bed = phone.bed();
    let seen = [
        ("bin", "A02"),
        ("bed", &*bed),
        ("feed_left", "some"),
        ("worms", "yes"),
        ("temperature_c", "18.5"),
    ];
    let skipped = [&seen[..], &[("own_why", "food left"), ("age", "600")]].concat();
    assert_eq!(phone.send("skipped", &skipped).await.status, StatusCode::OK);
    let written = phone.written();
    assert_eq!(written.len(), 2, "{written:?}");
    assert!(
        written[0].starts_with("2026-04-01T09:50") && written[0].contains("18.5"),
        "{written:?}"
    );
    assert!(written[0].contains("up the side"), "{written:?}");
    assert!(written[1].contains("not fed: food left"), "{written:?}");
}

/// The address of a form, what it says, and what is told of it.
type Refused<'a> = (&'a str, Vec<(&'a str, &'a str)>, &'a str);

#[tokio::test]
async fn what_is_refused_is_told_and_leaves_nothing_behind() {
    let phone = Phone::signed_in().await;
    let bed = phone.bed();
    let ended = phone.server.code("mark-of-bed-1").to_string();
    let cases: [Refused<'_>; 7] = [
        (
            "fed",
            vec![("bed", &bed), ("amount", "300 g")],
            "Choose the feed under",
        ),
        (
            "fed",
            vec![("bed", &bed), ("amount", "nowhere-1 300g")],
            "nowhere-1",
        ),
        (
            "fed",
            vec![("bed", &ended), ("takes", "mark-of-greens 1kg")],
            "ended on",
        ),
        ("skipped", vec![("bed", &bed)], "why it was skipped"),
        ("checked", vec![("bed", &bed)], "what was seen"),
        (
            "moved",
            vec![("bin", "A02"), ("place", "nowhere")],
            "nowhere",
        ),
        ("complaint", vec![("pack", "mark-of-run")], "what was seen"),
    ];
    for (deed, fields, words) in cases {
        let answer = phone.send(deed, &fields).await;
        assert_eq!(
            answer.status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{deed}: {}",
            answer.text
        );
        assert!(answer.text.contains(words), "{deed}: {}", answer.text);
        assert!(answer.text.contains("data-refused"), "{deed}");
    }
    assert!(phone.written().is_empty());
}

#[tokio::test]
async fn what_was_tapped_is_taken_back_by_whoever_tapped_it_and_nobody_else() {
    let phone = Phone::signed_in().await;
    let bed = phone.bed();
    let moved = phone
        .send("moved", &[("bin", "A02"), ("place", "R2/S1/P9")])
        .await;
    assert_eq!(moved.status, StatusCode::OK, "{}", moved.text);
    let noted = phone
        .send(
            "noted",
            &[
                ("bin", "A02"),
                ("bed", &bed),
                ("note", "<b>lid</b> cracked"),
            ],
        )
        .await;
    assert!(noted.text.contains("&#60;b&#62;lid") && !noted.text.contains("<b>lid"));
    let strange = phone
        .send("taken-back", &[("entries", "20"), ("why", "slip")])
        .await;
    assert_eq!(strange.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(strange.text.contains("not yours"));
    let back = phone
        .send("taken-back", &[("entries", "21 22"), ("why", "slip")])
        .await;
    assert_eq!(back.status, StatusCode::OK, "{}", back.text);
    let written = phone.written();
    assert_eq!(written.len(), 4, "{written:?}");
    assert!(
        written[2].contains("entry 22 struck out: slip"),
        "{written:?}"
    );
    assert!(
        written[3].contains("entry 21 struck out: slip"),
        "{written:?}"
    );
}

#[tokio::test]
async fn a_complaint_is_taken_from_a_scanned_pack_or_from_half_of_what_was_heard() {
    let phone = Phone::signed_in().await;
    let pack = format!(
        "HTTPS://LOTS.MARLHYTHE.EXAMPLE/{}?0003",
        phone.server.code("mark-of-run")
    );
    let known = phone
        .send("complaint", &[("pack", &pack), ("sign", "flies")])
        .await;
    assert_eq!(known.status, StatusCode::OK, "{}", known.text);
    let heard = phone
        .send(
            "complaint",
            &[("pack", "seventy dash"), ("own_sign", "smells")],
        )
        .await;
    assert_eq!(heard.status, StatusCode::OK, "{}", heard.text);
    let written = phone.written();
    assert!(
        written[0].contains("flies") && written[0].contains('3'),
        "{written:?}"
    );
    assert!(written[1].contains("seventy dash"), "{written:?}");
}

#[tokio::test]
async fn the_feed_in_use_is_chosen_once_and_stands_on_every_page() {
    let phone = Phone::signed_in().await;
    let greens = phone.server.code("mark-of-greens").to_string();
    let chosen = phone
        .send("use", &[("lot", &greens), ("back", "/BIN/A02")])
        .await;
    assert_eq!(chosen.status, StatusCode::SEE_OTHER, "{}", chosen.text);
    assert_eq!(chosen.header("location"), "/BIN/A02");
    let page = phone.get("/BIN/A02").await;
    assert!(
        page.text.contains("Feed in use: <b>mark-of-greens</b>"),
        "{}",
        page.text
    );
    assert!(
        page.text.contains(&format!("value=\"{greens} ")),
        "{}",
        page.text
    );
    let away = phone
        .send("use", &[("lot", &greens), ("back", "//evil.example/")])
        .await;
    assert_eq!(away.header("location"), "/shed/round");
    assert!(phone.written().is_empty(), "it is no entry of the diary");
}

#[tokio::test]
async fn every_page_of_the_shed_asks_for_a_sign_in_first() {
    let phone = Phone::signed_in().await;
    for address in [
        "/BIN/A02",
        "/RACK/R1",
        "/shed/round",
        "/shed/find?q=A02",
        "/shed/complaint",
        "/shed/trace/mark-of-run",
    ] {
        assert_eq!(
            phone.server.get(address).await.status,
            StatusCode::UNAUTHORIZED,
            "{address}"
        );
        let page = phone.get(address).await;
        assert!(
            matches!(page.status, StatusCode::OK | StatusCode::SEE_OTHER),
            "{address}"
        );
        assert!(!page.text.contains(" style="), "{address}");
    }
    let empty = phone.get("/BIN/A01").await;
    assert!(empty.text.contains("Empty.") && empty.text.contains("The last bed in it was"));
    assert_eq!(phone.get("/BIN/Z99").await.status, StatusCode::NOT_FOUND);
    assert_eq!(phone.get("/bin/a02").await.header("location"), "/BIN/A02");
}
