//! `castlot beds`: every bed there is, in the order one walks past them.
//!
//! `--json` prints `{"beds": [...]}`, each with `bin`, `place`, `code`, `ref`, `species`, `since`, `fed` (`when` and
//! `what` of the last feed, or null), `checked` (`when` and `feed_left` of the last check, or null) and `held` (the
//! codes of the lots whose holds reach it).

use serde::Serialize;

use crate::farm::{Entry, Event, Farm, FeedLeft, LotId};
use crate::trace::held;
use crate::trade::short_species;

use super::awaiting;
use super::failure::Failure;
use super::out;
use super::phrase::count;
use super::shed::Shed;
use super::table::{Set, Table};

/// List every bed in walking order: by rack, shelf and place.
///
/// Each with its species, when it was bedded up, its last feed, how much of it was left at the last check,
/// and whether a hold reaches it.
///
/// Example: castlot beds --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {}

#[derive(Debug, Serialize)]
struct Beds {
    beds: Vec<Bed>,
}

#[derive(Debug, Serialize)]
struct Bed {
    bin: String,
    place: Option<String>,
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    species: Option<String>,
    since: String,
    fed: Option<Fed>,
    checked: Option<Checked>,
    held: Vec<String>,
    #[serde(skip)]
    rack: Option<String>,
}

#[derive(Debug, Serialize)]
struct Fed {
    when: String,
    what: String,
}

#[derive(Debug, Serialize)]
struct Checked {
    when: String,
    feed_left: Option<&'static str>,
}

/// Runs it.
pub fn run(shed: &Shed, _args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let mut text = text(&farm, shed);
    if !shed.json {
        text += &awaiting::lines(&farm, &settings, shed.stamp(&settings).now.day());
    }
    out::print(&text)
}

fn text(farm: &Farm, shed: &Shed) -> String {
    let beds = Beds { beds: beds(farm) };
    if shed.json {
        out::json(&beds)
    } else {
        page(&beds.beds)
    }
}

fn beds(farm: &Farm) -> Vec<Bed> {
    let last = farm.visits();
    let holds = held(farm);
    let occupied = farm.walking_order().into_iter().filter_map(|bin| {
        let standing = &farm.bins()[&bin];
        Some((
            bin,
            standing.standing.as_ref().map(|s| &s.place),
            standing.bed?,
        ))
    });
    occupied
        .map(|(bin, place, id)| {
            let lot = farm.lot(id);
            let entry = |place: usize| &farm.entries()[place];
            let visits = last.get(&id).cloned().unwrap_or_default();
            let last_fed = visits.feeds.first().copied();
            let since = lot.stays.last().map_or(lot.when, |stay| stay.from);
            let held = holds.get(&id).into_iter().flatten();
            Bed {
                bin: bin.to_string(),
                place: place.map(ToString::to_string),
                code: lot.code.to_string(),
                mark: lot.mark.as_ref().map(ToString::to_string),
                species: species(farm, id),
                since: since.to_string(),
                fed: last_fed.and_then(|place| fed(farm, entry(place))),
                checked: visits.checked.map(|place| checked(entry(place))),
                held: held
                    .map(|by| farm.lot(by.origin).code.to_string())
                    .collect(),
                rack: place.map(|place| place.rack().to_owned()),
            }
        })
        .collect()
}

fn species(farm: &Farm, id: LotId) -> Option<String> {
    farm.species(id).map(ToOwned::to_owned)
}

fn checked(entry: &Entry) -> Checked {
    let feed_left = match &entry.event {
        Some(Event::Check { facts, .. }) => facts.feed_left,
        _ => None,
    };
    Checked {
        when: entry.when.to_string(),
        feed_left: feed_left.map(FeedLeft::word),
    }
}

fn fed(farm: &Farm, entry: &Entry) -> Option<Fed> {
    let Some(Event::Feed { takes, .. }) = &entry.event else {
        return None;
    };
    let taken: Vec<String> = takes
        .iter()
        .map(|draw| {
            let lot = farm.lot_of(draw.lot).map(|id| farm.lot(id));
            let mark = lot.and_then(|lot| lot.mark.as_ref());
            let name = mark.map_or_else(|| draw.lot.to_string(), ToString::to_string);
            format!("{name} {}", draw.amount)
        })
        .collect();
    Some(Fed {
        when: entry.when.to_string(),
        what: taken.join(", "),
    })
}

