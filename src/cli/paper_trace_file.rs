//! `castlot paper trace-file`: one lot's file for an inspector or a certifier.

use crate::papers::TraceFile;

use super::failure::Failure;
use super::named::Asking;
use super::paper::{Desk, Files};

/// Write the trace file of a lot: what it is, one step back with packaging, one step forward, the full lineage, and
/// the entries behind each line.
///
/// LOT may be a code, a ref, a bin (its bed then), or scanned text. The CSV file has a row for each pack of it, or
/// that it is in.
///
/// Example: `castlot paper trace-file run-36 --out run-36.pdf --csv run-36.csv`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The lot.
    lot: String,
    #[command(flatten)]
    files: Files,
}

/// Runs the command.
pub fn run(desk: &Desk, args: &Args) -> Result<(), Failure> {
    let asking = Asking {
        farm: &desk.farm,
        settings: &desk.settings,
        command: "paper trace-file",
    };
    let (lot, _) = asking.find_lot(&args.lot, None)?;
    let file = TraceFile {
        farm: &desk.farm,
        lot,
    };
    let bytes = file.to_pdf(desk.imprint())?;
    let named = format!("{}.trace-file.pdf", desk.farm.lot(lot).code);
    args.files.write(named, &bytes, &desk.farm, &file.listing())
}
