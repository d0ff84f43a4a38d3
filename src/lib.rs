//! castlot: label printing and lot traceability for small worm farms.
//!
//! The folders and what they promise stand in the project's `DEVELOPERS.md`.

pub mod cli;
pub mod desk;
pub mod diary;
pub mod farm;
pub mod label;
pub mod papers;
pub mod serve;
pub mod sheets;
pub mod site;
pub mod trace;
pub mod trade;
