//! Whether a request is meant for this server, by the name that the browser calls it.
//!
//! Anybody's page on the internet can give its own name the number of a computer here (DNS rebinding), and then ask for
//! our pages from the browser of somebody who looks at it, also where nobody but this computer can reach the server: it
//! would read lots that are not published yet, and try PINs. Such a page is known by its name, which is none of ours.

use std::net::IpAddr;
use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::http::header::HOST;
use axum::http::uri::Authority;
use axum::middleware::Next;
use axum::response::Response;

use crate::farm::Settings;

use super::plain::plain;
use super::routes::Serving;

/// Last parts of names that nobody on the internet can have: RFC 6761, RFC 6762, RFC 8375, and the one that ICANN keeps
/// for networks of one's own (the four from memory).
const OF_THE_NETWORK: [&str; 4] = [".localhost", ".local", ".home.arpa", ".internal"];

/// Lets a request through that is meant for this server. Under TLS all are: the browser has compared the name with the
/// certificate.
pub async fn ours(State(serving): State<Arc<Serving>>, request: Request, next: Next) -> Response {
    let is_ours = serving.shed.door.options.tls || {
        let settings = &serving.live.snapshot().settings;
        names(&request).all(|name| name.is_some_and(|name| is_ours(&name, settings)))
    };
    match is_ours {
        true => next.run(request).await,
        false => plain(StatusCode::MISDIRECTED_REQUEST),
    }
}

/// Returns what a request calls the server, as often as it does; nothing in the place of what is no name. No browser asks
/// without one.
fn names(request: &Request) -> impl Iterator<Item = Option<String>> {
    let said = request.headers().get_all(HOST).iter();
    let said = said.map(|host| host.to_str().ok().and_then(|host| host.parse().ok()));
    let asked = request.uri().authority().cloned().map(Some);
    said.chain(asked)
        .map(|host: Option<Authority>| host.map(|host| host.host().to_ascii_lowercase()))
}

/// Tells whether a name is a number, one of this network's own, or one of castlot.toml's.
fn is_ours(name: &str, settings: &Settings) -> bool {
    let name = name.strip_suffix('.').unwrap_or(name);
    let number = name.trim_matches(['[', ']']).parse::<IpAddr>();
    let of_the_network =
        !name.contains('.') || OF_THE_NETWORK.iter().any(|end| name.ends_with(end));
    let mut written = settings.bases().into_iter().chain(settings.shed.clone());
    number.is_ok()
        || of_the_network
        || written.any(|address| host_of(&address).is_some_and(|host| host == name))
}

/// Returns the name in an address of castlot.toml.
fn host_of(address: &str) -> Option<String> {
    let (_, rest) = address.split_once("://")?;
    let host: Authority = rest.split('/').next()?.parse().ok()?;
    Some(host.host().to_ascii_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::serve::testing::TestServer;
    use axum::body::Body;

    #[tokio::test]
    async fn a_strangers_page_that_names_this_computer_reads_nothing_and_tries_no_pin() {
        let server = TestServer::new();
        let ask = async |host: &str, address: &str| {
            let asked = Request::get(address).header("host", host);
            let answer = server.ask(asked.body(Body::empty()).unwrap()).await;
            // A refusal neither repeats the name nor gives a cookie.
            let refused = answer.status == StatusCode::MISDIRECTED_REQUEST;
            assert!(!refused || answer.header("set-cookie").is_empty());
            assert!(!refused || !answer.text.contains("evil"));
            answer.status.as_u16()
        };
        let lot = format!("/{}", server.code("mark-of-run"));
        for stranger in [
            "evil.example",
            "evil.example:8080",
            "127.0.0.1.evil.example",
            "local.evil.example",
            "lots.marlhythe.example.evil.example",
            "evil.example:80@127.0.0.1.example",
            "..",
            "",
        ] {
            for address in ["/", &lot, "/shed/sign-in", "/BIN/A02", "/nothing"] {
                assert_eq!(ask(stranger, address).await, 421, "{stranger} {address}");
            }
        }
        for known in [
            "127.0.0.1:8080",
            "192.168.1.20",
            "[::1]:8080",
            "localhost:8080",
            "LOCALHOST.",
            "shed",
            "shed.local:8080",
            "lots.marlhythe.example",
            "Lots.Marlhythe.Example:8080",
        ] {
            assert_eq!(ask(known, &lot).await, 200, "{known}");
        }
        // A proxy's form of asking says the name in the address itself.
        assert_eq!(ask("127.0.0.1", "http://evil.example/").await, 421);
        // Without a name it is no browser's.
        assert_eq!(server.get(&lot).await.status, StatusCode::OK);
    }

    #[tokio::test]
    async fn a_name_that_is_written_to_castlot_toml_is_known_at_once() {
        let server = TestServer::new();
        let ask = async || {
            let asked = Request::get("/").header("host", "new.marlhythe.example");
            server.ask(asked.body(Body::empty()).unwrap()).await.status
        };
        assert_eq!(ask().await, StatusCode::MISDIRECTED_REQUEST);
        server.put("castlot.toml", "old");
        server.live.look();
        assert_eq!(ask().await, StatusCode::OK);
    }
}
