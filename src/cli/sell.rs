//! `castlot sell`: packs sold to a buyer, or at a market.

use crate::desk::rows::{maybe, put};
use crate::desk::words;
use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};
use super::{oldest, sell_told, voice};

/// Sell packs to a buyer, or at a market.
///
/// Packs are named by run and serials: `run-7/1-12`, or `run-7 '#1-12'` in quotes, because a shell takes `#` for itself;
/// `run-7 x31` where nobody noted the serials; `run-7 all` for what is left; `bag5 x3` for the three oldest of a product.
/// At a market there are no names: say which. Prints what was sold, and says so where older packs stand in store or a
/// best by is past.
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
    let recording = shed.record_and_give(Typing::Words, |farm, settings| {
        let mut row = args.said.row(Noun::Sale);
        let picks = words::picks(&args.packs)?;
        let day = args.said.moment(shed, settings).day();
        put(
            &mut row,
            "packs",
            oldest::runs_for(&picks, farm, settings, day)?,
        );
        maybe(&mut row, "buyer", args.buyer.as_deref());
        maybe(&mut row, "market", args.market.as_deref());
        maybe(&mut row, "contact", args.contact.as_deref());
        maybe(&mut row, "document", args.document.as_deref());
        maybe(&mut row, "despite", args.despite.as_deref());
        Ok(vec![row])
    })?;
    if !shed.json {
        sell_told::tell(&recording)?;
    }
    for line in sell_told::warnings(&recording) {
        voice::note(format!("warning: {line}"));
    }
    Ok(())
}
