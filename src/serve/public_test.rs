//! The public pages as a browser gets them: every form of a code, slips, what is kept, what may not be there.

use axum::Router;
use axum::body::Body;
use axum::extract::Request as Asked;
use axum::http::{Method, Request, StatusCode};
use axum::routing::{get, post};

use crate::farm::RecallStep;
use crate::site::fixture::PRIVATE;
use crate::site::makings::{at, draft, recall};

use super::limits::{LONGEST_FORM, limited, within};
use super::testing::{TestServer, ask, noted};

const GTIN: &str = "09520123456788";

#[tokio::test]
async fn a_scan_of_any_form_opens_the_page_of_the_lot_or_the_pack() {
    let server = TestServer::new();
    let (run, straw) = (server.code("mark-of-run"), server.code("mark-of-straw"));
    for (address, words) in [
        ("/".to_owned(), "Find a pack".to_owned()),
        (format!("/{run}"), format!("{run}")),
        (format!("/{run}?0003"), format!("{run}/0003")),
        (format!("/{straw}"), format!("{straw}")),
        (format!("/01/{GTIN}/10/{run}"), format!("{run}")),
        (
            format!("/01/{GTIN}/10/{run}/21/0003"),
            format!("{run}/0003"),
        ),
        (
            format!("/01/{GTIN}/10/{run}/21/0003?15=270803"),
            format!("{run}/0003"),
        ),
        (format!("/{run}/index.html"), format!("{run}")),
        (
            format!("/{}", run.to_string().replace('-', "%2D")),
            format!("{run}"),
        ),
    ] {
        let answer = server.get(&address).await;
        assert_eq!(answer.status, StatusCode::OK, "{address}");
        assert!(answer.text.contains(&words), "{address}");
        assert_eq!(answer.header("content-type"), "text/html; charset=utf-8");
        for name in PRIVATE {
            assert!(!answer.text.contains(name), "{address} names {name}");
        }
    }
}

#[tokio::test]
async fn an_address_with_a_slip_is_sent_on_to_the_right_one() {
    let server = TestServer::new();
    let run = server.code("mark-of-run").to_string();
    let lower = run.to_ascii_lowercase();
    let gs1 = format!("01/{GTIN}/10/{run}/21/0003");
    for (address, right) in [
        (format!("/{lower}"), run.clone()),
        (format!("/{}", run.replace('-', "")), run.clone()),
        (format!("/{}", run.replace('0', "o")), run.clone()),
        (format!("/{run}?3"), format!("{run}?0003")),
        (format!("/{run}/0003"), format!("../{run}?0003")),
        (format!("/{lower}/index.html?3"), format!("../{run}?0003")),
        (
            format!("/01/{GTIN}/10/{lower}/21/3"),
            format!("../../../../../{gs1}"),
        ),
    ] {
        let answer = server.get(&address).await;
        assert_eq!(answer.status, StatusCode::PERMANENT_REDIRECT, "{address}");
        assert_eq!(answer.header("location"), right, "{address}");
    }
}

