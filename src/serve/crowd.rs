//! Keeps the crowd at the door small: so many connections at once and so many from one address, and none that takes in
//! nothing of what it asked for.

use std::collections::HashMap;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;

use axum_server::accept::Accept;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio::time::{Sleep, sleep};

/// How many connections there may be.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    /// From everywhere together.
    pub all: usize,
    /// From one address.
    pub each: usize,
    /// How long one may take in nothing that is sent to it.
    pub stall: Duration,
}

impl Default for Room {
    /// More than the phones of any farm, and little enough memory: common practice, no source.
    fn default() -> Self {
        Self {
            all: 512,
            each: 128,
            stall: Duration::from_secs(15),
        }
    }
}

/// Who is connected.
#[derive(Clone, Debug)]
pub struct Crowd {
    room: Room,
    inside: Arc<Mutex<HashMap<IpAddr, usize>>>,
}

/// A place in the crowd, which is free again when it is dropped.
#[derive(Debug)]
struct Seat {
    inside: Arc<Mutex<HashMap<IpAddr, usize>>>,
    from: IpAddr,
}

/// A connection that has a place.
#[derive(Debug)]
pub struct Seated {
    stream: TcpStream,
    stall: Duration,
    waiting: Option<Pin<Box<Sleep>>>,
    _seat: Seat,
}

fn lock(inside: &Mutex<HashMap<IpAddr, usize>>) -> MutexGuard<'_, HashMap<IpAddr, usize>> {
    // Counting cannot stop half way, so that a poisoned count is sound all the same.
    inside.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Crowd {
    /// Makes room.
    pub fn new(room: Room) -> Self {
        Self {
            room,
            inside: Arc::default(),
        }
    }

    fn seat(&self, from: SocketAddr) -> Option<Seat> {
        let from = from.ip().to_canonical();
        let mut inside = lock(&self.inside);
        let all: usize = inside.values().sum();
        let own = inside.get(&from).copied().unwrap_or_default();
        if all >= self.room.all || own >= self.room.each {
            return None;
        }
        inside.insert(from, own + 1);
        Some(Seat {
            inside: Arc::clone(&self.inside),
            from,
        })
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let mut inside = lock(&self.inside);
        if let Some(own) = inside.get_mut(&self.from) {
            *own -= 1;
            if *own == 0 {
                inside.remove(&self.from);
            }
        }
    }
}

impl<S> Accept<TcpStream, S> for Crowd {
    type Stream = Seated;
    type Service = S;
    type Future = std::future::Ready<io::Result<(Seated, S)>>;

    fn accept(&self, stream: TcpStream, service: S) -> Self::Future {
        let seated = stream.peer_addr().and_then(|from| {
            stream.set_nodelay(true)?;
            let seat = self.seat(from);
            seat.ok_or_else(|| io::ErrorKind::ConnectionRefused.into())
        });
        std::future::ready(seated.map(|seat| {
            let seated = Seated {
                stream,
                stall: self.room.stall,
                waiting: None,
                _seat: seat,
            };
            (seated, service)
        }))
    }
}

impl Seated {
    /// Ends the connection where nothing could be written for too long.
    fn patient<T>(
        &mut self,
        written: Poll<io::Result<T>>,
        cx: &mut Context<'_>,
    ) -> Poll<io::Result<T>> {
        if written.is_ready() {
            self.waiting = None;
            return written;
        }
        let stall = self.stall;
        let waiting = self.waiting.get_or_insert_with(|| Box::pin(sleep(stall)));
        match waiting.as_mut().poll(cx) {
            Poll::Ready(()) => Poll::Ready(Err(io::ErrorKind::TimedOut.into())),
            Poll::Pending => Poll::Pending,
        }
    }
}

impl AsyncRead for Seated {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(cx, into)
    }
}

impl AsyncWrite for Seated {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let written = Pin::new(&mut self.stream).poll_write(cx, bytes);
        self.patient(written, cx)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        pieces: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let written = Pin::new(&mut self.stream).poll_write_vectored(cx, pieces);
        self.patient(written, cx)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}
