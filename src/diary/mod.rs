//! The diary: the file that keeps the entries, the chain over them, and the stored line of each.
//!
//! Promises to be the only SQL, to append and never to change, and to decide nothing about the farm:
//! it reads, asks a rule, and writes what the rule says or nothing.
//!
//! - **entry**: one line of canonical JSON (RFC 8785) in the table `entries`, never changed.
//! - **word**: a name or a remark, kept beside the chain in the table `words`, so that it can be forgotten.
//! - **seal**: the digest of the last entry, which covers all before it.

mod book;
#[cfg(test)]
mod book_test;
mod chain;
mod error;
mod forget;
mod ink;
mod line;
mod pieces;
#[cfg(test)]
mod pinned;
#[cfg(test)]
mod pinned_entries;
mod quick;
mod read;
mod rows;
mod rows_of_goods;
mod rows_of_packs;
mod rows_of_rack;
mod rows_of_store;
#[cfg(test)]
mod sample;
mod schema;
mod stand;
#[cfg(test)]
mod stand_test;
mod values;
mod verify;
mod wire;
mod words;

pub use book::Book;
pub use chain::{Seal, SealError};
pub use error::{Damage, DiaryError, RecordError, WireError};
pub use forget::{Forgotten, SimilarWord, WhichWord};
pub use ink::Pen;
pub use stand::Stand;
pub use verify::Verified;
