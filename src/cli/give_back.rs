//! `castlot return`: packs that come back.

use crate::desk::rows::{maybe, put};
use crate::desk::words;
use crate::farm::{Noun, ReturnState};

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Take packs back, unsold or because of a complaint.
///
/// Unsold packs stand in store again; with `--complained` they are kept apart.
///
/// Example: `castlot return run-90 x2 --market "Quay market"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Packs: a run, then which of its packs.
    #[arg(value_name = "PACKS", required = true)]
    packs: Vec<String>,
    /// They come back because somebody complained.
    #[arg(long)]
    complained: bool,
    /// Who brings them back.
    #[arg(long = "buyer", value_name = "BUYER")]
    buyer: Option<String>,
    /// The market they come home from.
    #[arg(long, value_name = "MARKET")]
    market: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Takes packs back.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let state = if args.complained {
        ReturnState::Complained
    } else {
        ReturnState::Unsold
    };
    shed.record(Typing::Words, |_, _| {
        let mut row = args.said.row(Noun::Return);
        put(&mut row, "packs", words::picks(&args.packs)?);
        put(&mut row, "state", state.word());
        maybe(&mut row, "buyer", args.buyer.as_deref());
        maybe(&mut row, "market", args.market.as_deref());
        Ok(vec![row])
    })
}
