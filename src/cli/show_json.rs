//! `castlot show --json`: one object.
//!
//! - `what`: `delivery`, `bed`, `batch`, `pack run`, `pack`, `struck lot`, `bin` or `rack`.
//! - `code`: the lot's code, the bin's or the rack's; of a pack, with its serial. `ref`, `kind`, `name`, `when`,
//!   `species`, `serial`: null where they do not apply.
//! - `fate`: of a pack: `in store`, `sold`, `back with a complaint`, `thrown out`, `opened and used again`.
//! - `place`: of a bin. `bed`: the code of the bed in it, or null. `beds`: all beds it has held, first to last.
//! - `bins`: of a rack, in walking order. `stays`: of a bed: `bin`, `from`, `to`. `ended`: of a bed, or null.
//! - `stock`: of a delivery or batch: `unit`, `made`, `left`, `thrown`, `lost`, `sure`.
//! - `packs`: of a run: `made`, `sold`, `returned`, `thrown`, `opened`, `complained`, `lost`, `in_store`.
//! - `held`: the holds that reach it: `lot`, `since`, `reach`, `relation` (null for its own), `reason`.
//! - `recalls`, `complaints`, `tests`, `prints`: the numbers of the standing entries of that kind about it.
//! - `entries`: all entries about it, struck or not, as in `castlot log`.

use serde::Serialize;

use crate::desk::{Subject, title};
use crate::farm::{BinCode, Entry, Event, Farm, LotId, LotSort, Noun, Quantity, Serial, Unit};
use crate::trace::{flagged, held};

use super::entries::{EntryJson, in_order, json, names_bin, names_lot, names_pack};
use super::out;
use super::sales::fate_word;
use super::stock::left;

#[derive(Default, Serialize)]
struct Object {
    what: &'static str,
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: Option<&'static str>,
    name: Option<String>,
    when: Option<String>,
    species: Option<String>,
    serial: Option<u32>,
    fate: Option<&'static str>,
    place: Option<String>,
    bed: Option<String>,
    beds: Vec<String>,
    bins: Vec<String>,
    stays: Vec<Stay>,
    ended: Option<String>,
    stock: Option<Stock>,
    packs: Option<Packs>,
    held: Vec<Held>,
    recalls: Vec<u32>,
    complaints: Vec<u32>,
    tests: Vec<u32>,
    prints: Vec<u32>,
    entries: Vec<EntryJson>,
}

#[derive(Serialize)]
struct Stay {
    bin: String,
    from: String,
    to: Option<String>,
}

#[derive(Serialize)]
struct Stock {
    unit: Option<&'static str>,
    made: Option<u64>,
    left: Option<u64>,
    thrown: u64,
    lost: i64,
    sure: bool,
}

#[derive(Serialize)]
struct Packs {
    made: u32,
    sold: u32,
    returned: u32,
    thrown: u32,
    opened: u32,
    complained: u32,
    lost: i64,
    in_store: u32,
}

#[derive(Serialize)]
struct Held {
    /// Whether it stops the lot, or only flags it.
    stops: bool,
    lot: String,
    since: String,
    reach: &'static str,
    relation: Option<&'static str>,
    reason: Option<String>,
}

/// Writes what is shown of a subject.
pub fn text(farm: &Farm, subject: &Subject) -> String {
    let object = match subject {
        Subject::Lot(id) => {
            let code = farm.lot(*id).code;
            let about = lot(farm, *id);
            with_entries(farm, about, |entry| names_lot(entry, code))
        }
        Subject::Pack(run, serial) => {
            let code = farm.lot(*run).code;
            let about = pack(farm, *run, *serial);
            with_entries(farm, about, |entry| names_pack(entry, code, *serial))
        }
        Subject::Struck(code, _) => {
            let about = Object {
                what: "struck lot",
                code: code.to_string(),
                ..Object::default()
            };
            with_entries(farm, about, |entry| names_lot(entry, *code))
        }
        Subject::Bin(code) => {
            let about = bin(farm, *code);
            with_entries(farm, about, |entry| names_bin(farm, entry, *code))
        }
        Subject::Rack(rack) => self::rack(farm, rack),
    };
    out::json(&object)
}

