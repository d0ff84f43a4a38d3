//! Pages that were made, kept until the farm changes or they take too much room.

use std::collections::{HashMap, VecDeque};
use std::sync::{Mutex, MutexGuard, PoisonError};

use axum::body::Bytes;
use sha2::{Digest, Sha256};

use crate::site::Sought;

/// A page, as it is sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// Its bytes.
    pub bytes: Bytes,
    /// What tells it from every other (RFC 9110, section 8.8.3).
    pub tag: String,
}

impl Page {
    /// Takes bytes for a page.
    pub fn of(bytes: Vec<u8>) -> Self {
        let digest = Sha256::digest(&bytes);
        let tag: String = digest.iter().take(16).map(|b| format!("{b:02x}")).collect();
        Self {
            tag: format!("\"{tag}\""),
            bytes: bytes.into(),
        }
    }
}

/// Which page, and how far its address stands below where the codes stand.
pub type Key = (Sought, usize);

/// Pages by what was sought.
#[derive(Debug, Default)]
pub struct Kept(Mutex<Shelf>);

#[derive(Debug, Default)]
struct Shelf {
    pages: HashMap<Key, Page>,
    /// The oldest first.
    order: VecDeque<Key>,
    bytes: usize,
}

/// So many bytes of pages are kept: some thousands of them.
const ROOM: usize = 64 << 20;

impl Kept {
    fn shelf(&self) -> MutexGuard<'_, Shelf> {
        // At worst a page is missing from the shelf, and is made again.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Returns a page that is kept.
    pub fn get(&self, key: &Key) -> Option<Page> {
        self.shelf().pages.get(key).cloned()
    }

    /// Keeps a page; the oldest go where it gets too many.
    pub fn put(&self, key: Key, page: Page) {
        let mut shelf = self.shelf();
        shelf.bytes += page.bytes.len();
        match shelf.pages.insert(key, page) {
            Some(old) => shelf.bytes -= old.bytes.len(),
            None => shelf.order.push_back(key),
        }
        while shelf.bytes > ROOM {
            let Some(oldest) = shelf.order.pop_front() else {
                return;
            };
            let gone = shelf.pages.remove(&oldest);
            shelf.bytes -= gone.map_or(0, |page| page.bytes.len());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_pages_make_room_for_new_ones() {
        let kept = Kept::default();
        let big = Page::of(vec![b'x'; ROOM / 3]);
        for depth in 0..5 {
            kept.put((Sought::Front, depth), big.clone());
        }
        assert_eq!(kept.get(&(Sought::Front, 0)), None);
        assert_eq!(kept.get(&(Sought::Front, 1)), None);
        assert_eq!(kept.get(&(Sought::Front, 4)), Some(big));
        assert!(kept.shelf().bytes <= ROOM);
    }

    #[test]
    fn a_page_that_is_kept_twice_is_counted_once() {
        let kept = Kept::default();
        for _ in 0..3 {
            kept.put((Sought::Missing, 0), Page::of(vec![1, 2, 3]));
        }
        assert_eq!(kept.shelf().bytes, 3);
        assert_eq!(kept.shelf().order.len(), 1);
    }
}
