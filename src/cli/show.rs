//! `castlot show`: all that the diary says of a lot, a pack, a bin or a rack.
//!
//! The JSON of `--json` is in `show_json`.

use crate::farm::{
    BinCode, DeliveryFacts, Ending, Entry, EntryNumber, Event, Farm, LotCode, LotId, LotSort, Noun,
    Quantity, Serial, Settings,
};

use super::alert::alerts;
use super::beds::walking_order;
use super::entries::{in_order, names_bin, names_lot, names_pack, page};
use super::failure::Failure;
use super::named::{Asking, Subject, called};
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
    ink: Ink,
}

impl Shown<'_> {
    fn lot(&self, id: LotId) -> String {
        let lot = self.farm.lot(id);
        let mut text = format!("{}: {}\n", called(self.farm, id), lot.code);
        for alert in alerts(self.farm, id) {
            text += &paragraph(&alert, 0);
        }
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
        for bin in walking_order(self.farm) {
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
mod tests {
    use super::super::test_farm::{Print, farm, settings, shed};
    use super::*;

    fn seen(code: &str, print: Print) -> String {
        let code = code.split_whitespace().map(ToOwned::to_owned).collect();
        match text(&farm(), &settings(), &shed(print), &Args { code }) {
            Ok(text) => text,
            Err(failure) => format!("{failure:#?}"),
        }
    }

    #[test]
    fn a_delivery_a_bed_a_batch_a_run_and_a_bin_are_shown_whole() {
        insta::assert_snapshot!(seen("manure-1", Print::Text), @"
        horse manure (manure-1): G26060-02-L
        ON HOLD since 2026-05-21 10:00: hay was never vouched for
        manure from a livery yard upriver, came 2026-03-01
        hay sprayed: not known
        30kg, nobody knows how much is left

        2026-03-01
           2         NT  30kg of horse manure (manure) came from a livery yard upriver,
                         as manure-1: G26060-02-L
        2026-03-05
          11  09:00  NT  A01 fed manure-1 2kg
          12  09:05  NT  A02 fed manure-1 2kg
        2026-04-20
          27  09:00  RB  A02 fed manure-1 1kg
        2026-04-29
          30             manure-1 ? thrown out: went sour
        2026-05-21
          33  10:00      manure-1 put on hold, with all it is part of: hay was never
                         vouched for
        ");
        insta::assert_snapshot!(seen("B26061-02-9", Print::Text), @"
        bed in A02: B26061-02-9
        ON HOLD for horse manure (manure-1) since 2026-05-21 10:00: hay was never
        vouched for
        Eisenia fetida
        in A02 since 2026-03-02 09:10

        2026-03-02
          10  09:10      A02 bedded up from straw-1 6kg, worms-1 1kg: B26061-02-9
        2026-03-05
          12  09:05  NT  A02 fed manure-1 2kg
        2026-03-25
          15  10:00      1 of 3 of A02 split off into A10: B26084-01-T
        2026-04-12
          18  09:00      2kg of castings taken from A02, as cast-2: H26102-01-Z
        2026-04-20
          27  09:00  RB  A02 fed manure-1 1kg
        2026-04-21
          28             A02 looked at: some of the feed left, 17.5 °C
        ");
        insta::assert_snapshot!(seen("cast-2", Print::Text), @"
        castings (cast-2): H26102-01-Z
        ON HOLD for horse manure (manure-1) since 2026-05-21 10:00: hay was never
        vouched for
        taken 2026-04-12 09:00
        2kg, all used up

        2026-04-12
          18  09:00    2kg of castings taken from A02, as cast-2: H26102-01-Z
        2026-04-13
          19  09:00    castings mixed from cast-1 3kg, cast-2 2kg, as blend-1:
                       H26103-01-T
        ");
        insta::assert_snapshot!(seen("tubs-1", Print::Text), @"
        Bait worms, 50 (tubs-1): P26106-01-B
        packed 2026-04-16 09:00, best by 2026-04-30
        4 packs, 2 sold, 1 came back, 3 in store

        2026-04-16
          23  09:00    4 tubs of Bait worms 50 packed from worms-out 400g, as tubs-1,
                       best by 2026-04-30: P26106-01-B
        2026-04-19
          25           run-1 x1, tubs-1 #1-2 sold at Quay market
          26  17:00    tubs-1 #2 came back unsold from Quay market
        ");
        insta::assert_snapshot!(seen("A01", Print::Text), @"
        bin A01, R1/S1/P1
        empty

        The bin
        2026-03-01
          6           bin A01 set up at R1/S1/P1, for Eisenia fetida

        Beds it held before, the last first
          2026-03-02 to 2026-04-10: B26061-01-B
        ");
        insta::assert_snapshot!(seen("R1", Print::Text), @"
        rack R1
          R1/S1/P1  A01: empty
          R1/S1/P2  A02: B26061-02-9
          R1/S1/P10  A10: B26084-01-T
        ");
    }

    #[test]
    fn a_scanned_label_shows_its_pack() {
        insta::assert_snapshot!(seen("HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26104-01-R?0001", Print::Text), @"
        Worm-worked compost 5L (run-1), one pack: P26104-01-R/0001
        ON HOLD for horse manure (manure-1) since 2026-05-21 10:00: hay was never
        vouched for
        packed 2026-04-14 09:00
        sold

        2026-04-14
          21  09:00    3 bags of Worm-worked compost 5L packed from blend-1 3kg, bags-1
                       3, as run-1: P26104-01-R
        2026-04-18
          24           run-1 #1 sold to a nursery
        2026-04-19
          25           run-1 x1, tubs-1 #1-2 sold at Quay market
        2026-05-20
          32  10:00    complaint about run-1 #1: curled leaves, reach them 01632 960847
        ");
    }

    #[test]
    fn a_pack_as_json_has_its_keys() {
        insta::assert_snapshot!(seen("tubs-1#2", Print::Json), @r#"
        {
          "what": "pack",
          "code": "P26106-01-B/0002",
          "ref": "tubs-1",
          "kind": "pack run",
          "name": "Bait worms, 50",
          "when": "2026-04-16T09:00",
          "species": "Eisenia fetida",
          "serial": 2,
          "fate": "in store",
          "place": null,
          "bed": null,
          "beds": [],
          "bins": [],
          "stays": [],
          "ended": null,
          "stock": null,
          "packs": {
            "made": 4,
            "sold": 2,
            "returned": 1,
            "thrown": 0,
            "opened": 0,
            "complained": 0,
            "lost": 0,
            "in_store": 3
          },
          "held": [],
          "recalls": [],
          "complaints": [],
          "tests": [],
          "prints": [],
          "entries": [
            {
              "number": 23,
              "when": "2026-04-16T09:00",
              "written": "2026-06-01T12:00:00Z",
              "by": null,
              "noun": "pack",
              "code": "P26106-01-B",
              "text": "4 tubs of Bait worms 50 packed from worms-out 400g, as tubs-1, best by 2026-04-30: P26106-01-B",
              "strikes": null,
              "struck_by": null,
              "struck_why": null
            },
            {
              "number": 25,
              "when": "2026-04-19",
              "written": "2026-06-01T12:00:00Z",
              "by": null,
              "noun": "sale",
              "code": null,
              "text": "run-1 x1, tubs-1 #1-2 sold at Quay market",
              "strikes": null,
              "struck_by": null,
              "struck_why": null
            },
            {
              "number": 26,
              "when": "2026-04-19T17:00",
              "written": "2026-06-01T12:00:00Z",
              "by": null,
              "noun": "return",
              "code": null,
              "text": "tubs-1 #2 came back unsold from Quay market",
              "strikes": null,
              "struck_by": null,
              "struck_why": null
            }
          ]
        }
        "#);
    }

    #[test]
    fn a_slip_offers_the_nearest_codes_and_leaves_with_2() {
        insta::assert_snapshot!(seen("P26104-01-X", Print::Text), @r#"
        Failure {
            kind: Refused,
            texts: [
                "`P26104-01-X` has a slip in it: its last character does not fit the rest",
            ],
            hints: [
                "Worm-worked compost 5L (run-1): `castlot show P26104-01-R`",
                "Worm-worked compost 5L (run-2): `castlot show P26105-01-J`",
                "Bait worms, 50 (tubs-1): `castlot show P26106-01-B`",
            ],
        }
        "#);
        insta::assert_snapshot!(seen("run-3", Print::Text), @r#"
        Failure {
            kind: Refused,
            texts: [
                "no lot, bin or rack is called `run-3`",
            ],
            hints: [
                "Worm-worked compost 5L (run-1): `castlot show P26104-01-R`",
                "Worm-worked compost 5L (run-2): `castlot show P26105-01-J`",
            ],
        }
        "#);
        insta::assert_snapshot!(seen("run-1/9", Print::Text), @r#"
        Failure {
            kind: Refused,
            texts: [
                "P26104-01-R has 3 packs; there is no #9",
            ],
            hints: [],
        }
        "#);
        insta::assert_snapshot!(seen("cast-1/9", Print::Text), @r#"
        Failure {
            kind: Refused,
            texts: [
                "H26100-01-G is castings; only pack runs have serials",
            ],
            hints: [
                "leave the serial out: `castlot show H26100-01-G`",
            ],
        }
        "#);
        insta::assert_snapshot!(seen("Z99", Print::Text), @r#"
        Failure {
            kind: Refused,
            texts: [
                "no bin or rack is called `Z99`",
            ],
            hints: [
                "see every bin with `castlot beds`",
            ],
        }
        "#);
    }

    #[test]
    fn what_names_nothing_is_refused() {
        for typed in [
            "",
            " ",
            "/",
            "#",
            "ü",
            "P26104",
            "run-1/",
            "run-1/0",
            "\u{1b}[2J",
            "all",
            "ALL",
        ] {
            assert!(seen(typed, Print::Text).contains("Refused"), "{typed}");
            assert!(seen(typed, Print::Json).contains("Refused"), "{typed}");
        }
    }
}
