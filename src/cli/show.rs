//! `castlot show`: all that the diary says of a lot, a pack, a bin or a rack.
//!
//! The JSON of `--json` is in `show_json`.

use crate::desk::alert::alerts;
use crate::desk::{Subject, called};
use crate::farm::{
    BinCode, DeliveryFacts, Ending, Entry, EntryNumber, Event, Farm, LotCode, LotId, LotSort, Noun,
    Quantity, Serial, Settings,
};

use super::awaiting;
use super::entries::{in_order, names_bin, names_lot, names_pack, page};
use super::failure::Failure;
use super::named::Asking;
use super::out::{self, Ink};
use super::phrase::{at, count, paragraph};
use super::sales::fate_word;
use super::shed::Shed;
use super::stock::left;
use super::{bed_list::lived, show_json};

/// Show a lot, a pack, a bin or a rack: what it is, and every entry about it.
///
/// CODE may be a code, a ref, a bin, a rack, or the text that a scanner reads from a label. Entries that were
/// struck out are shown struck through. A code with a slip in it is refused, and the nearest ones offered.
///
/// Example: castlot show manure-2 --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What to show.
    #[arg(required = true)]
    code: Vec<String>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed, args)?)
}

fn text(farm: &Farm, settings: &Settings, shed: &Shed, args: &Args) -> Result<String, Failure> {
    let asking = Asking {
        farm,
        settings,
        command: "show",
    };
    // A scanned line comes as many words unless it is quoted.
    let subject = asking.find(&args.code.join(" "))?;
    if shed.json {
        return Ok(show_json::text(farm, &subject));
    }
    let shown = Shown {
        farm,
        settings,
        ink: shed.ink,
    };
    Ok(match subject {
        Subject::Lot(lot) => shown.lot(lot),
        Subject::Pack(run, serial) => shown.pack(run, serial),
        Subject::Struck(code, by) => shown.struck(code, by),
        Subject::Bin(bin) => shown.bin(bin),
        Subject::Rack(rack) => shown.rack(&rack),
    })
}

struct Shown<'a> {
    farm: &'a Farm,
    settings: &'a Settings,
    ink: Ink,
}

