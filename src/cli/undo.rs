//! `castlot undo`: strikes the last entry of whoever asks.

use crate::farm::Strike;

use super::failure::Failure;
use super::refusing::refused;
use super::shed::Shed;
use super::strike::why;
use super::{hint, voice};

/// Strike your last entry.
///
/// Strikes the last entry that was recorded with the same initials (`--by`, or without any), and says which it was.
///
/// Example: `castlot undo --by NT`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Why it is struck.
    #[arg(long, value_name = "WHY", default_value = "taken back")]
    why: String,
}

/// Strikes the last entry of whoever asks.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let why = why(&args.why)?;
    let settings = shed.settings()?;
    let stamp = shed.stamp(&settings);
    let mut struck = None;
    shed.put_right(&settings, |farm| {
        let entry = farm.last_by(shed.by.as_ref()).map_err(|refusal| {
            let mut failure = Failure::refused(refusal.to_string());
            failure.hints = hint::of(&refusal);
            failure
        })?;
        struck = Some(entry);
        farm.strike(Strike { entry, why }, &stamp).map_err(refused)
    })?;
    if let Some(entry) = struck {
        voice::note(format!("entry {entry} is struck out"));
    }
    Ok(())
}