fn lot(farm: &Farm, id: LotId) -> Object {
    let lot = farm.lot(id);
    let stays = lot.stays.iter().map(|stay| Stay {
        bin: stay.bin.to_string(),
        from: stay.from.to_string(),
        to: stay.to.map(|to| to.to_string()),
    });
    Object {
        what: match lot.sort {
            LotSort::Delivery(_) => "delivery",
            LotSort::Bed => "bed",
            LotSort::Batch(_) => "batch",
            LotSort::Run(_) => "pack run",
        },
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        kind: Some(lot.sort.word()),
        name: Some(title(farm, id)),
        when: Some(lot.when.to_string()),
        species: farm.species(id).map(ToOwned::to_owned),
        stays: stays.collect(),
        ended: lot.ended.map(|ending| ending.when.to_string()),
        stock: stock(farm, id),
        packs: packs(farm, id),
        held: holds(farm, id),
        ..Object::default()
    }
}

fn pack(farm: &Farm, run: LotId, serial: Serial) -> Object {
    let shelf = farm.lot(run).shelf.as_ref();
    let about = lot(farm, run);
    Object {
        what: "pack",
        code: format!("{}/{serial}", about.code),
        serial: Some(serial.number()),
        fate: shelf.map(|shelf| fate_word(shelf.fate(serial))),
        ..about
    }
}

fn bin(farm: &Farm, code: BinCode) -> Object {
    let bin = &farm.bins()[&code];
    let standing = bin.standing.as_ref();
    let text = |id: &LotId| farm.lot(*id).code.to_string();
    Object {
        what: "bin",
        code: code.to_string(),
        species: standing
            .and_then(|s| s.facts.species.as_ref())
            .map(ToString::to_string),
        place: standing.map(|s| s.place.to_string()),
        bed: bin.bed.as_ref().map(text),
        beds: bin.beds.iter().map(text).collect(),
        held: bin.bed.map(|bed| holds(farm, bed)).unwrap_or_default(),
        ..Object::default()
    }
}

fn rack(farm: &Farm, rack: &str) -> Object {
    let on_it = |bin: &BinCode| {
        let standing = farm.bins()[bin].standing.as_ref();
        standing.is_some_and(|s| s.place.rack() == rack)
    };
    let bins = farm.walking_order().into_iter().filter(on_it);
    Object {
        what: "rack",
        code: rack.to_owned(),
        bins: bins.map(|bin| bin.to_string()).collect(),
        ..Object::default()
    }
}

fn stock(farm: &Farm, id: LotId) -> Option<Stock> {
    let lot = farm.lot(id);
    let made = lot.made?;
    Some(Stock {
        unit: lot.stock.unit.map(|unit| match unit {
            Unit::Grams => "g",
            Unit::Millilitres => "mL",
            Unit::Pieces => "pieces",
        }),
        made: made.quantity().map(Quantity::value),
        left: left(farm, id),
        thrown: lot.stock.thrown,
        lost: lot.stock.lost,
        sure: lot.stock.is_sure(),
    })
}

fn packs(farm: &Farm, id: LotId) -> Option<Packs> {
    let shelf = farm.lot(id).shelf.as_ref()?;
    Some(Packs {
        made: shelf.made(),
        sold: shelf.sold(),
        returned: shelf.returned(),
        thrown: shelf.thrown(),
        opened: shelf.opened(),
        complained: shelf.complained(),
        lost: shelf.lost(),
        in_store: shelf.in_store(),
    })
}

fn holds(farm: &Farm, id: LotId) -> Vec<Held> {
    let (stops, flags) = (held(farm), flagged(farm));
    let stopped = stops.get(&id).into_iter().flatten().map(|by| (by, true));
    let flagged = flags.get(&id).into_iter().flatten().map(|by| (by, false));
    stopped
        .chain(flagged)
        .map(|(by, stops)| Held {
            stops,
            lot: farm.lot(by.origin).code.to_string(),
            since: by.hold.since.to_string(),
            reach: by.hold.reach.word(),
            relation: by.relation.map(|relation| relation.word()),
            reason: match &farm.entries()[by.hold.entry].event {
                Some(Event::Hold { reason, .. }) => Some(reason.to_string()),
                _ => None,
            },
        })
        .collect()
}

fn with_entries(farm: &Farm, about: Object, concerns: impl Fn(&Entry) -> bool) -> Object {
    let entries = in_order(farm);
    let entries: Vec<&Entry> = entries
        .into_iter()
        .filter(|entry| concerns(entry))
        .collect();
    let of = |noun: Noun| {
        let standing = entries.iter().filter(|entry| {
            farm.struck_by(entry.number).is_none()
                && entry.event.as_ref().map(Event::noun) == Some(noun)
        });
        standing.map(|entry| entry.number).collect()
    };
    Object {
        recalls: of(Noun::Recall),
        complaints: of(Noun::Complaint),
        tests: of(Noun::Test),
        prints: of(Noun::Print),
        entries: entries.iter().map(|entry| json(farm, entry)).collect(),
        ..about
    }
}
