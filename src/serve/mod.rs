//! The farm's pages over HTTP, for phones on the local network.
//!
//! Promises to serve no file, whatever address is asked for: every page is made from the farm in memory. Nothing that the
//! terminal could not do is done here. It never looks at the clock, the environment or a setting: `Surroundings` hands
//! these in.
//!
//! - **snapshot**: the farm, its settings and its pages as the diary stood at one moment; a request sees one and no other.
//! - **address**: what stands after the host, read as a code that a label can carry.

mod address;
#[cfg(test)]
mod address_test;
mod crowd;
mod error;
mod headers;
mod hello;
mod kept;
mod limits;
mod live;
mod plain;
mod public;
mod routes;
mod run;
mod surroundings;
mod tls;

pub use error::ServeError;
pub use run::run;
pub use surroundings::{Options, SettingsRead, Surroundings, TlsFiles};
