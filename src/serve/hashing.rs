//! The hashing of typed PINs: one at a time, with a short queue, so that nobody can keep the computer busy with it.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use super::phones::PhonesError;
use super::pin::PinHash;

/// Where typed PINs are hashed.
#[derive(Debug)]
pub struct Hashing {
    queue: Arc<Semaphore>,
    turn: Arc<Semaphore>,
    /// What is hashed where there is nothing to compare with, so that time tells nobody who has a PIN.
    decoy: PinHash,
    done: AtomicU64,
}

/// A place in the queue.
#[derive(Debug)]
pub struct QueuePlace(#[expect(dead_code, reason = "held, not read")] OwnedSemaphorePermit);

/// So many wait for a hash, a tenth of a second each; common practice, no source.
const PLACES: usize = 8;

impl Hashing {
    /// Makes one, with a decoy of its own.
    pub fn new() -> Result<Self, PhonesError> {
        Ok(Self {
            queue: Arc::new(Semaphore::new(PLACES)),
            turn: Arc::new(Semaphore::new(1)),
            decoy: PinHash::decoy()?,
            done: AtomicU64::new(0),
        })
    }

    /// Takes a place in the queue; `None` where it is full.
    pub fn place(&self) -> Option<QueuePlace> {
        let place = Arc::clone(&self.queue).try_acquire_owned();
        place.ok().map(QueuePlace)
    }

    /// Waits for its turn, and tells whether what was typed fits the hash; where there is none, it takes as long.
    pub async fn fits(&self, place: QueuePlace, hash: Option<PinHash>, typed: String) -> bool {
        let turn = Arc::clone(&self.turn).acquire_owned().await;
        let turn = turn.expect("the turns are never closed");
        self.done.fetch_add(1, Ordering::Relaxed);
        let known = hash.is_some();
        let hash = hash.unwrap_or_else(|| self.decoy.clone());
        let fits = tokio::task::spawn_blocking(move || {
            // Both are given up when the hash is done, even where nobody waits for the answer any more.
            let _held = (turn, place);
            hash.fits(&typed)
        });
        // A hash that broke off fits nothing.
        fits.await.unwrap_or(false) && known
    }

    /// Returns how many hashes were made.
    pub fn done(&self) -> u64 {
        self.done.load(Ordering::Relaxed)
    }
}
