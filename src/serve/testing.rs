//! A farm in a folder of its own, served without a network, for the tests of every page.

use std::sync::{Arc, Mutex};

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode};
use http_body_util::BodyExt;
use jiff::Timestamp;
use tempfile::TempDir;
use tower::ServiceExt;

use crate::diary::{Book, Pen};
use crate::farm::{Draft, LotCode, QrForm, Settings};
use crate::site::fixture;

use super::door::Door;
use super::live::Live;
use super::phones::Phones;
use super::routes::{Serving, routes};
use super::shed::Shed;
use super::surroundings::Surroundings;

/// What the tests' server said beside the pages; one for all, so that each looks for words of its own.
static NOTES: Mutex<Vec<String>> = Mutex::new(Vec::new());

/// Tells whether a note was made with some words in it.
pub fn noted(words: &str) -> bool {
    let notes = NOTES.lock().unwrap();
    notes.iter().any(|line| line.contains(words))
}

/// A farm that is served.
pub struct TestServer {
    pub folder: TempDir,
    pub live: Arc<Live>,
    pub door: Arc<Door>,
    pub routes: Router,
}

/// An answer.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
}

impl Answer {
    /// Returns a header, or nothing where it is not there.
    pub fn header(&self, name: &str) -> &str {
        let value = self.headers.get(name);
        value.map_or("", |value| value.to_str().expect("it is text"))
    }
}

fn written() -> Timestamp {
    "2026-04-01T10:00:00Z".parse().expect("an instant")
}

fn settings(text: &[u8]) -> Result<Settings, Vec<String>> {
    match text {
        b"web" => Ok(fixture::settings(QrForm::Web)),
        b"old" => Ok(Settings {
            base: Some("https://new.marlhythe.example/LOTS".into()),
            old_bases: vec!["https://old.marlhythe.example/OLD".into()],
            ..fixture::settings(QrForm::Text)
        }),
        b"listed" => {
            let mut own = fixture::settings(QrForm::Web);
            own.public.sitemap = true;
            Ok(own)
        }
        _ => Err(vec![
            "castlot.toml: a line of the tests cannot be read".into(),
        ]),
    }
}

impl TestServer {
    /// Serves the small farm of the pages' tests.
    pub fn new() -> Self {
        let folder = TempDir::new().expect("the system has room for a folder");
        let diary = folder.path().join("diary.db");
        let settings_file = folder.path().join("castlot.toml");
        Book::create(&diary).expect("the folder is empty");
        record(&diary, fixture::drafts());
        std::fs::write(&settings_file, "web").expect("the folder is ours");
        let read = settings_file.clone();
        let live = Live::open(Surroundings {
            folder: folder.path().to_owned(),
            diary,
            settings_file,
            settings: Arc::new(move || settings(&std::fs::read(&read).unwrap_or_default())),
            now: written,
            say: |_| {},
            note: |line| NOTES.lock().unwrap().push(line.to_owned()),
        });
        let live = Arc::new(live.expect("the farm of the tests is sound"));
        let phones = Phones::of(folder.path());
        let shed = Shed::open(&phones, &live, false).expect("nobody has a PIN yet");
        let door = Arc::clone(&shed.door);
        let serving = Serving {
            live: Arc::clone(&live),
            shed,
        };
        Self {
            folder,
            routes: routes(Arc::new(serving)),
            door,
            live,
        }
    }

    /// Records more, as another program would.
    pub fn record(&self, drafts: Vec<Draft>) {
        record(&self.folder.path().join("diary.db"), drafts);
    }

    /// Writes a file into the farm's folder.
    pub fn put(&self, name: &str, text: &str) {
        std::fs::write(self.folder.path().join(name), text).expect("the folder is ours");
    }

    /// Returns the code of a lot, by its mark.
    pub fn code(&self, mark: &str) -> LotCode {
        let snapshot = self.live.snapshot();
        let lot = fixture::lot(&snapshot.farm, mark);
        snapshot.farm.lot(lot).code
    }

    /// Asks for a page.
    pub async fn get(&self, address: &str) -> Answer {
        self.ask(
            Request::get(address)
                .body(Body::empty())
                .expect("it is an address"),
        )
        .await
    }

    /// Asks for anything.
    pub async fn ask(&self, request: Request<Body>) -> Answer {
        ask(self.routes.clone(), request).await
    }
}

/// Asks some routes.
pub async fn ask(routes: Router, request: Request<Body>) -> Answer {
    let response = routes.oneshot(request).await.expect("routes always answer");
    let (parts, body) = response.into_parts();
    let bytes = body.collect().await.expect("a page is whole").to_bytes();
    Answer {
        status: parts.status,
        headers: parts.headers,
        text: String::from_utf8(bytes.to_vec()).expect("a page is text"),
    }
}

fn record(diary: &std::path::Path, drafts: Vec<Draft>) {
    let mut book = Book::open(diary).expect("the diary is there");
    let recorded = book.record(&mut Pen::with_salts("UTC", || [7; 16]), |farm| {
        farm.record(drafts, written())
    });
    assert!(recorded.is_ok(), "{:?}", recorded.err());
}
