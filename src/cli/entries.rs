//! A list of entries: which ones concern a lot, a bin or a day, in what order, and how they are printed.

use serde::Serialize;

use crate::desk::telling::told;
use crate::farm::{
    BedName, BinCode, Clears, Entry, Event, Farm, LotCode, Moment, PackPick, Serial, Thrown, TipTo,
    Which,
};

use super::out::Ink;
use super::phrase::{WIDTH, broken, clock};

/// An entry as JSON. `struck_by` and `struck_why` stand on entries that were struck out.
#[derive(Debug, Serialize)]
pub struct EntryJson {
    number: u32,
    when: String,
    written: String,
    by: Option<String>,
    /// The kind of row, as in `castlot record NOUN`; null where the entry only strikes another.
    noun: Option<&'static str>,
    /// The lot it made.
    code: Option<String>,
    /// What it says, in one line.
    text: String,
    /// The entry that it strikes out.
    strikes: Option<u32>,
    struck_by: Option<u32>,
    struck_why: Option<String>,
}

/// Writes an entry as JSON.
pub fn json(farm: &Farm, entry: &Entry) -> EntryJson {
    let by = struck(farm, entry);
    EntryJson {
        number: entry.number,
        when: entry.when.to_string(),
        written: entry.written.to_string(),
        by: entry.by.as_ref().map(ToString::to_string),
        noun: entry.event.as_ref().map(|event| event.noun().word()),
        code: entry.made().map(|code| code.to_string()),
        text: told(farm, entry),
        strikes: entry.strikes.as_ref().map(|strike| strike.entry),
        struck_by: by.map(|(by, _)| by),
        struck_why: by.map(|(_, why)| why.to_owned()),
    }
}

/// Returns which entry struck this one out, and why.
fn struck<'a>(farm: &'a Farm, entry: &Entry) -> Option<(u32, &'a str)> {
    let by = farm.struck_by(entry.number)?;
    let why = farm.entry(by)?.strikes.as_ref()?.why.said();
    Some((by, why.unwrap_or("a reason since forgotten")))
}

/// Returns all entries in the order in which they happened, struck ones in their place.
///
/// Those that stand keep the order of the farm. One that was struck, or only strikes, comes in its own
/// day before the first that was written after it.
pub fn in_order(farm: &Farm) -> Vec<&Entry> {
    let all = farm.entries();
    let mut standing = farm.order().iter().map(|place| &all[*place]).peekable();
    let stands = |entry: &&Entry| entry.event.is_some() && farm.struck_by(entry.number).is_none();
    let mut others: Vec<&Entry> = all.iter().filter(|entry| !stands(entry)).collect();
    others.sort_by_key(|entry| (entry.when.day(), entry.number));
    let mut ordered = Vec::with_capacity(all.len());
    for other in others {
        let key = (other.when.day(), other.number);
        while let Some(entry) = standing.next_if(|e| (e.when.day(), e.number) < key) {
            ordered.push(entry);
        }
        ordered.push(other);
    }
    ordered.extend(standing);
    ordered
}

/// Tells whether an entry makes a lot or names it.
pub fn names_lot(entry: &Entry, code: LotCode) -> bool {
    entry.event.as_ref().is_some_and(|event| {
        event.makes().is_some_and(|lot| lot.code == code) || event.lots_named().contains(&code)
    })
}

/// Tells whether an entry may concern one pack of a run: its packing, or a row whose serials hold it or are not noted.
pub fn names_pack(entry: &Entry, run: LotCode, serial: Serial) -> bool {
    let picked = |packs: &[PackPick<_>]| {
        let mut of_run = packs.iter().filter(|pick| pick.run == run);
        of_run.any(|pick| match pick.which {
            Which::Serials(range) => range.holds(serial),
            Which::Unnumbered(_) | Which::All => true,
        })
    };
    match &entry.event {
        Some(
            Event::Sale { packs, .. }
            | Event::Return { packs, .. }
            | Event::Print { packs, .. }
            | Event::Thrown {
                what: Thrown::Packs(packs),
                ..
            },
        ) => picked(packs),
        Some(Event::Recall { lots, packs, .. }) => {
            picked(packs) || (packs.is_empty() && lots.contains(&run))
        }
        Some(Event::Complaint {
            pack: Some(pack), ..
        }) => pack.run == run && pack.serial.is_none_or(|other| other == serial),
        Some(event) => {
            let opened = |draw: &crate::farm::Draw<_>| {
                draw.lot == run && draw.packs.is_none_or(|range| range.holds(serial))
            };
            match event {
                Event::Feed { takes, .. } | Event::Bed { takes, .. } => takes.iter().any(opened),
                Event::Blend { from, .. } => from.iter().any(opened),
                _ => names_lot(entry, run),
            }
        }
        None => false,
    }
}

