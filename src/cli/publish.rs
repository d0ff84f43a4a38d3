//! `castlot publish`: writes the public pages into a folder, which is swapped in whole.

use std::path::PathBuf;

use jiff::civil::Date;

use crate::farm::{Farm, QrForm, Settings};
use crate::site;

use super::failure::Failure;
use super::public_words;
use super::shed::Shed;
use super::swap::swap_in;

/// Write the public page of every lot into a folder.
///
/// One page for each code that a label can carry, readable on a phone without JavaScript; no supplier's, buyer's or
/// worker's name is on any of them. The folder is replaced as a whole. Pages that people see change only when you
/// upload it to your web host.
///
/// Example: castlot publish public
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder to write; it is made if it is not there.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

/// Publishes the farm of a folder.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let book = shed.book()?;
    let seal = book.seal()?.to_string();
    let today = settings.zone.to_datetime(shed.now).date();
    put(args, &book.farm()?, &settings, (&seal, today))
}

/// Makes the pages of a farm as its diary stands, and swaps them in.
fn put(
    args: &Args,
    farm: &Farm,
    settings: &Settings,
    (seal, today): (&str, Date),
) -> Result<(), Failure> {
    let pages =
        site::publish(farm, settings, seal).map_err(|error| Failure::refused(error.to_string()))?;
    swap_in(&args.folder, &pages)?;
    for line in public_words::lines(farm, settings, today) {
        eprintln!("{line}");
    }
    eprintln!("wrote {} pages to `{}`", pages.len(), args.folder.display());
    match (&settings.base, settings.form) {
        (Some(base), QrForm::Web | QrForm::Gs1) => eprintln!("labels point to {base}"),
        (Some(base), QrForm::Text) => {
            eprintln!("labels carry plain text and point to no page; `base` is {base}");
        }
        (None, _) => eprintln!("no address for them is set: [qr] has no `base`"),
    }
    eprintln!("what people see changes only when you upload that folder");
    Ok(())
}