impl Shown<'_> {
    fn lot(&self, id: LotId) -> String {
        let lot = self.farm.lot(id);
        let mut text = format!("{}: {}\n", called(self.farm, id), lot.code);
        for alert in alerts(self.farm, id) {
            text += &paragraph(&alert, 0);
        }
        text += &awaiting::line(self.farm, self.settings, id);
        text += &match lot.sort {
            LotSort::Delivery(_) => self.delivery(id),
            LotSort::Bed => self.bed(id),
            LotSort::Batch(_) => self.batch(id),
            LotSort::Run(_) => self.packs(id),
        };
        text + &self.entries(|entry| names_lot(entry, lot.code))
    }

    fn delivery(&self, id: LotId) -> String {
        let Some(facts) = self.farm.delivery(id) else {
            return String::new();
        };
        let (kind, from) = (facts.kind, &facts.supplier);
        let when = at(self.farm.lot(id).when);
        let mut text = paragraph(&format!("{kind} from {from}, came {when}"), 0);
        let said = said_of(facts);
        if !said.is_empty() {
            text += &paragraph(&said.join("; "), 0);
        }
        text + &self.stock(id)
    }

    fn bed(&self, id: LotId) -> String {
        let lot = self.farm.lot(id);
        let mut text = String::new();
        if let Some(species) = self.farm.species(id) {
            text += &format!("{species}\n");
        }
        for stay in &lot.stays {
            text += &match stay.to {
                None => format!("in {} since {}\n", stay.bin, at(stay.from)),
                Some(to) => format!("in {} from {} to {}\n", stay.bin, at(stay.from), at(to)),
            };
        }
        if let Some(ending) = lot.ended {
            text += &format!("ended {}: {}\n", at(ending.when), self.how_ended(ending));
        }
        text
    }

    fn how_ended(&self, ending: Ending) -> String {
        let entry = &self.farm.entries()[ending.entry];
        let how = match &entry.event {
            Some(Event::Tip { .. }) => "tipped into another bed",
            Some(Event::Thrown { .. }) => "thrown out",
            Some(_) | None => "sieved and cleared",
        };
        format!("{how} (entry {})", entry.number)
    }

    fn batch(&self, id: LotId) -> String {
        let when = at(self.farm.lot(id).when);
        let how = match self.farm.making(id) {
            Event::Blend { .. } => "mixed",
            _ => "taken",
        };
        format!("{how} {when}\n{}", self.stock(id))
    }

    /// What there was of a delivery or batch, and what is left.
    fn stock(&self, id: LotId) -> String {
        let lot = self.farm.lot(id);
        let made = self.farm.made_amount(id);
        let made = made.map_or_else(|| "?".to_owned(), |amount| amount.to_string());
        let sure = if lot.stock.is_sure() { "" } else { "~" };
        let mut text = match (left(self.farm, id), lot.stock.unit) {
            (Some(0), _) => format!("{made}, all used up"),
            (Some(left), Some(unit)) => format!("{made}, {sure}{} left", Quantity::new(left, unit)),
            (Some(_), None) | (None, _) => format!("{made}, nobody knows how much is left"),
        };
        if let (thrown @ 1.., Some(unit)) = (lot.stock.thrown, lot.stock.unit) {
            text += &format!(", {} thrown out", Quantity::new(thrown, unit));
        }
        text + "\n"
    }

    fn packs(&self, id: LotId) -> String {
        let lot = self.farm.lot(id);
        let Some(shelf) = &lot.shelf else {
            return String::new();
        };
        let mut text = format!("packed {}", at(lot.when));
        if let Event::Pack {
            best_by: Some(day), ..
        } = self.farm.making(id)
        {
            text += &format!(", best by {day}");
        }
        let fates = [
            (i64::from(shelf.sold()), "sold"),
            (i64::from(shelf.returned()), "came back"),
            (i64::from(shelf.thrown()), "thrown out"),
            (i64::from(shelf.opened()), "opened and used again"),
            (
                i64::from(shelf.complained()),
                "kept apart after a complaint",
            ),
            (shelf.lost(), "missing when counted"),
        ];
        text += &format!("\n{}", count(shelf.made(), "pack", "packs"));
        for (number, what) in fates.iter().filter(|(number, _)| *number != 0) {
            text += &format!(", {number} {what}");
        }
        let mut text = format!("{text}, {} in store\n", shelf.in_store());
        if shelf.has_unnumbered() {
            text += "some went without their serials noted: any pack in store may be among them\n";
        }
        text
    }

    fn pack(&self, run: LotId, serial: Serial) -> String {
        let lot = self.farm.lot(run);
        let code = lot.code;
        let mut text = format!("{}, one pack: {code}/{serial}\n", called(self.farm, run));
        for alert in alerts(self.farm, run) {
            text += &paragraph(&alert, 0);
        }
        text += &format!("packed {}", at(lot.when));
        if let Event::Pack {
            best_by: Some(day), ..
        } = self.farm.making(run)
        {
            text += &format!(", best by {day}");
        }
        if let Some(shelf) = &lot.shelf {
            text += &format!("\n{}", fate_word(shelf.fate(serial)));
            if shelf.has_unnumbered() && shelf.fate(serial) == Some(crate::farm::Fate::InStore) {
                text += ", or among those that went without their serials noted";
            }
        }
        text + "\n" + &self.entries(|entry| names_pack(entry, code, serial))
    }

    fn struck(&self, code: LotCode, by: EntryNumber) -> String {
        let why = self.farm.entry(by).and_then(|entry| entry.strikes.as_ref());
        let why = why
            .map(|strike| format!(": {}", strike.why))
            .unwrap_or_default();
        let head = format!("{code} was struck out by entry {by}{why}\n");
        head + &self.entries(|entry| names_lot(entry, code))
    }

    fn bin(&self, bin: BinCode) -> String {
        let Some(found) = self.farm.bins().get(&bin) else {
            return String::new();
        };
        let place = found.standing.as_ref().map(|s| s.place.to_string());
        let place = place.unwrap_or_else(|| "no place noted".to_owned());
        let mut text = format!("bin {bin}, {place}\n");
        if let Some(facts) = found.standing.as_ref().map(|s| &s.facts) {
            let sides = [facts.length_mm, facts.width_mm, facts.depth_mm];
            let sides: Vec<String> = sides.iter().flatten().map(ToString::to_string).collect();
            let size = (!sides.is_empty()).then(|| format!("{} mm inside", sides.join(" × ")));
            let material = facts.material.as_ref().map(ToString::to_string);
            let parts: Vec<String> = size.into_iter().chain(material).collect();
            if !parts.is_empty() {
                text += &format!("{}\n", parts.join(", "));
            }
        }
        match found.bed {
            Some(bed) => text += &format!("\nin it now: {}", self.lot(bed)),
            None => text += "empty\n",
        }
        let earlier = found.beds.iter().copied();
        let earlier: Vec<LotId> = earlier.filter(|id| found.bed != Some(*id)).collect();
        text + &self.entries_of_bin(bin) + &self.past(&earlier)
    }

    /// Entries about the bin itself: set up, moved.
    fn entries_of_bin(&self, bin: BinCode) -> String {
        let of_bin = |entry: &Entry| {
            let noun = entry.event.as_ref().map(Event::noun);
            matches!(noun, Some(Noun::Bin | Noun::Move)) && names_bin(self.farm, entry, bin)
        };
        let entries = in_order(self.farm);
        let entries: Vec<&Entry> = entries.into_iter().filter(|e| of_bin(e)).collect();
        if entries.is_empty() {
            String::new()
        } else {
            format!("\nThe bin\n{}", page(self.farm, &entries, self.ink))
        }
    }

    fn past(&self, beds: &[LotId]) -> String {
        let mut text = String::new();
        for id in beds.iter().rev() {
            let lot = self.farm.lot(*id);
            let lived = lived(lot.when, lot.ended.map(|ending| ending.when));
            text += &format!("  {lived}: {}\n", lot.code);
        }
        if text.is_empty() {
            text
        } else {
            format!("\nBeds it held before, the last first\n{text}")
        }
    }

    fn rack(&self, rack: &str) -> String {
        let mut text = format!("rack {rack}\n");
        for bin in self.farm.walking_order() {
            let found = &self.farm.bins()[&bin];
            let Some(standing) = found.standing.as_ref().filter(|s| s.place.rack() == rack) else {
                continue;
            };
            let bed = found.bed.map_or_else(
                || "empty".to_owned(),
                |bed| self.farm.lot(bed).code.to_string(),
            );
            text += &format!("  {}  {bin}: {bed}\n", standing.place);
        }
        if text.lines().nth(1).is_none() {
            text += "no bin stands on it now\n";
        }
        text
    }

    fn entries(&self, concerns: impl Fn(&Entry) -> bool) -> String {
        let entries: Vec<_> = in_order(self.farm)
            .into_iter()
            .filter(|entry| concerns(entry))
            .collect();
        format!("\n{}", page(self.farm, &entries, self.ink))
    }
}

