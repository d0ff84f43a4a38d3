//! `castlot log`: the entries of a bin, a lot, a day or a worker, in the order in which they happened.
//!
//! `--json` prints `{"entries": [...]}`, each with `number`, `when`, `written`, `by`, `noun`, `code` (of the lot
//! it made), `text`, `strikes`, `struck_by` and `struck_why`.

use serde::Serialize;

use crate::desk::Subject;
use crate::farm::{Entry, Farm, Moment, Settings, Word};

use super::entries::{EntryJson, in_order, json, names_bin, names_lot, names_pack, page};
use super::failure::Failure;
use super::named::Asking;
use super::out;
use super::shed::Shed;

/// List the diary's entries in the order in which they happened.
///
/// Name a bin, a lot, a pack, or a day to see its own entries only; `--by RB` shows those of one worker.
/// Entries that were struck out are shown struck through, with who struck them and why.
///
/// Example: castlot log A07 --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A bin, a lot, a pack, or a day such as 2026-04-25; all entries without one.
    #[arg(value_name = "CODE|BIN|DAY")]
    what: Option<String>,
}

#[derive(Serialize)]
struct Log {
    entries: Vec<EntryJson>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed, args)?)
}

fn text(farm: &Farm, settings: &Settings, shed: &Shed, args: &Args) -> Result<String, Failure> {
    let entries = chosen(farm, settings, shed, args)?;
    if shed.json {
        let entries = entries.iter().map(|entry| json(farm, entry)).collect();
        return Ok(out::json(&Log { entries }));
    }
    if entries.is_empty() {
        return Ok("no entries\n".to_owned());
    }
    Ok(page(farm, &entries, shed.ink))
}

fn chosen<'a>(
    farm: &'a Farm,
    settings: &Settings,
    shed: &Shed,
    args: &Args,
) -> Result<Vec<&'a Entry>, Failure> {
    let mut entries = in_order(farm);
    if let Some(by) = &shed.asked_by {
        let same = |other: &Word| {
            let (by, other) = (by.to_string(), other.to_string());
            by.eq_ignore_ascii_case(&other)
        };
        entries.retain(|entry| entry.by.as_ref().is_some_and(same));
    }
    let Some(what) = &args.what else {
        return Ok(entries);
    };
    if let Ok(moment) = Moment::read(what, settings.dates, &settings.zone) {
        entries.retain(|entry| entry.when.day() == moment.day());
        return Ok(entries);
    }
    let asking = Asking {
        farm,
        settings,
        command: "log",
    };
    match asking.find(what)? {
        Subject::Lot(id) => {
            let code = farm.lot(id).code;
            entries.retain(|entry| names_lot(entry, code));
        }
        Subject::Struck(code, _) => entries.retain(|entry| names_lot(entry, code)),
        Subject::Pack(id, serial) => {
            let code = farm.lot(id).code;
            entries.retain(|entry| names_pack(entry, code, serial));
        }
        Subject::Bin(bin) => entries.retain(|entry| names_bin(farm, entry, bin)),
        Subject::Rack(rack) => {
            let on_rack: Vec<_> = farm
                .bins()
                .iter()
                .filter(|(_, bin)| {
                    bin.standing
                        .as_ref()
                        .is_some_and(|s| s.place.rack() == rack)
                })
                .map(|(code, _)| *code)
                .collect();
            entries.retain(|entry| on_rack.iter().any(|bin| names_bin(farm, entry, *bin)));
        }
    }
    Ok(entries)
}

#[cfg(test)]
mod tests {
    use super::super::test_farm::{Print, farm, settings, shed};
    use super::*;

    fn logged(what: Option<&str>, shed: &Shed) -> String {
        let what = what.map(ToOwned::to_owned);
        match text(&farm(), &settings(), shed, &Args { what }) {
            Ok(text) => text,
            Err(failure) => format!("{failure:#?}"),
        }
    }

    #[test]
    fn a_bin_has_its_entries_in_order_with_struck_ones_struck_through() {
        insta::assert_snapshot!(logged(Some("A01"), &shed(Print::Text)), @"
        2026-03-01
           6             bin A01 set up at R1/S1/P1, for Eisenia fetida
        2026-03-02
           9  09:00      A01 bedded up from straw-1 6kg, worms-1 1kg: B26061-01-B
        2026-03-05
          11  09:00  NT  A01 fed manure-1 2kg
        2026-03-12
          13  09:00  NT  A01 fed grain-1 ~1kg
        2026-03-20
          14         RB  ~A01 not fed: lots of feed left~
                         struck by 34: wrong bin
        2026-04-10
          16  09:00      4kg of castings taken from A01, all cleared, as cast-1:
                         H26100-01-G
          17  09:00      900g of worms taken from A01, as worms-out: H26100-02-E
        ");
    }

    #[test]
    fn a_lot_a_day_and_a_worker_have_theirs() {
        insta::assert_snapshot!(logged(Some("blend-1"), &shed(Print::Text)), @"
        2026-04-13
          19  09:00    castings mixed from cast-1 3kg, cast-2 2kg, as blend-1:
                       H26103-01-T
          20  10:00    blend-1 tested: density 600 g/L, by 5 L jug
        2026-04-14
          21  09:00    3 bags of Worm-worked compost 5L packed from blend-1 3kg, bags-1
                       3, as run-1: P26104-01-R
        ");
        insta::assert_snapshot!(logged(Some("2026-04-19"), &shed(Print::Text)), @"
        2026-04-19
          25           run-1 x1, tubs-1 #1-2 sold at Quay market
          26  17:00    tubs-1 #2 came back unsold from Quay market
        ");
        let rb = Shed {
            asked_by: Word::of("rb"),
            ..shed(Print::Text)
        };
        insta::assert_snapshot!(logged(None, &rb), @"
        2026-03-01
           3         RB  4kg of composting worms (worms) came from a worm farm, as
                         worms-1: G26060-03-J
           4         RB  ~10kg of grain (feedstock) came from a brewery, as grain-1:
                         G26060-04-H
           5         RB  50 of 5 L bags (packing) came from a sack merchant, as bags-1:
                         G26060-05-F
        2026-03-20
          14         RB  ~A01 not fed: lots of feed left~
                         struck by 34: wrong bin
        2026-04-20
          27  09:00  RB  A02 fed manure-1 1kg
        ");
        assert_eq!(logged(Some("2026-04-19"), &rb), "no entries\n");
    }

    #[test]
    fn the_log_as_json_has_its_keys() {
        insta::assert_snapshot!(logged(Some("2026-03-20"), &shed(Print::Json)), @r#"
        {
          "entries": [
            {
              "number": 14,
              "when": "2026-03-20",
              "written": "2026-06-01T12:00:00Z",
              "by": "RB",
              "noun": "skip",
              "code": null,
              "text": "A01 not fed: lots of feed left",
              "strikes": null,
              "struck_by": 34,
              "struck_why": "wrong bin"
            }
          ]
        }
        "#);
    }

    #[test]
    fn every_entry_stands_in_the_whole_log_once() {
        let farm = farm();
        let mut numbers: Vec<u32> = in_order(&farm).iter().map(|entry| entry.number).collect();
        numbers.sort_unstable();
        let all: Vec<u32> = farm.entries().iter().map(|entry| entry.number).collect();
        assert_eq!(numbers, all);
    }
}
