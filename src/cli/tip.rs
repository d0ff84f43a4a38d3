//! `castlot tip`: a bed tipped into another bin.

use crate::desk::rows::put;
use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Tip a bed into another bin.
///
/// Where that bin is empty, the bed moves there and keeps its code; where it holds a bed, all goes into that one, and
/// the bed that is tipped ends.
///
/// Example: `castlot tip A07 A08`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The bed: its bin, code or ref.
    #[arg(value_name = "BED")]
    bed: String,
    /// The bin that it is tipped into.
    #[arg(value_name = "BIN")]
    to: String,
    #[command(flatten)]
    said: Said,
}

/// Tips a bed.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, _| {
        let mut row = args.said.row(Noun::Tip);
        put(&mut row, "bin", &*args.bed);
        put(&mut row, "to_bin", &*args.to);
        Ok(vec![row])
    })
}
