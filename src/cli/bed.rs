//! `castlot bed`: a bed made up in an empty bin.

use crate::desk::rows::{maybe, put};
use crate::desk::words;
use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Make up a bed in an empty bin.
///
/// Names the bin, then what goes in, lot and amount: bedding, grit, worms, oversize, old castings.
///
/// Example: `castlot bed A13 straw-12 3.6kg worms-1 500g --species "Eisenia fetida"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The bin.
    #[arg(value_name = "BIN")]
    bin: String,
    /// What goes in: lots and amounts in turn, or `LOT:AMOUNT`.
    #[arg(value_name = "LOT AMOUNT", required = true)]
    takes: Vec<String>,
    /// The species of the worms.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Your own mark for the bed.
    #[arg(long = "ref", value_name = "REF")]
    mark: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Makes up a bed.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, settings| {
        let mut row = args.said.row(Noun::Bed);
        put(&mut row, "bin", &*args.bin);
        put(
            &mut row,
            "takes",
            words::takings(&args.takes, &settings.measures)?,
        );
        maybe(&mut row, "species", args.species.as_deref());
        maybe(&mut row, "ref", args.mark.as_deref());
        Ok(vec![row])
    })
}
