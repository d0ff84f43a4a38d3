//! The public pages: one static HTML page for each lot that a label's code points to, printed one at a time.
//!
//! Promises to show no name of a supplier, buyer or worker, no mark and no remark; to ask nobody for anything
//! (no script, no font, no picture from elsewhere); and to give the same bytes for the same farm. It writes no file.

mod banner;
mod claims;
mod counter;
mod door_page;
mod drawing;
mod engines;
mod facts;
#[cfg(test)]
pub(crate) mod fixture;
mod foot;
mod frame;
mod gutter;
#[cfg(test)]
mod hostile_test;
mod in_words;
mod kind;
mod lineage;
mod lot_page;
#[cfg(test)]
pub(crate) mod makings;
mod opened;
mod pack_page;
mod path;
mod plain;
mod policy;
mod press;
#[cfg(test)]
mod public_test;
mod shed_page;
mod shown;
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

pub use claims::{Unfounded, unfounded};
pub use counter::{Counter, Sought, Stock};
pub use foot::{Foot, Page, Wants};
pub use policy::policy;
pub use press::{Job, Press};

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
    /// A template has no place for its foot.
    #[error("the page `{path}` has no place for the diary's seal")]
    NoFoot {
        /// The page's path.
        path: String,
    },
}
