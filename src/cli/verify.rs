//! `castlot verify`: recomputes the diary's chain, and says how many entries it has and its seal.

use serde::Serialize;

use crate::diary::{Book, DiaryError, Verified};
use crate::farm::EntryNumber;

use super::failure::{Failure, Kind};
use super::phrase::count;
use super::shed::Shed;
use super::{out, voice};

/// Check that nothing in the diary was changed since it was written.
///
/// Recomputes every digest from the first entry on, every name and remark, and the farm that they add up to. Says how
/// many entries there are, and the diary's seal, which is the last digest: whoever has noted an earlier seal can tell
/// whether anything before it was rewritten. Where the diary is damaged, names the first bad entry and leaves with 3.
///
/// Example: `castlot verify`
#[derive(Debug, clap::Args)]
pub struct Args {}

/// Verifies the diary.
pub fn run(shed: &Shed, _args: &Args) -> Result<(), Failure> {
    let verified = Book::open(&shed.diary()).and_then(|book| book.verify());
    match &verified {
        _ if shed.json => json(&verified)?,
        Ok(verified) => {
            let entries = count(verified.entries, "entry", "entries");
            voice::say(format!("{entries}, as they were written"));
            voice::say(format!("seal {}", verified.seal));
        }
        Err(_) => {}
    }
    verified.map(|_| ()).map_err(|error| {
        let mut failure = Failure::from(error);
        // Elsewhere the hint is to verify, which has just been done.
        if failure.kind == Kind::Diary {
            failure.hints.clear();
        }
        failure
    })
}

/// A sound diary, as `--json` tells of it.
#[derive(Serialize)]
struct Sound {
    sound: bool,
    entries: EntryNumber,
    seal: String,
}

/// A damaged diary, as `--json` tells of it.
#[derive(Serialize)]
struct Broken {
    sound: bool,
    first_bad_entry: Option<EntryNumber>,
    damage: String,
}

fn json(verified: &Result<Verified, DiaryError>) -> Result<(), Failure> {
    let told = match verified {
        Ok(verified) => out::json(&Sound {
            sound: true,
            entries: verified.entries,
            seal: verified.seal.to_string(),
        }),
        Err(DiaryError::Damaged { entry, damage }) => out::json(&Broken {
            sound: false,
            first_bad_entry: *entry,
            damage: damage.to_string(),
        }),
        // Nothing is known of a diary that could not be read.
        Err(_) => return Ok(()),
    };
    out::print(&told)
}