fn page(beds: &[Bed]) -> String {
    if beds.is_empty() {
        return "no bed in any bin\n".to_owned();
    }
    let mut text = String::new();
    let mut racks: Vec<Option<&String>> = beds.iter().map(|bed| bed.rack.as_ref()).collect();
    racks.dedup();
    for rack in racks {
        let name = rack.map_or("no place noted", String::as_str);
        text += &format!("\n{name}\n");
        let mut table = Table::new(&[
            ("bin", Set::Whole),
            ("species", Set::Whole),
            ("since", Set::Whole),
            ("last fed", Set::Text),
            ("left", Set::Whole),
            ("", Set::Whole),
            ("bed", Set::Whole),
        ]);
        for bed in beds.iter().filter(|bed| bed.rack.as_ref() == rack) {
            table.row(row(bed));
        }
        text += &table.to_string();
    }
    let held = beds.iter().filter(|bed| !bed.held.is_empty()).count();
    let total = count(beds.len() as u64, "bed", "beds");
    text += &match held {
        0 => format!("\n{total}\n"),
        held => format!("\n{total}, {held} of them on hold\n"),
    };
    text.trim_start().to_owned()
}

fn row(bed: &Bed) -> Vec<String> {
    let fed = bed.fed.as_ref().map_or_else(
        || "not yet".to_owned(),
        |fed| format!("{} {}", day(&fed.when), fed.what),
    );
    // What was left is worth reading only if somebody looked after the last feed.
    let checked = bed.checked.as_ref().filter(|checked| {
        let fed = bed.fed.as_ref();
        fed.is_none_or(|fed| day(&checked.when) >= day(&fed.when))
    });
    let left = checked
        .and_then(|checked| checked.feed_left)
        .unwrap_or_default();
    let hold = if bed.held.is_empty() { "" } else { "HOLD" };
    vec![
        bed.bin.clone(),
        short_species(bed.species.as_deref().unwrap_or_default()),
        day(&bed.since).to_owned(),
        fed,
        left.to_owned(),
        hold.to_owned(),
        bed.code.clone(),
    ]
}

/// Returns the day's part of a moment.
fn day(when: &str) -> &str {
    when.split('T').next().unwrap_or(when)
}

#[cfg(test)]
mod tests {
    use super::super::test_farm::{Print, farm, shed};
    use super::*;

    #[test]
    fn beds_stand_in_walking_order_with_what_one_wants_to_know() {
        insta::assert_snapshot!(text(&farm(), &shed(Print::Text)), @"
        R1
          bin  species    since       last fed                 left        bed
          A02  E. fetida  2026-03-02  2026-04-20 manure-1 1kg  some  HOLD  B26061-02-9
          A10  E. fetida  2026-03-25  not yet                        HOLD  B26084-01-T

        2 beds, 2 of them on hold
        ");
    }

    #[test]
    fn beds_as_json_have_their_keys() {
        insta::assert_snapshot!(text(&farm(), &shed(Print::Json)), @r#"
        {
          "beds": [
            {
              "bin": "A02",
              "place": "R1/S1/P2",
              "code": "B26061-02-9",
              "ref": null,
              "species": "Eisenia fetida",
              "since": "2026-03-02T09:10",
              "fed": {
                "when": "2026-04-20T09:00",
                "what": "manure-1 1kg"
              },
              "checked": {
                "when": "2026-04-21",
                "feed_left": "some"
              },
              "held": [
                "G26060-02-L"
              ]
            },
            {
              "bin": "A10",
              "place": "R1/S1/P10",
              "code": "B26084-01-T",
              "ref": null,
              "species": "Eisenia fetida",
              "since": "2026-03-25T10:00",
              "fed": null,
              "checked": null,
              "held": [
                "G26060-02-L"
              ]
            }
          ]
        }
        "#);
    }

    #[test]
    fn an_empty_farm_says_so() {
        assert_eq!(
            text(&Farm::default(), &shed(Print::Text)),
            "no bed in any bin\n"
        );
    }
}
