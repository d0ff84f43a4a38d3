//! Every integration test, in one binary. `layers` checks that no file of this folder is left out.

mod codes;
mod dsl;
mod labels;
mod layers;
mod looking;
mod outside;
mod properties;
mod random_farm;
mod recording;
mod standards;
