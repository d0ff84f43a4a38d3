//! `castlot pin`: gives a worker the PIN by which they sign in on a phone, or takes it away.

use std::io::{BufRead, IsTerminal};

use serde::Serialize;

use crate::serve::{Initials, Phones, PhonesError, Pin, PinHash, Pins};

use super::failure::Failure;
use super::shed::Shed;
use super::{out, voice};

/// Give a worker a PIN, by which they sign in on a phone.
///
/// Asks for it twice and shows nothing of what is typed; or takes one line from a pipe. A PIN has 6 to 12 digits, and
/// castlot refuses those that people try first, such as 123456 or a date. A new PIN, or `--forget`, signs the worker out
/// on every phone. What is kept is a hash, in the folder `phones` of the farm.
///
/// Example: `castlot pin --list`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The worker's initials, as they are to stand beside what they record.
    #[arg(
        value_name = "WORKER",
        required_unless_present = "list",
        conflicts_with = "list"
    )]
    worker: Option<Initials>,
    /// Take the worker's PIN away.
    #[arg(long, conflicts_with = "list")]
    forget: bool,
    /// Say who has a PIN.
    #[arg(long)]
    list: bool,
}

/// Sets, takes away or lists.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    // A PIN in a folder that is no farm would open no door.
    shed.settings()?;
    let phones = Phones::of(&shed.folder);
    match &args.worker {
        Some(worker) if args.forget => forget(shed, &phones, worker),
        Some(worker) => set(shed, &phones, worker),
        None => list(shed, &phones),
    }
}

/// What was done, or who has a PIN, as `--json` tells of it.
#[derive(Serialize)]
struct Told {
    pins: Vec<String>,
}

fn set(shed: &Shed, phones: &Phones, worker: &Initials) -> Result<(), Failure> {
    let had = Pins::read(phones)?.of(worker).is_some();
    let pin = typed(worker)?;
    let hash = PinHash::of(&pin)?;
    Pins::change(phones, |pins| pins.set(worker.clone(), hash))?;
    tell(
        shed,
        phones,
        &match had {
            true => format!("{worker} has a new PIN, and is signed out on every phone"),
            false => format!("{worker} has a PIN"),
        },
    )
}

fn forget(shed: &Shed, phones: &Phones, worker: &Initials) -> Result<(), Failure> {
    if Pins::read(phones)?.of(worker).is_none() {
        return Err(Failure::refused(format!("{worker} has no PIN"))
            .hint("see who has one with `castlot pin --list`"));
    }
    Pins::change(phones, |pins| pins.forget(worker))?;
    tell(
        shed,
        phones,
        &format!("{worker} has no PIN any more, and is signed out on every phone"),
    )
}

fn list(shed: &Shed, phones: &Phones) -> Result<(), Failure> {
    let pins = Pins::read(phones)?;
    if shed.json {
        return print(&pins);
    }
    for worker in pins.workers() {
        voice::say(worker);
    }
    if pins.workers().next().is_none() {
        voice::note("nobody has a PIN; give one with `castlot pin INITIALS`");
    }
    Ok(())
}

fn tell(shed: &Shed, phones: &Phones, line: &str) -> Result<(), Failure> {
    if shed.json {
        return print(&Pins::read(phones)?);
    }
    voice::say(line);
    Ok(())
}

fn print(pins: &Pins) -> Result<(), Failure> {
    let pins = pins.workers().map(ToString::to_string).collect();
    out::print(&out::json(&Told { pins }))
}

/// Asks for a PIN: twice on a terminal, and once where it comes from a pipe.
fn typed(worker: &Initials) -> Result<Pin, Failure> {
    if !std::io::stdin().is_terminal() {
        return read(&piped()?);
    }
    let terminal = console::Term::stderr();
    let ask = |words: &str| -> Result<String, Failure> {
        terminal
            .write_str(words)
            .and_then(|()| terminal.read_secure_line())
            .map_err(|error| unread(&error))
    };
    let pin = read(&ask(&format!("a PIN for {worker}, 6 to 12 digits: "))?)?;
    // Read again only to be compared: what passed once passes twice.
    if read(&ask("the same again: ")?).ok() != Some(pin.clone()) {
        return Err(Failure::refused(
            "these were two different PINs; nothing was changed",
        ));
    }
    Ok(pin)
}

/// Reads the one line of a pipe.
fn piped() -> Result<String, Failure> {
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line);
    match read.map_err(|error| unread(&error))? {
        0 => Err(Failure::refused("no PIN came")
            .hint("give the command at a terminal, and type the PIN when it asks")),
        _ => Ok(line),
    }
}

fn read(typed: &str) -> Result<Pin, Failure> {
    typed
        .parse()
        .map_err(|error: crate::serve::PinError| Failure::refused(error.to_string()))
}

fn unread(error: &std::io::Error) -> Failure {
    Failure::refused(format!("cannot read what is typed: {error}"))
}

impl From<PhonesError> for Failure {
    fn from(error: PhonesError) -> Self {
        let hint = match &error {
            PhonesError::NotPins { .. } => Some(
                "move the file away, and give each worker a PIN anew with `castlot pin INITIALS`",
            ),
            PhonesError::Damaged { .. } => Some("put the file back from a copy, or move it away"),
            PhonesError::InUse { .. } => {
                Some("wait until the other castlot has ended, and give the command again")
            }
            PhonesError::Io { .. } | PhonesError::NoRandom { .. } | PhonesError::Hash { .. } => {
                None
            }
        };
        let failure = Self::refused(super::failure::with_sources(&error));
        hint.into_iter().fold(failure, Self::hint)
    }
}
