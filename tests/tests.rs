//! Every integration test, in one binary. `layers` checks that no file of this folder is left out.

mod bench;
mod corrections;
mod dsl;
mod help;
mod labels;
mod layers;
mod looking;
mod outside;
mod rack;
mod sheets;
mod starting;
