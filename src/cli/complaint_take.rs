//! `castlot complaint take`: a call is written down with whatever the caller can say.

use crate::desk::Subject;
use crate::desk::call::Call;
use crate::desk::period::Period;
use crate::desk::rows::{maybe, put};
use crate::farm::{Event, Farm, LotSort, Noun, Recording, Settings};

use super::failure::Failure;
use super::named::Asking;
use super::phrase::paragraph;
use super::shed::Shed;
use super::write_down::{Said, Typing};
use super::{call_page, out, voice};

/// Take a complaint: what was seen, and what is known of the pack.
///
/// The call is saved even with half a code. What does not read as a whole code is kept as it was heard, and the runs that
/// may be meant are listed; each of them stays a suspect until `castlot complaint narrow` names the pack.
///
/// Example: `castlot complaint take --sign "bean leaves cupped" --heard "seventy dash oh one" --about 2026-06`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What they saw, in their words.
    #[arg(long, value_name = "TEXT")]
    sign: String,
    /// The pack: its code or ref, the text of its label, or half a code.
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The code as it was heard: `fifteen dash oh two`.
    #[arg(long, value_name = "WORDS")]
    heard: Option<String>,
    /// The product as they called it.
    #[arg(long, value_name = "PRODUCT")]
    product: Option<String>,
    /// Where they bought it.
    #[arg(long, value_name = "PLACE")]
    bought_at: Option<String>,
    /// About when they bought it: a day, a month or a year.
    #[arg(long, value_name = "TIME")]
    about: Option<String>,
    /// How to reach them.
    #[arg(long, value_name = "HOW")]
    contact: Option<String>,
    /// A name for the complaint; castlot gives the next one, as in `call-4`.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Takes a complaint.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let recording = shed.record_and_give(Typing::Flags, |farm, settings| {
        let mut row = args.said.row(Noun::Complaint);
        let (pack, heard) = pack_or_words(farm, settings, args);
        put(&mut row, "sign", args.sign.clone());
        maybe(&mut row, "pack", pack.as_deref());
        maybe(&mut row, "heard", heard.as_deref());
        maybe(&mut row, "product", args.product.as_deref());
        maybe(&mut row, "bought_at", args.bought_at.as_deref());
        maybe(&mut row, "bought_about", args.about.as_deref());
        maybe(&mut row, "contact", args.contact.as_deref());
        maybe(&mut row, "complaint", args.name.as_deref());
        Ok(vec![row])
    })?;
    if shed.json {
        return Ok(());
    }
    let settings = shed.settings()?;
    for unread in unread(&recording.farm, &settings, args) {
        voice::note(unread);
    }
    tell(&recording, &settings)
}

/// Tells what was typed that says nothing to castlot; it is kept as it was said.
fn unread(farm: &Farm, settings: &Settings, args: &Args) -> Vec<String> {
    let mut unread = Vec::new();
    let pack = args.pack.as_deref();
    if let Some(pack) = pack.filter(|pack| named_pack(farm, settings, pack).is_none()) {
        unread.push(format!(
            "warning: no pack or run of the diary is `{pack}`; it is kept as it was heard"
        ));
    }
    let today = farm.entries().last().map(|entry| entry.when.day());
    if let (Some(about), Some(today)) = (args.about.as_deref(), today)
        && Period::read(about, settings.dates, today).is_none()
    {
        unread.push(format!(
            "warning: `{about}` is no day, month or year; it is kept as it was said"
        ));
    }
    unread
}

/// Tells the pack that is meant, by its code, from what was only heard of one.
fn pack_or_words(
    farm: &Farm,
    settings: &Settings,
    args: &Args,
) -> (Option<String>, Option<String>) {
    let heard = args.heard.clone();
    let Some(typed) = &args.pack else {
        return (None, heard);
    };
    match named_pack(farm, settings, typed) {
        Some(code) => (Some(code), heard),
        None => {
            let words = [Some(typed.clone()), heard].into_iter().flatten();
            (None, Some(words.collect::<Vec<_>>().join("; ")))
        }
    }
}

/// Returns the code of the pack or run that a text names whole.
pub fn named_pack(farm: &Farm, settings: &Settings, typed: &str) -> Option<String> {
    let asking = Asking {
        farm,
        settings,
        command: "show",
    };
    // A serial may stand behind a space: `run-36 #1`.
    let text = typed.trim().replace(" #", "#");
    match asking.find(&text).ok()? {
        Subject::Pack(run, serial) => Some(format!("{}/{serial}", farm.lot(run).code)),
        Subject::Lot(run) if matches!(farm.lot(run).sort, LotSort::Run(_)) => {
            Some(farm.lot(run).code.to_string())
        }
        Subject::Lot(_) | Subject::Struck(..) | Subject::Bin(_) | Subject::Rack(_) => None,
    }
}

/// Tells what may be behind it, and which runs may be meant.
fn tell(recording: &Recording, settings: &Settings) -> Result<(), Failure> {
    let farm = &recording.farm;
    let taken = recording.entries().iter().rev().find(|entry| {
        let event = entry.event.as_ref();
        matches!(event, Some(Event::Complaint { .. }))
    });
    let Some(call) = taken.and_then(|entry| Call::of_entry(farm, settings, entry)) else {
        return Ok(());
    };
    let mut text = paragraph(&call_page::behind(&call.signs()), 0);
    text += &call_page::candidates(farm, &call);
    out::print(&text)?;
    if !call.is_narrowed() {
        let name = &call.name;
        voice::note(format!(
            "hint: when the pack is known, narrow it: `castlot complaint narrow {name} --pack PACK`"
        ));
    }
    Ok(())
}
