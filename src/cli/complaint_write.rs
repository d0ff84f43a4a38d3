//! `castlot complaint narrow` and `settle`: what becomes of a call after it was taken.

use crate::desk::rows::put;
use crate::farm::{Noun, Strike};
use crate::sheets::{Known, Reader};

use super::complaint_show::find;
use super::complaint_take::named_pack;
use super::correct::replacement;
use super::failure::Failure;
use super::refusing::{misread, refused};
use super::shed::Shed;
use super::strike;
use super::write_down::{Said, Typing};

/// Name the pack of a complaint that had half a code.
///
/// Corrects the entry that took the call: it stays readable, struck through, and the new one has the pack. The other
/// runs that were suspects are suspects no longer.
///
/// Example: `castlot complaint narrow call-1 --pack "run-38 #2"`
#[derive(Debug, clap::Args)]
pub struct Narrow {
    /// The complaint's name.
    #[arg(value_name = "NAME")]
    name: String,
    /// The pack, or its run where nobody knows the serial: a code, a ref, or the text of its label.
    #[arg(long, value_name = "PACK")]
    pack: String,
    /// How it came to be known.
    #[arg(long, value_name = "WHY", default_value = "the pack is known now")]
    why: String,
}

/// Settle a complaint: say what came of it.
///
/// A settled complaint no longer counts among the open ones. It may be settled again, with more to say; it is never
/// opened again.
///
/// Example: `castlot complaint settle call-1 --why "only damp: aired and dried, and told them so"`
#[derive(Debug, clap::Args)]
pub struct Settle {
    /// The complaint's name.
    #[arg(value_name = "NAME")]
    name: String,
    /// What came of it.
    #[arg(long, value_name = "WHY")]
    why: String,
    #[command(flatten)]
    said: Said,
}

/// Narrows a complaint to a pack.
pub fn narrow(shed: &Shed, args: &Narrow) -> Result<(), Failure> {
    let why = strike::why(&args.why)?;
    let settings = shed.settings()?;
    let stamp = shed.stamp(&settings);
    let recording = shed.write(&settings, |farm| {
        let entry = find(farm, &settings, &args.name)?.entry;
        let pack = named_pack(farm, &settings, &args.pack).ok_or_else(|| {
            let typed = args.pack.trim();
            Failure::refused(format!("`{typed}` is no pack or pack run of this farm")).hint(
                format!("look for half a code with `castlot find '{typed}'`"),
            )
        })?;
        let set = [format!("pack={pack}")];
        let (row, _) = replacement(farm, entry, &set)?;
        let known = Known::of(farm);
        let draft = Reader::new(&settings, &known, entry.when).read(&row);
        let draft = draft.map_err(|problems| misread(&problems, Typing::Flags))?;
        let strike = Strike {
            entry: entry.number,
            why,
        };
        farm.correct(strike, draft, &stamp).map_err(refused)
    })?;
    shed.tell(&recording)
}

/// Settles a complaint.
pub fn settle(shed: &Shed, args: &Settle) -> Result<(), Failure> {
    shed.record(Typing::Flags, |farm, settings| {
        let call = find(farm, settings, &args.name)?;
        let mut row = args.said.row(Noun::Settlement);
        put(&mut row, "complaint", call.name.to_string());
        put(&mut row, "why", args.why.clone());
        Ok(vec![row])
    })
}
