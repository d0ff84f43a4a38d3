//! `castlot publish`: writes the public pages into a folder, those that say something new.

use std::path::PathBuf;

use crate::diary::Book;
use crate::farm::{EntryNumber, Farm, Settings};
use crate::site::{Foot, Press};

use super::failure::Failure;
use super::pages_disk::Disk;
use super::pages_folder::Folder;
use super::pages_list::{List, Sealed};
use super::pages_run::{May, Run, THREADS};
use super::public_words;
use super::publish_told::Told;
use super::shed::Shed;
use super::voice;

/// Write the public page of every lot into a folder.
///
/// One page for each code that a label can carry, readable on a phone without JavaScript; no supplier's, buyer's or
/// worker's name is on any of them. Published again into the same folder, only the pages that say something new are
/// written. Files that castlot did not write are left alone, and so are pages that somebody changed. What people see
/// changes only when you upload the folder to your web host.
///
/// Example: `castlot publish public`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder to write; it is made if it is not there.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// Say what would be written and deleted, and leave everything as it is.
    #[arg(long)]
    look: bool,
    /// Delete pages that belong to nothing any more, such as those of a run that was struck out.
    #[arg(long)]
    delete: bool,
    /// Write pages anew that were changed since castlot wrote them, or that were made from another diary.
    #[arg(long)]
    overwrite: bool,
}

/// Publishes the farm of a folder.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let book = shed.book()?;
    let farm = book.farm()?;
    let mut folder = Folder::of(&args.folder, Disk::default())?;
    if !args.look {
        folder.take()?;
    }
    let mut list = folder.list()?;
    let now = sealed(&book, &farm)?;
    let newest = list.seal(now);
    let may = May {
        only_look: args.look,
        overwrite: args.overwrite,
        delete: args.delete,
    };
    let run = Run {
        press: &Press::of(&farm, &settings),
        folder: &folder,
        feet: feet(&book, (&farm, &settings), &list, &folder, may)?,
        list,
        newest,
        may,
    };
    let plan = run.plan()?;
    let told = Told {
        folder: folder.shown(),
        may,
        now,
        plan: &plan,
    };
    told.before();
    if !may.only_look {
        folder.begin(&run.list)?;
    }
    let mut done = run.print(&plan.jobs, THREADS)?;
    if !may.only_look {
        run.end(&plan, &mut done)?;
    }
    let today = settings.zone.to_datetime(shed.now).date();
    for line in public_words::lines(&farm, &settings, today) {
        voice::note(line);
    }
    told.after(shed, &settings, &done)
}

/// Returns the diary's seal as it was when the farm was read.
fn sealed(book: &Book, farm: &Farm) -> Result<Sealed, Failure> {
    let entry = farm.entries().last().map_or(0, |last| last.number);
    let seal = book.seal_at(entry)?;
    Ok(Sealed {
        entry,
        seal: seal.expect("the entry was just read"),
    })
}

/// Makes the foot of each seal that pages carry. Pages with a seal that the diary does not have are of another diary, or of
/// one that was rewritten since, which is for the farm to look into.
fn feet(
    book: &Book,
    (farm, settings): (&Farm, &Settings),
    list: &List,
    folder: &Folder,
    may: May,
) -> Result<Vec<Option<Foot>>, Failure> {
    let mut feet = Vec::new();
    for Sealed { entry, seal } in &list.seals {
        let is_known = book.seal_at(*entry)? == Some(*seal);
        if !is_known && !may.overwrite {
            return Err(other_diary(*entry, folder.shown()));
        }
        let foot = is_known.then(|| Foot::of(farm, settings, *entry, &seal.to_string()));
        let foot = foot.transpose();
        feet.push(foot.map_err(|error| Failure::refused(error.to_string()))?);
    }
    Ok(feet)
}

fn other_diary(entry: EntryNumber, shown: &str) -> Failure {
    Failure::refused(format!(
        "the pages in `{shown}` carry a seal of entry {entry} that this diary does not have: they are of another diary, or this one was rewritten since"
    ))
    .hint("look through the diary with `castlot verify`")
    .hint("to publish it all the same, name a new folder, or say `--overwrite`")
}
