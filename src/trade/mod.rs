//! The trade's own tables: short cautions, how a product is used and kept, the worms by name; each with its source.
//!
//! Promises to stay pure, and that nothing here reads as law or as a clearance.

mod advice;
mod cautions;
mod permissions;
mod species;

pub use advice::{how_to_store, how_to_store_in_short, how_to_use};
pub use cautions::{COMMON, Caution, NO_SUBSTITUTE, cautions, handled_like};
pub use permissions::{Said, in_words, material, said_of, whom_to_ask};
pub use species::Species;
