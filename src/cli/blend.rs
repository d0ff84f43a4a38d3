//! `castlot blend`: lots put together into a batch.

use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::words;
use super::write_down::{Said, Typing, maybe, put};

/// Put lots together: a bucket of feed, a heap of bedding, castings of several sievings.
///
/// Names the kind (feed, bedding, castings, worms, cocoons, overs or liquid), then lots and amounts.
///
/// Example: `castlot blend feed manure-7 4.5kg grain-6 2.6kg card-6 1.6kg --ref mix-111`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What it makes.
    #[arg(value_name = "KIND")]
    kind: String,
    /// What goes in: lots and amounts in turn, or `LOT:AMOUNT`.
    #[arg(value_name = "LOT AMOUNT", required = true)]
    from: Vec<String>,
    /// Your own mark for the batch.
    #[arg(long = "ref", value_name = "REF")]
    mark: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Blends lots.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, settings| {
        let mut row = args.said.row(Noun::Blend);
        put(&mut row, "kind", &*args.kind);
        put(
            &mut row,
            "from",
            words::takings(&args.from, &settings.measures)?,
        );
        maybe(&mut row, "ref", args.mark.as_deref());
        Ok(vec![row])
    })
}
