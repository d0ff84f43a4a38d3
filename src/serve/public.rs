//! The public pages: what a customer sees who scans a label.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::State;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, IF_NONE_MATCH, LOCATION,
    REFERRER_POLICY,
};
use axum::http::{HeaderMap, HeaderValue, StatusCode, Uri};
use axum::response::{IntoResponse, Response};

use crate::farm::{Gtin, LotCode, LotId, Serial};
use crate::site::Sought;

use super::address::{Address, Asked};
use super::headers::public_policy;
use super::kept::{Key, Page};
use super::live::{Live, Snapshot};
use super::plain::plain;
use super::routes::Serving;

/// How many folders deep an address of a label can be.
const DEEPEST: usize = 8;

/// Answers any address with a public page.
pub async fn page(State(serving): State<Arc<Serving>>, uri: Uri, headers: HeaderMap) -> Response {
    let snapshot = serving.live.snapshot();
    let bases = snapshot.settings.bases();
    let asked = Asked::of(uri.path(), uri.query(), &bases);
    let depth = asked.as_ref().map_or(0, Asked::depth).min(DEEPEST);
    let file = asked.as_ref().and_then(Asked::file);
    if let Some(sought) = file.and_then(|name| Sought::by_engines(name, &snapshot.settings)) {
        return answer(&serving.live, &snapshot, (sought, depth), &headers).await;
    }
    let named = asked.and_then(|asked| Some((asked.names()?, asked)));
    if let Some((address @ (Address::Bin(_) | Address::Rack(_)), _)) = &named {
        // The shed's view is behind the sign-in, and has one address.
        return elsewhere(&format!("/{address}"));
    }
    let found =
        named.and_then(|(address, asked)| Some((sought(&snapshot, &address)?, address, asked)));
    let sought = match found {
        Some((_, address, asked)) if !asked.is_spelled(&address) => {
            return elsewhere(&format!("{}{address}", asked.up()));
        }
        Some((sought, _, _)) => sought,
        None => Sought::Missing,
    };
    answer(&serving.live, &snapshot, (sought, depth), &headers).await
}

/// Answers with a page, or says that the browser has it already.
async fn answer(live: &Live, snapshot: &Arc<Snapshot>, key: Key, headers: &HeaderMap) -> Response {
    let (sought, _) = key;
    match live.page(snapshot, key).await {
        Ok(page) if sought != Sought::Missing && has(headers, &page) => unchanged(&page),
        Ok(page) => sent(sought, page),
        Err(error) => {
            (live.surroundings.note)(&error.to_string());
            plain(StatusCode::INTERNAL_SERVER_ERROR)
        }
    }
}

/// Finds the page of an address; nothing where there is none.
fn sought(snapshot: &Snapshot, address: &Address) -> Option<Sought> {
    let lot = |code: &LotCode| snapshot.farm.lot_of(*code);
    match address {
        Address::Front => Some(Sought::Front),
        Address::Lot(code) => lot(code).map(Sought::Lot),
        Address::Pack(pack) => made(snapshot, lot(&pack.run)?, pack.serial),
        Address::Linked(gtin, code, serial) => {
            let run = lot(code).filter(|run| carries(snapshot, *run, gtin))?;
            serial.map_or(Some(Sought::Lot(run)), |serial| made(snapshot, run, serial))
        }
        Address::Bin(_) | Address::Rack(_) => None,
    }
}

/// Finds a pack that was made.
fn made(snapshot: &Snapshot, run: LotId, serial: Serial) -> Option<Sought> {
    let shelf = snapshot.farm.lot(run).shelf.as_ref()?;
    shelf.fate(serial).map(|_| Sought::Pack(run, serial))
}

/// Tells whether the packs of a run carry a trade item number.
fn carries(snapshot: &Snapshot, run: LotId, gtin: &Gtin) -> bool {
    let product = snapshot.farm.product(run);
    product.is_some_and(|product| product.gtin.as_ref() == Some(gtin))
}

/// Sends a browser on to the right address.
fn elsewhere(to: &str) -> Response {
    // Made of codes alone; where the front page is meant there is nothing to write.
    let to = if to.is_empty() { "./" } else { to };
    let to = HeaderValue::from_str(to).expect("codes are written in ASCII");
    let headers = [
        (LOCATION, to),
        (CACHE_CONTROL, HeaderValue::from_static("no-cache")),
    ];
    (StatusCode::PERMANENT_REDIRECT, headers).into_response()
}

/// Tells whether the browser has a page already (RFC 9110, section 13.1.2).
fn has(headers: &HeaderMap, page: &Page) -> bool {
    let tags = headers.get_all(IF_NONE_MATCH).iter();
    let tags = tags.filter_map(|value| value.to_str().ok());
    tags.flat_map(|value| value.split(','))
        .map(|tag| tag.trim().trim_start_matches("W/"))
        .any(|tag| tag == page.tag || tag == "*")
}

fn sent(sought: Sought, page: Page) -> Response {
    let status = match sought {
        Sought::Missing => StatusCode::NOT_FOUND,
        Sought::Front | Sought::Robots | Sought::Sitemap | Sought::Lot(_) | Sought::Pack(..) => {
            StatusCode::OK
        }
    };
    let mut response = (status, page.bytes).into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(sought.media_type()));
    if status == StatusCode::OK {
        headers.insert(ETAG, tag(&page.tag));
    }
    public(response)
}

fn unchanged(page: &Page) -> Response {
    let head = (
        StatusCode::NOT_MODIFIED,
        [(ETAG, tag(&page.tag))],
        Bytes::new(),
    );
    public(head.into_response())
}

fn tag(tag: &str) -> HeaderValue {
    HeaderValue::from_str(tag).expect("a tag is hexadecimal")
}

/// A public page may be kept, but must be asked for again: a recall is to be seen at once.
fn public(mut response: Response) -> Response {
    let headers = response.headers_mut();
    headers.insert(CONTENT_SECURITY_POLICY, public_policy());
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    response
}
