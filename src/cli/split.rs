//! `castlot split`: a share of everything in a bed, made into a new one.

use crate::desk::rows::{maybe, put};
use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Split a bed: a share of everything in it makes a new bed in an empty bin.
///
/// The share is `50%`, `"1 of 3"`, `0.5` or `1/3`. Both halves keep everything that went in before.
///
/// Example: `castlot split C03 C13 "1 of 3" --ref c03-half`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The bed: its bin, code or ref.
    #[arg(value_name = "BED")]
    bed: String,
    /// The bin that the new bed goes into.
    #[arg(value_name = "BIN")]
    to: String,
    /// The share that is taken.
    #[arg(value_name = "SHARE")]
    share: String,
    /// Your own mark for the new bed.
    #[arg(long = "ref", value_name = "REF")]
    mark: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Splits a bed.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, _| {
        let mut row = args.said.row(Noun::Split);
        put(&mut row, "bin", &*args.bed);
        put(&mut row, "to_bin", &*args.to);
        put(&mut row, "share", &*args.share);
        maybe(&mut row, "ref", args.mark.as_deref());
        Ok(vec![row])
    })
}
