//! The trade's own tables: short cautions, how a product is used and kept, the worms by name; each with its source.
//!
//! Promises to stay pure, and that nothing here reads as law or as a clearance.

mod advice;
mod bean;
mod cautions;
mod species;

pub use advice::{how_to_store, how_to_store_in_short, how_to_use};
pub use bean::{BEAN, Bean, passed};
pub use cautions::{COMMON, Caution, NO_SUBSTITUTE, cautions, handled_like};
pub use species::Species;
