//! Over a real socket of this computer: clients that are slow or too many, and the farm's own certificate.

use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::Router;
use axum::routing::post;
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use rustls::crypto::ring;
use rustls::pki_types::ServerName;
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

use super::crowd::Room;
use super::error::ServeError;
use super::run::{Doors, serve};
use super::surroundings::TlsFiles;
use super::testing::TestServer;
use super::tls::encryption;

/// So long may a client take in these tests.
const HASTE: Duration = Duration::from_millis(300);

/// Longer than any of these tests should take.
const LONG: Duration = Duration::from_secs(20);

/// Opens the doors, and returns where they are.
fn open(
    server: &TestServer,
    room: Room,
    encryption: Option<RustlsConfig>,
) -> (SocketAddr, Handle<SocketAddr>) {
    open_on(server.routes.clone(), room, encryption)
}

/// The same on other routes.
fn open_on(
    routes: Router,
    room: Room,
    encryption: Option<RustlsConfig>,
) -> (SocketAddr, Handle<SocketAddr>) {
    let listener = TcpListener::bind("127.0.0.1:0").expect("this computer has a free port");
    let at = listener.local_addr().expect("it listens");
    let handle = Handle::new();
    let doors = Doors {
        listener,
        handle: handle.clone(),
        encryption,
        room,
        head: HASTE,
    };
    tokio::spawn(serve(doors, routes));
    (at, handle)
}

fn connect(at: SocketAddr) -> TcpStream {
    let stream = TcpStream::connect(at).expect("somebody listens");
    stream
        .set_read_timeout(Some(LONG))
        .expect("it is not nought");
    stream
}

/// Runs what waits on a socket where it does not stop the server.
async fn aside<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    tokio::task::spawn_blocking(work)
        .await
        .expect("it does not panic")
}

/// Reads until the other end closes; what was lost with the connection counts as closed.
fn rest(stream: &mut impl Read) -> String {
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    String::from_utf8_lossy(&bytes).into_owned()
}