/// Tells whether an entry concerns a bin: it names the bin, or the bed that was in it then.
pub fn names_bin(farm: &Farm, entry: &Entry, bin: BinCode) -> bool {
    let Some(event) = &entry.event else {
        return false;
    };
    let mut named = Vec::new();
    match event {
        Event::Bin { bin, .. } | Event::Move { bin, .. } => named.push(BedName::Bin(*bin)),
        Event::Bed { bin, .. } => named.push(BedName::Bin(*bin)),
        Event::Feed { bed, .. } | Event::Skip { bed, .. } | Event::Check { bed, .. } => {
            named.push(*bed);
        }
        Event::Split { bed, to, .. } => named.extend([*bed, BedName::Bin(*to)]),
        Event::Tip { bed, to } => {
            named.push(*bed);
            named.push(match to {
                TipTo::Typed(bin) | TipTo::Empty(bin) => BedName::Bin(*bin),
                TipTo::Into(into) => *into,
            });
        }
        Event::Sieving { from, clears, .. } => {
            named.extend(from.iter().map(|sieved| sieved.bed));
            if let Clears::Named(beds) = clears {
                named.extend(beds);
            }
        }
        Event::Thrown {
            what: Thrown::Bed(bed),
            ..
        } => named.push(*bed),
        other => named.extend(other.lots_named().into_iter().map(BedName::Bed)),
    }
    named.iter().any(|name| match name {
        BedName::Bin(other) | BedName::Found { bin: other, .. } => *other == bin,
        BedName::Bed(code) => was_in(farm, *code, bin, entry.when),
    })
}

fn was_in(farm: &Farm, code: LotCode, bin: BinCode, when: Moment) -> bool {
    let stays = farm.lot_of(code).map(|id| &farm.lot(id).stays);
    stays.is_some_and(|stays| {
        stays.iter().any(|stay| {
            stay.bin == bin
                && stay.from.could_precede(when)
                && stay.to.is_none_or(|to| when.could_precede(to))
        })
    })
}

/// Prints entries under their days, a line each: number, time, who, what.
pub fn page(farm: &Farm, entries: &[&Entry], ink: Ink) -> String {
    let initials = |entry: &&Entry| {
        entry
            .by
            .as_ref()
            .map_or(0, |by| by.to_string().chars().count())
    };
    let who = entries.iter().map(initials).max().unwrap_or_default();
    let last = entries.iter().map(|entry| entry.number).max();
    let number = last.unwrap_or_default().to_string().len();
    let mut text = String::new();
    let mut day = None;
    for entry in entries {
        if day != Some(entry.when.day()) {
            day = Some(entry.when.day());
            text += &format!("{}\n", entry.when.day());
        }
        let by = entry
            .by
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default();
        let head = format!(
            "  {:>number$}  {:5}  {by:who$}  ",
            entry.number,
            clock(entry.when)
        );
        let indent = head.chars().count();
        let lines = broken(&told(farm, entry), WIDTH.saturating_sub(indent));
        let struck = struck(farm, entry);
        for (i, line) in lines.iter().enumerate() {
            let line = match struck {
                Some(_) => ink.struck(line),
                None => line.clone(),
            };
            let head = if i == 0 { head.as_str() } else { "" };
            text += &format!("{head:indent$}{line}\n");
        }
        if let Some((by, why)) = struck {
            let said = format!("struck by {by}: {why}");
            for line in broken(&said, WIDTH.saturating_sub(indent)) {
                text += &format!("{:indent$}{line}\n", "");
            }
        }
    }
    text
}