/// Returns what is known of a delivery beside its kind and supplier, a phrase each.
fn said_of(facts: &DeliveryFacts) -> Vec<String> {
    let with = |label: &str, value: Option<String>| value.map(|value| format!("{label} {value}"));
    let text = |value: &Option<Box<str>>| value.as_ref().map(ToString::to_string);
    let wormed = facts
        .wormed_on
        .map(|day| format!(" on {day}"))
        .unwrap_or_default();
    let parts = [
        with("their lot", text(&facts.supplier_lot)),
        text(&facts.species),
        with("animal:", text(&facts.animal)),
        with("origin:", text(&facts.origin)),
        facts.age_days.map(|days| format!("{days} days old")),
        with("heat treated:", facts.heat_treated.map(|h| h.to_string())),
        with("hay:", text(&facts.hay_from)),
        with("hay sprayed:", facts.hay_sprayed.map(|h| h.to_string())),
        facts
            .wormer
            .as_ref()
            .map(|wormer| format!("wormer: {wormer}{wormed}")),
        with("said by", facts.said_by.as_ref().map(ToString::to_string)),
        with("said on", facts.said_on.map(|day| day.to_string())),
        with("sample kept:", text(&facts.kept_sample)),
        with("certificate", text(&facts.certificate)),
    ];
    parts.into_iter().flatten().collect()
}

#[cfg(test)]
#[path = "show_test.rs"]
mod tests;