#[tokio::test]
async fn codes_printed_with_another_address_open_the_same_pages() {
    let server = TestServer::new();
    server.put("castlot.toml", "old");
    server.live.look();
    let run = server.code("mark-of-run");
    for base in ["", "/LOTS", "/OLD", "/old"] {
        let answer = server.get(&format!("{base}/{run}?0003")).await;
        assert_eq!(answer.status, StatusCode::OK, "{base}");
        assert!(answer.text.contains(&format!("{run}/0003")));
    }
    assert_eq!(
        server.get(&format!("/NEVER/{run}")).await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn what_is_no_lot_of_the_farm_is_the_page_that_tells_how_to_type_a_code() {
    let server = TestServer::new();
    let run = server.code("mark-of-run");
    // No file is ever served, whether it is there or not.
    server.put("index.html", "a file in the farm's folder");
    for address in [
        "/P26115-07-S".to_owned(),
        "/15-07".to_owned(),
        "/mark-of-run".to_owned(),
        "/diary.db".to_owned(),
        "/castlot.toml".to_owned(),
        "/../diary.db".to_owned(),
        "/..%2fdiary.db".to_owned(),
        "/%2e%2e/%2e%2e/etc/passwd".to_owned(),
        "/etc/passwd".to_owned(),
        "/shed/..%5cdiary.db".to_owned(),
        "/%00".to_owned(),
        "/%ff".to_owned(),
        "/%3Cscript%3Ealert(1)%3C/script%3E".to_owned(),
        format!("/{run}?9999"),
        format!("/{}?0001", server.code("mark-of-straw")),
        format!("/01/09520123456795/10/{run}"),
        format!("/01/{GTIN}/10/{run}/21/9999"),
    ] {
        let answer = server.get(&address).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{address}");
        assert!(answer.text.contains("How to type a code"), "{address}");
        assert!(!answer.text.contains("alert"), "{address}");
    }
    let front = server.get("/index.html").await;
    assert!(!front.text.contains("a file in the farm's folder"));
}

#[tokio::test]
async fn a_page_that_did_not_change_is_not_sent_again_and_one_that_did_is() {
    let server = TestServer::new();
    let address = format!("/{}", server.code("mark-of-run"));
    let first = server.get(&address).await;
    let tag = first.header("etag").to_owned();
    assert_eq!(first.header("cache-control"), "no-cache");
    let again = |tag: &str| {
        let asked = Request::get(&address).header("if-none-match", tag);
        asked.body(Body::empty()).expect("it is an address")
    };
    for held in [tag.clone(), format!("\"x\", W/{tag}"), "*".to_owned()] {
        let answer = server.ask(again(&held)).await;
        assert_eq!(answer.status, StatusCode::NOT_MODIFIED, "{held}");
        assert!(answer.text.is_empty() && answer.header("etag") == tag);
    }
    let opened = recall(RecallStep::Open, "mark-of-run", Some((3, 5)));
    server.record(vec![draft(at(25, 9), opened)]);
    assert_eq!(
        server.ask(again(&tag)).await.status,
        StatusCode::NOT_MODIFIED
    );
    server.live.look();
    let answer = server.ask(again(&tag)).await;
    assert_eq!(answer.status, StatusCode::OK);
    assert!(answer.text.contains("Some packs are recalled"));
    let pack = |serial| format!("{address}?{serial}");
    assert!(
        server
            .get(&pack("0004"))
            .await
            .text
            .contains("Recalled</h2>")
    );
    assert!(
        !server
            .get(&pack("0006"))
            .await
            .text
            .contains("Recalled</h2>")
    );
}

#[tokio::test]
async fn search_engines_are_told_of_pages_only_where_the_farm_wants_it() {
    let server = TestServer::new();
    let run = format!("/{}", server.code("mark-of-run"));
    let robots = server.get("/robots.txt").await;
    assert_eq!(robots.header("content-type"), "text/plain; charset=utf-8");
    assert_eq!(robots.text, "User-agent: *\nDisallow: /\n");
    let none = server.get("/sitemap.xml").await;
    assert_eq!(none.status, StatusCode::NOT_FOUND);
    assert!(server.get(&run).await.text.contains("noindex"));

    server.put("castlot.toml", "listed");
    server.live.look();
    assert!(server.get("/robots.txt").await.text.contains("Sitemap: "));
    let list = server.get("/sitemap.xml").await;
    assert_eq!(list.header("content-type"), "application/xml");
    assert!(
        list.text.contains(&format!("{run}/</loc>")),
        "{}",
        list.text
    );
    let linked = format!("/01/{GTIN}/10{run}");
    for (address, is_listed) in [("/", true), (&run, true), (&linked, false)] {
        let page = server.get(address).await.text;
        assert_eq!(!page.contains("noindex"), is_listed, "{address}");
    }
}

#[tokio::test]
async fn a_broken_castlot_toml_leaves_the_pages_as_they_were() {
    let server = TestServer::new();
    let before = server.get("/").await.text;
    server.put("castlot.toml", "broken");
    server.live.look();
    assert_eq!(server.get("/").await.text, before);
    assert!(noted("a line of the tests cannot be read"));
}

#[tokio::test]
async fn a_castlot_toml_that_changed_while_the_diary_was_away_is_read_when_it_is_back() {
    let server = TestServer::new();
    let base = || server.live.snapshot().settings.base.clone();
    let (diary, away) = (
        server.folder.path().join("diary.db"),
        server.folder.path().join("away.db"),
    );
    std::fs::rename(&diary, &away).expect("the folder is ours");
    server.put("castlot.toml", "old");
    server.live.look();
    assert!(noted("the diary could not be read again"));
    assert_ne!(
        base().as_deref(),
        Some("https://new.marlhythe.example/LOTS")
    );
    std::fs::rename(&away, &diary).expect("the folder is ours");
    server.live.look();
    assert_eq!(
        base().as_deref(),
        Some("https://new.marlhythe.example/LOTS")
    );
}

#[tokio::test]
async fn a_head_has_all_but_the_page_and_nothing_can_be_sent_to_a_public_page() {
    let server = TestServer::new();
    let address = format!("/{}", server.code("mark-of-run"));
    let ask = |method: Method| {
        let asked = Request::builder().method(method).uri(&address);
        asked.body(Body::empty()).expect("it is an address")
    };
    let whole = server.get(&address).await;
    let head = server.ask(ask(Method::HEAD)).await;
    assert!(head.text.is_empty());
    assert_eq!(head.header("content-length"), whole.text.len().to_string());
    assert_eq!(head.header("etag"), whole.header("etag"));
    for method in [Method::POST, Method::PUT, Method::DELETE, Method::OPTIONS] {
        let answer = server.ask(ask(method.clone())).await;
        assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED, "{method}");
        assert!(answer.text.starts_with("<!DOCTYPE html>"));
    }
}

#[tokio::test]
async fn every_answer_tells_the_browser_what_it_may_not_do() {
    let server = TestServer::new();
    let page = server.get("/").await;
    let stated = page.text.split_once("Content-Security-Policy\" content=\"");
    let stated = stated
        .and_then(|(_, rest)| rest.split_once('"'))
        .expect("a policy")
        .0;
    let stated = stated.replace("&#39;", "'");
    let sent = page.header("content-security-policy");
    assert_eq!(sent, format!("{stated}; frame-ancestors 'none'"));
    assert!(!sent.contains("unsafe") && !sent.contains("script"));
    for address in ["/", "/nothing", "/%ff"] {
        let answer = server.get(address).await;
        assert_eq!(answer.header("x-content-type-options"), "nosniff");
        assert_eq!(answer.header("referrer-policy"), "no-referrer");
        assert!(answer.header("permissions-policy").contains("camera=()"));
        assert!(
            answer
                .header("content-security-policy")
                .starts_with("default-src 'none'")
        );
    }
}

#[tokio::test]
async fn a_form_that_is_too_long_too_slow_or_from_elsewhere_is_refused_with_a_page() {
    let slow = || std::future::pending::<&'static str>();
    let routes = Router::new()
        .route("/form", post(async |body: String| body))
        .route("/slow", get(slow))
        .route(
            "/fault",
            get(async |_: Asked| -> &'static str { panic!("a fault of the tests") }),
        );
    let send = |site: &str, body: Vec<u8>| {
        let asked = Request::post("/form").header("sec-fetch-site", site);
        asked.body(Body::from(body)).expect("it is an address")
    };
    let get = |address: &str| {
        Request::get(address)
            .body(Body::empty())
            .expect("an address")
    };
    let hasty = within(routes.clone(), std::time::Duration::from_millis(20));
    let routes = limited(routes);
    let fits = vec![b'x'; LONGEST_FORM];
    assert_eq!(
        ask(routes.clone(), send("same-origin", fits.clone()))
            .await
            .status,
        StatusCode::OK
    );
    for (answer, status, words) in [
        (
            ask(
                routes.clone(),
                send("same-origin", [fits, b"x".to_vec()].concat()),
            )
            .await,
            StatusCode::PAYLOAD_TOO_LARGE,
            "more than a form holds",
        ),
        (
            ask(routes.clone(), send("cross-site", b"x".to_vec())).await,
            StatusCode::FORBIDDEN,
            "from another page",
        ),
        (
            ask(hasty, get("/slow")).await,
            StatusCode::REQUEST_TIMEOUT,
            "took too long",
        ),
        (
            ask(routes, get("/fault")).await,
            StatusCode::INTERNAL_SERVER_ERROR,
            "went wrong in castlot",
        ),
    ] {
        assert_eq!(answer.status, status);
        assert!(answer.text.contains(words), "{}", answer.text);
        assert!(answer.text.starts_with("<!DOCTYPE html>"));
        assert_eq!(answer.header("cache-control"), "no-store");
    }
}
