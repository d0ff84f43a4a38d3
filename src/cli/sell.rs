//! `castlot sell`: packs sold to a buyer, or at a market.

use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::words;
use super::write_down::{Said, Typing, maybe, put};

/// Sell packs to a buyer, or at a market.
///
/// Packs are named by run and serials: `run-7/1-12`, or `run-7 '#1-12'` in quotes, because a shell takes `#` for itself;
/// `run-7 x31` where nobody noted the serials; `run-7 all` for what is left. At a market there are no names: say which.
///
/// Example: `castlot sell run-93/2-3 --to "a potter's garden" --contact "01632 960111"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Packs: a run, then which of its packs.
    #[arg(value_name = "PACKS", required = true)]
    packs: Vec<String>,
    /// The buyer.
    #[arg(
        long = "to",
        alias = "buyer",
        value_name = "BUYER",
        required_unless_present = "market"
    )]
    buyer: Option<String>,
    /// The market, where there are no names.
    #[arg(long, value_name = "MARKET")]
    market: Option<String>,
    /// How to reach the buyer.
    #[arg(long, value_name = "HOW")]
    contact: Option<String>,
    /// The number of the invoice or delivery note.
    #[arg(long, value_name = "NUMBER")]
    document: Option<String>,
    /// Why packs that are held are sold all the same.
    #[arg(long, value_name = "WHY")]
    despite: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Sells packs.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, _| {
        let mut row = args.said.row(Noun::Sale);
        put(&mut row, "packs", words::picks(&args.packs)?);
        maybe(&mut row, "buyer", args.buyer.as_deref());
        maybe(&mut row, "market", args.market.as_deref());
        maybe(&mut row, "contact", args.contact.as_deref());
        maybe(&mut row, "document", args.document.as_deref());
        maybe(&mut row, "despite", args.despite.as_deref());
        Ok(vec![row])
    })
}
