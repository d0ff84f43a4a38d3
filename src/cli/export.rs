//! `castlot export`: the diary as sheets again, in a folder that is put in place whole.

use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};

use crate::farm::{Farm, Noun, Settings};
use crate::sheets::{AlreadyThere, Importing, export, read_folder};

use super::failure::Failure;
use super::import;
use super::phrase::count;
use super::shed::Shed;
use super::voice;

/// Write the diary out as sheets.
///
/// Writes the same CSV files that `castlot import` reads, with every lot's code, into a folder; what was struck out is
/// left out. A new farm that imports them has the same lots, codes and traces. The folder is put in place whole; one
/// that holds anything else, or rows that the diary does not have, is left alone.
///
/// Example: `castlot export --sheets season-2026`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder to write the sheets into.
    #[arg(long, value_name = "FOLDER", required = true)]
    sheets: PathBuf,
    /// Replace sheets even where they hold rows that the diary does not have.
    #[arg(long)]
    replace: bool,
}

/// Writes the diary out.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let farm = shed.book()?.farm()?;
    check(shed, &settings, &farm, args)?;
    let sheets = export(&farm);
    let folder = Swap::of(&args.sheets)?;
    folder.put(|aside| {
        sheets
            .iter()
            .try_for_each(|(name, bytes)| std::fs::write(aside.join(name), bytes))
    })?;
    let rows = farm.order().len();
    let (rows, sheets) = (
        count(rows, "row", "rows"),
        count(sheets.len(), "sheet", "sheets"),
    );
    voice::say(format!(
        "wrote {rows} in {sheets} to {}",
        args.sheets.display()
    ));
    Ok(())
}

/// Refuses a folder in which something would be lost.
fn check(shed: &Shed, settings: &Settings, farm: &Farm, args: &Args) -> Result<(), Failure> {
    let shown = args.sheets.display();
    let other_folder = format!("choose another folder, as in `castlot export --sheets {shown}-2`");
    let inside = match std::fs::read_dir(&args.sheets) {
        Ok(inside) => inside,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(Failure::refused(format!("cannot write `{shown}`: {error}"))),
    };
    for found in inside.flatten() {
        let name = found.file_name();
        if !is_sheet(&name) || found.path().is_dir() {
            let name = name.to_string_lossy();
            return Err(
                Failure::refused(format!("`{shown}` holds something else: `{name}`"))
                    .hint(other_folder),
            );
        }
    }
    if args.replace {
        return Ok(());
    }
    let with = Importing {
        settings,
        farm,
        now: shed.stamp(settings).now,
        already: AlreadyThere::Skip,
    };
    let new = read_folder(&import::files(&args.sheets)?, with).map(|read| read.drafts.len());
    match new {
        Ok(0) => Ok(()),
        Ok(new) => {
            let rows = count(new, "row", "rows");
            let text = format!("`{shown}` holds {rows} that the diary does not have");
            Err(Failure::refused(text).hint(other_folder).hint(format!(
                "if they are not needed: `castlot export --sheets {shown} --replace`"
            )))
        }
        Err(_) => Err(
            Failure::refused(format!("`{shown}` holds sheets that castlot cannot read"))
                .hint(other_folder),
        ),
    }
}

fn is_sheet(name: &std::ffi::OsStr) -> bool {
    let name = name.to_string_lossy();
    Noun::ALL
        .iter()
        .any(|noun| name.eq_ignore_ascii_case(&format!("{}.csv", noun.sheet())))
}

/// A folder that is written beside its place, and then put there whole.
struct Swap {
    place: PathBuf,
    aside: PathBuf,
    old: PathBuf,
}

impl Swap {
    fn of(place: &Path) -> Result<Self, Failure> {
        let name = place.file_name().ok_or_else(|| {
            Failure::refused(format!("`{}` is not the name of a folder", place.display()))
                .hint("name one, as in `castlot export --sheets season-2026`")
        })?;
        let beside = |end: &str| {
            let mut beside = OsString::from(".");
            beside.push(name);
            beside.push(end);
            place.with_file_name(beside)
        };
        Ok(Self {
            place: place.to_owned(),
            aside: beside(".new"),
            old: beside(".old"),
        })
    }

    /// Has the folder filled beside its place, and swaps it in.
    fn put(&self, fill: impl FnOnce(&Path) -> io::Result<()>) -> Result<(), Failure> {
        let done = self.fill_and_swap(fill);
        if done.is_err() {
            // What is left beside the place is of no use; that it stays is no news beside the failure.
            let _ = std::fs::remove_dir_all(&self.aside);
        }
        done.map_err(|error| {
            Failure::refused(format!("cannot write `{}`: {error}", self.place.display()))
        })
    }

    fn fill_and_swap(&self, fill: impl FnOnce(&Path) -> io::Result<()>) -> io::Result<()> {
        if self.aside.exists() {
            // Left by a run that was broken off.
            std::fs::remove_dir_all(&self.aside)?;
        }
        std::fs::create_dir_all(&self.aside)?;
        fill(&self.aside)?;
        if !self.place.exists() {
            return std::fs::rename(&self.aside, &self.place);
        }
        if self.old.exists() {
            std::fs::remove_dir_all(&self.old)?;
        }
        std::fs::rename(&self.place, &self.old)?;
        if let Err(error) = std::fs::rename(&self.aside, &self.place) {
            std::fs::rename(&self.old, &self.place)?;
            return Err(error);
        }
        std::fs::remove_dir_all(&self.old)
    }
}
