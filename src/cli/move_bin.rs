//! `castlot move`: a bin put in another place, with whatever is in it.

use crate::desk::rows::put;
use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Put a bin in another place, with whatever is in it.
///
/// A place is rack, shelf and place. The bed in the bin stays the same bed.
///
/// Example: `castlot move A07 BENCH/1/2`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The bin.
    #[arg(value_name = "BIN")]
    bin: String,
    /// Where it stands from then on: RACK/SHELF/PLACE.
    #[arg(value_name = "PLACE")]
    place: String,
    #[command(flatten)]
    said: Said,
}

/// Moves a bin.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, _| {
        let mut row = args.said.row(Noun::Move);
        put(&mut row, "bin", &*args.bin);
        put(&mut row, "place", &*args.place);
        Ok(vec![row])
    })
}