const ASKED: &[u8] = b"GET / HTTP/1.1\r\nHost: shed\r\nConnection: close\r\n\r\n";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_client_that_never_says_what_it_wants_is_cut_off_and_others_are_answered() {
    let server = TestServer::new();
    let (at, _) = open(&server, Room::default(), None);
    aside(move || {
        let mut silent = connect(at);
        let mut drips = connect(at);
        drips
            .write_all(b"GET / HTTP/1.1\r\nHost: sh")
            .expect("it is open");
        let mut quick = connect(at);
        quick.write_all(ASKED).expect("it is open");
        assert!(rest(&mut quick).starts_with("HTTP/1.1 200"));
        let start = Instant::now();
        let said = (rest(&mut silent), rest(&mut drips));
        assert!(!said.0.contains("200 OK") && !said.1.contains("200 OK"));
        assert!(start.elapsed() < LONG / 2, "{:?}", start.elapsed());
    })
    .await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_more_connections_are_let_in_than_there_is_room_for() {
    let server = TestServer::new();
    let room = Room {
        each: 2,
        ..Room::default()
    };
    let (at, _) = open(&server, room, None);
    aside(move || {
        let ask = |stream: &mut TcpStream| {
            // A connection that was not let in may be closed before this.
            let _ = stream.write_all(b"GET / HTTP/1.1\r\nHost: shed\r\n\r\n");
            let mut first = [0; 12];
            stream.read_exact(&mut first).map(|()| first)
        };
        let (mut one, mut two) = (connect(at), connect(at));
        assert_eq!(ask(&mut one).expect("there is room"), *b"HTTP/1.1 200");
        assert_eq!(ask(&mut two).expect("there is room"), *b"HTTP/1.1 200");
        assert!(ask(&mut connect(at)).is_err(), "the third is not let in");
        drop((one, two));
        let start = Instant::now();
        while ask(&mut connect(at)).is_err() {
            assert!(start.elapsed() < LONG, "there is room again");
            std::thread::yield_now();
        }
    })
    .await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_server_ends_though_a_phone_keeps_its_connection() {
    let server = TestServer::new();
    let (at, handle) = open(&server, Room::default(), None);
    let mut kept = aside(move || {
        let mut kept = connect(at);
        kept.write_all(b"GET / HTTP/1.1\r\nHost: shed\r\n\r\n")
            .expect("it is open");
        let mut first = [0; 12];
        kept.read_exact(&mut first).expect("it is answered");
        kept
    })
    .await;
    handle.graceful_shutdown(Some(LONG));
    let start = Instant::now();
    aside(move || rest(&mut kept)).await;
    assert!(start.elapsed() < LONG / 2, "{:?}", start.elapsed());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_form_that_is_being_recorded_when_the_server_ends_is_answered_first() {
    let (begun, begins) = std::sync::mpsc::channel();
    let (ends, end) = std::sync::mpsc::channel::<()>();
    let end = Arc::new(std::sync::Mutex::new(end));
    let record = async move || {
        let (begun, end) = (begun.clone(), Arc::clone(&end));
        let work = move || {
            begun.send(()).expect("the test waits for it");
            end.lock().expect("one form is sent").recv()
        };
        let done = tokio::task::spawn_blocking(work).await;
        done.expect("it does not panic")
            .map_or("nothing", |()| "recorded")
    };
    let routes = Router::new().route("/form", post(record));
    let (at, handle) = open_on(routes, Room::default(), None);
    let answer = tokio::task::spawn_blocking(move || {
        let mut phone = connect(at);
        let form = b"POST /form HTTP/1.1\r\nHost: shed\r\nContent-Length: 0\r\n\r\n";
        phone.write_all(form).expect("it is open");
        rest(&mut phone)
    });
    aside(move || begins.recv().expect("it is begun")).await;
    handle.graceful_shutdown(Some(LONG));
    ends.send(()).expect("it waits for this");
    let answer = answer.await.expect("it does not panic");
    assert!(
        answer.starts_with("HTTP/1.1 200") && answer.ends_with("recorded"),
        "{answer}"
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_page_comes_encrypted_with_the_farms_own_certificate() {
    let server = TestServer::new();
    let made = rcgen::generate_simple_self_signed(["shed.marlhythe.example".to_owned()]);
    let made = made.expect("a certificate can be made");
    server.put("cert.pem", &made.cert.pem());
    server.put("key.pem", &made.signing_key.serialize_pem());
    let files = files(&server, "cert.pem", "key.pem");
    let (at, _) = open(
        &server,
        Room::default(),
        Some(encryption(&files).expect("it is sound")),
    );
    let mut roots = RootCertStore::empty();
    roots
        .add(made.cert.der().clone())
        .expect("it is a certificate");
    aside(move || {
        let provider = Arc::new(ring::default_provider());
        let config = ClientConfig::builder_with_provider(provider)
            .with_safe_default_protocol_versions()
            .expect("the provider knows them")
            .with_root_certificates(roots)
            .with_no_client_auth();
        let name = ServerName::try_from("shed.marlhythe.example").expect("it is a name");
        let client = ClientConnection::new(Arc::new(config), name).expect("it is set up");
        let mut stream = StreamOwned::new(client, connect(at));
        stream.write_all(ASKED).expect("hands are shaken");
        let page = rest(&mut stream);
        assert!(page.starts_with("HTTP/1.1 200") && page.contains("Find a pack"));
        // Who does not speak TLS gets nothing.
        let mut plain = connect(at);
        plain.write_all(ASKED).expect("it is open");
        assert!(!rest(&mut plain).contains("Find a pack"));
    })
    .await;
}

fn files(server: &TestServer, cert: &str, key: &str) -> TlsFiles {
    TlsFiles {
        cert: server.folder.path().join(cert),
        key: server.folder.path().join(key),
    }
}

#[test]
fn a_certificate_that_cannot_be_used_is_told_of_by_what_is_wrong_with_it() {
    let server = TestServer::new();
    for name in ["one", "two"] {
        let made = rcgen::generate_simple_self_signed(["shed".to_owned()]);
        let made = made.expect("a certificate can be made");
        server.put(&format!("{name}.pem"), &made.cert.pem());
        server.put(
            &format!("{name}-key.pem"),
            &made.signing_key.serialize_pem(),
        );
    }
    server.put("empty.pem", "no lines of PEM");
    let told = |cert, key| encryption(&files(&server, cert, key)).err();
    assert!(told("one.pem", "one-key.pem").is_none());
    assert!(matches!(
        told("none.pem", "one-key.pem"),
        Some(ServeError::Unread { .. })
    ));
    assert!(matches!(
        told("empty.pem", "one-key.pem"),
        Some(ServeError::NoCertificate { .. })
    ));
    assert!(matches!(
        told("one.pem", "one.pem"),
        Some(ServeError::NoKey { .. })
    ));
    assert!(matches!(
        told("one.pem", "two-key.pem"),
        Some(ServeError::Mismatch { .. })
    ));
}
