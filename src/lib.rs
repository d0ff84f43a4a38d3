//! castlot: label printing and lot traceability for small worm farms.
//!
//! The folders and what they promise stand in the project's `DEVELOPERS.md`.

pub mod diary;
pub mod farm;
