//! The trade's own tables: cautions, how a product is used and kept, the worms by name, what goes wrong and how it is
//! seen, packers' checks, fills and densities; each with its source.
//!
//! Promises to stay pure, and that nothing here reads as law or as a clearance.

mod advice;
mod bean;
mod cautions;
mod density;
mod fills;
mod margin;
mod packers;
mod permissions;
mod place;
mod sample;
mod sampling;
mod sign_table;
mod signs;
mod species;
mod student;
mod tne;

pub use advice::{how_to_store, how_to_store_in_short, how_to_use};
pub use bean::{BEAN, Bean, passed};
pub use cautions::{COMMON, Caution, NO_SUBSTITUTE, cautions, handled_like};
pub use density::{DensityDoubt, DensityLimits, WaterTest, density_doubts};
pub use fills::{Check, Judged, Outcome, Point, Ruling, Verdict, judge};
pub use margin::{Margin, PastRun, margin};
pub use packers::{Because, Ground, INSPECTORS_TEST, Rule, e_mark_reaches, rule};
pub use permissions::{Said, in_words, material, said_of, whom_to_ask};
pub use sampling::{Measuring, Plan, Stage};
pub use sign_table::SIGNS;
pub use signs::{Lag, Sign};
pub use species::Species;
pub use tne::tne;
