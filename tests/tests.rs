//! Every integration test, in one binary. `layers` checks that no file of this folder is left out.

mod dsl;
mod labels;
mod layers;
mod looking;
mod outside;
mod recording;
