//! The trade's own tables: what a label says and warns of, how high its figures stand, which words need ground, how a
//! product is used and kept, the worms by name; each with its source.
//!
//! Promises to stay pure, and that nothing here reads as law or as a clearance.

mod advice;
mod cautions;
mod claims;
mod claims_table;
mod curve;
mod figures;
mod phrase;
mod place;
mod species;
mod statements;

pub use advice::{how_to_store, how_to_store_in_short, how_to_use, in_trouble};
pub use cautions::{CAUTION_KEYS, COMMON, Caution, NO_SUBSTITUTE, cautions, handled_like};
pub use claims::{About, ClaimFound, Claims, Constituent};
pub use curve::curve_loss;
pub use figures::{E_MARK_HEIGHT_UM, E_MARK_MOST, FIGURES_SOURCE, figure_height_um};
pub use species::Species;
pub use statements::{Asked, Statement, is_large, statements};
