//! The public pages: one static HTML page for each lot that a label's code points to, as a map of path to bytes.
//!
//! Promises to show no name of a supplier, buyer or worker, no mark and no remark; to ask nobody for anything
//! (no script, no font, no picture from elsewhere); and to give the same bytes for the same farm. It writes no file.

mod banner;
mod counter;
mod door_page;
mod drawing;
mod facts;
#[cfg(test)]
pub(crate) mod fixture;
mod frame;
mod gutter;
mod in_words;
mod kind;
mod lineage;
mod lot_page;
#[cfg(test)]
pub(crate) mod makings;
mod opened;
mod pack_page;
mod path;
mod policy;
mod publish;
mod shed_page;
mod sketch;
mod sources;
mod standing;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod told;
#[cfg(test)]
mod way_test;
#[cfg(test)]
mod well_formed;

mod wording;

pub use counter::{Counter, Sought, Stock};
pub use policy::policy;
pub use publish::{Job, Press, publish};

/// Why the pages could not be made.
#[derive(Debug, thiserror::Error)]
pub enum SiteError {
    /// A template could not be filled in.
    #[error("the page `{path}` could not be made")]
    Template {
        /// The page's path.
        path: String,
        /// What went wrong.
        source: askama::Error,
    },
}
