//! `castlot strike`: draws a line through an entry.

use crate::farm::{EntryNumber, Strike, Word};

use super::failure::Failure;
use super::refusing::refused;
use super::shed::Shed;

/// Draw a line through an entry.
///
/// The entry stays readable, struck through, and no longer counts. Refused while later entries name the lot that it
/// made; they are listed, and are struck first.
///
/// Example: `castlot strike 4134 --why "written down for the wrong bin"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The entry's number.
    #[arg(value_name = "ENTRY")]
    entry: EntryNumber,
    /// Why it is struck.
    #[arg(long, value_name = "WHY")]
    why: String,
}

/// Strikes an entry.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let why = why(&args.why)?;
    let settings = shed.settings()?;
    let strike = Strike {
        entry: args.entry,
        why,
    };
    let stamp = shed.stamp(&settings);
    shed.put_right(&settings, |farm| {
        farm.strike(strike, &stamp).map_err(refused)
    })
}

/// Reads the reason of a strike.
pub fn why(text: &str) -> Result<Word, Failure> {
    Word::of(text).ok_or_else(|| Failure::refused("nothing is said of why"))
}
