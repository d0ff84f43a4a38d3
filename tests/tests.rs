//! Every integration test, in one binary. `layers` checks that no file of this folder is left out.

mod codes;
mod demo;
mod dsl;
mod farm_sum;
mod grower;
mod invented;
mod labels;
mod layers;
mod looking;
mod no_panic;
mod outside;
mod properties;
mod random_farm;
mod readme;
mod recording;
mod same_bytes;
mod standards;
