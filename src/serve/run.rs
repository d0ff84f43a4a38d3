//! Starts the server, and ends it when it is told to.

use std::io::ErrorKind;
use std::net::{SocketAddr, TcpListener};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum_server::Handle;
use axum_server::tls_rustls::{RustlsAcceptor, RustlsConfig};
use tokio::signal;

use super::crowd::{Crowd, Room};
use super::error::ServeError;
use super::hello::{Hello, hello};
use super::limits::{HEAD, LAST, LONGEST_HEAD};
use super::live::Live;
use super::phones::Phones;
use super::routes::{Serving, routes};
use super::shed::Shed;
use super::surroundings::{Options, Surroundings};
use super::tls::encryption;

/// Serves a farm until it is told to end.
pub fn run(surroundings: Surroundings, options: &Options) -> Result<(), ServeError> {
    let certificate = options.tls.as_ref().map(encryption).transpose()?;
    let listener = listen(options.at)?;
    let at = listener.local_addr()?;
    let phones = Phones::of(&surroundings.folder);
    let live = Arc::new(Live::open(surroundings)?);
    let shed = Shed::open(&phones, &live, certificate.is_some())?;
    let workers: Vec<String> = shed
        .door
        .workers()?
        .iter()
        .map(ToString::to_string)
        .collect();
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let (say, note) = (live.surroundings.say, live.surroundings.note);
        let told = hello(&Hello {
            at,
            is_encrypted: certificate.is_some(),
            shed: live.snapshot().settings.shed.as_deref(),
            workers: &workers,
        });
        say(&told.address);
        told.lines.iter().for_each(|line| note(line));
        let handle = Handle::new();
        tokio::spawn(end(handle.clone(), note));
        tokio::spawn(Arc::clone(&live).watch());
        let serving = Arc::new(Serving { live, shed });
        serve(Doors::of(listener, handle, certificate), routes(serving)).await
    })?;
    Ok(())
}

/// Where people come in, and how long they may take.
pub struct Doors {
    /// Where to listen.
    pub listener: TcpListener,
    /// By which it is ended.
    pub handle: Handle<SocketAddr>,
    /// The certificate.
    pub encryption: Option<RustlsConfig>,
    /// How many at once.
    pub room: Room,
    /// How long they may take to say what they want.
    pub head: Duration,
}

impl Doors {
    fn of(
        listener: TcpListener,
        handle: Handle<SocketAddr>,
        encryption: Option<RustlsConfig>,
    ) -> Self {
        Self {
            listener,
            handle,
            encryption,
            room: Room::default(),
            head: HEAD,
        }
    }
}

/// Answers whoever comes in.
pub async fn serve(doors: Doors, routes: Router) -> std::io::Result<()> {
    let crowd = Crowd::new(doors.room);
    let mut server = axum_server::from_tcp(doors.listener)?
        .http1_only()
        .first_request_timeout(doors.head)
        .handle(doors.handle);
    server
        .http_builder()
        .http1()
        .header_read_timeout(doors.head)
        .max_buf_size(LONGEST_HEAD);
    // Who lets many wrong PINs in from one address has to know which it is.
    let service = routes.into_make_service_with_connect_info::<SocketAddr>();
    match doors.encryption {
        None => server.acceptor(crowd).serve(service).await,
        Some(encryption) => {
            let acceptor = RustlsAcceptor::new(encryption).handshake_timeout(doors.head);
            server
                .acceptor(acceptor.acceptor(crowd))
                .serve(service)
                .await
        }
    }
}

fn listen(at: SocketAddr) -> Result<TcpListener, ServeError> {
    TcpListener::bind(at).map_err(|source| match source.kind() {
        ErrorKind::AddrInUse => ServeError::Taken { at },
        _ => ServeError::NotHere { at, source },
    })
}

/// Ends the server at Ctrl-C or when the system asks for it; what is being written is finished.
async fn end(handle: Handle<SocketAddr>, note: fn(&str)) {
    asked_to_end().await;
    note("ending: what is being written is finished first");
    handle.graceful_shutdown(Some(LAST));
}

#[cfg(unix)]
async fn asked_to_end() {
    let Ok(mut terminate) = signal::unix::signal(signal::unix::SignalKind::terminate()) else {
        let _ = signal::ctrl_c().await;
        return;
    };
    tokio::select! {
        _ = signal::ctrl_c() => {}
        _ = terminate.recv() => {}
    }
}

#[cfg(not(unix))]
async fn asked_to_end() {
    let _ = signal::ctrl_c().await;
}
