//! The trade's own tables: short cautions, and how a product is used and kept; each row with its source.
//!
//! Promises to stay pure, and that nothing here reads as law or as a clearance.

mod advice;
mod cautions;

pub use advice::{how_to_store, how_to_use};
pub use cautions::{COMMON, Caution, NO_SUBSTITUTE, cautions, handled_like};
