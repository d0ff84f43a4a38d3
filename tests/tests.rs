//! Every integration test, in one binary. `layers` checks that no file of this folder is left out.

mod layers;
mod outside;
