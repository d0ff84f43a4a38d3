//! Every integration test, in one binary. `layers` checks that no file of this folder is left out.

mod bench;
mod codes;
mod corrections;
mod demo;
mod dsl;
mod farm_sum;
mod grower;
mod help;
mod invented;
mod label_items;
mod labels;
mod layers;
mod looking;
mod no_panic;
mod outside;
mod printers;
mod proof;
mod properties;
mod rack;
mod random_farm;
mod readme;
mod same_bytes;
mod sheets;
mod standards;
mod starting;
