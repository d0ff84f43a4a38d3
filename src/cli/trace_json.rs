//! A trace as the JSON object of the formats' page: its keys, their order, and nulls where it says so.

use serde::Serialize;

use crate::farm::{Farm, LotId, PackCode, Serial};
use crate::trace::{Buyer, Source, Trace, Use};

use super::out;

#[derive(Serialize)]
struct Object {
    subject: Subject,
    #[serde(skip_serializing_if = "Option::is_none")]
    back: Option<Vec<Back>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    forward: Option<Vec<Forward>>,
    buyers: Vec<Sold>,
}

#[derive(Serialize)]
struct Subject {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    serial: Option<u32>,
    when: String,
}

#[derive(Serialize)]
struct Back {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    name: Option<String>,
    supplier: Option<String>,
    relation: &'static str,
    share: Option<f64>,
    basis: Option<&'static str>,
    first: String,
    last: String,
}

#[derive(Serialize)]
struct Forward {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    relation: &'static str,
    packs: Option<u32>,
    sold: Option<u32>,
    first: String,
    last: String,
}

#[derive(Serialize)]
struct Sold {
    buyer: Option<String>,
    market: Option<String>,
    contact: Option<String>,
    packs: Vec<String>,
    unnumbered: u32,
    when: String,
}

/// Shares are told to nine places.
const PLACES: f64 = 1e9;

/// Writes a trace.
pub fn text(farm: &Farm, trace: &Trace) -> String {
    let lot = farm.lot(trace.question.lot);
    let back = trace.back.as_ref();
    let forward = trace.forward.as_ref();
    out::json(&Object {
        subject: Subject {
            code: lot.code.to_string(),
            mark: mark(farm, trace.question.lot),
            kind: lot.sort.word(),
            serial: trace.question.serial.map(Serial::number),
            when: lot.when.to_string(),
        },
        back: back.map(|sources| sources.iter().map(|s| source(farm, s)).collect()),
        forward: forward.map(|uses| uses.iter().map(|u| used(farm, u)).collect()),
        buyers: trace.buyers.iter().map(|sale| sold(farm, sale)).collect(),
    })
}

fn mark(farm: &Farm, lot: LotId) -> Option<String> {
    farm.lot(lot).mark.as_ref().map(ToString::to_string)
}

fn source(farm: &Farm, source: &Source) -> Back {
    let reached = source.reached;
    let lot = farm.lot(reached.lot);
    let facts = farm.delivery(reached.lot);
    Back {
        code: lot.code.to_string(),
        mark: mark(farm, reached.lot),
        kind: lot.sort.word(),
        name: facts.map(|facts| facts.name.to_string()),
        supplier: facts.map(|facts| facts.supplier.to_string()),
        relation: reached.relation.word(),
        share: source.share.map(|share| (share * PLACES).round() / PLACES),
        basis: source.basis.map(|basis| basis.word()),
        first: reached.first.to_string(),
        last: reached.last.to_string(),
    }
}

fn used(farm: &Farm, used: &Use) -> Forward {
    let lot = farm.lot(used.reached.lot);
    Forward {
        code: lot.code.to_string(),
        mark: mark(farm, used.reached.lot),
        kind: lot.sort.word(),
        relation: used.reached.relation.word(),
        packs: used.packs.map(|(packs, _)| packs),
        sold: used.packs.map(|(_, sold)| sold),
        first: used.reached.first.to_string(),
        last: used.reached.last.to_string(),
    }
}

fn sold(farm: &Farm, sale: &Buyer) -> Sold {
    let word = |word: &Option<crate::farm::Word>| word.as_ref().map(ToString::to_string);
    let codes = sale.packs.iter().flat_map(|(run, range)| {
        let run = farm.lot(*run).code;
        range
            .serials()
            .map(move |serial| PackCode { run, serial }.to_string())
    });
    Sold {
        buyer: word(&sale.to.buyer),
        market: word(&sale.to.market),
        contact: word(&sale.to.contact),
        packs: codes.collect(),
        unnumbered: sale.unnumbered,
        when: sale.when.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_farm::farm;
    use crate::farm::Serial;
    use crate::trace::{Question, Side, trace};

    #[test]
    fn a_pack_traced_back_has_the_keys_of_the_format() {
        let farm = farm();
        let lot = farm
            .marked(&"run-2".parse().expect("a mark"))
            .expect("a run");
        let question = Question {
            lot,
            serial: Serial::new(1),
            when: None,
            side: Side::Back,
        };
        insta::assert_snapshot!(super::text(&farm, &trace(&farm, question)), @r#"
        {
          "subject": {
            "code": "P26105-01-J",
            "ref": "run-2",
            "kind": "pack run",
            "serial": 1,
            "when": "2026-04-15T09:00"
          },
          "back": [
            {
              "code": "G26060-01-N",
              "ref": "straw-1",
              "kind": "bedding",
              "name": "straw",
              "supplier": "a farm on the levels",
              "relation": "part",
              "share": 0.666666667,
              "basis": "weighed",
              "first": "2026-03-02T09:00",
              "last": "2026-03-02T09:00"
            },
            {
              "code": "G26060-02-L",
              "ref": "manure-1",
              "kind": "manure",
              "name": "horse manure",
              "supplier": "a livery yard upriver",
              "relation": "part",
              "share": 0.222222222,
              "basis": "weighed",
              "first": "2026-03-05T09:00",
              "last": "2026-03-05T09:00"
            },
            {
              "code": "G26060-03-J",
              "ref": "worms-1",
              "kind": "worms",
              "name": "composting worms",
              "supplier": "a worm farm",
              "relation": "carried",
              "share": null,
              "basis": null,
              "first": "2026-03-02T09:00",
              "last": "2026-03-02T09:00"
            },
            {
              "code": "G26060-04-H",
              "ref": "grain-1",
              "kind": "feedstock",
              "name": "grain",
              "supplier": "a brewery",
              "relation": "part",
              "share": 0.111111111,
              "basis": "guess",
              "first": "2026-03-12T09:00",
              "last": "2026-03-12T09:00"
            },
            {
              "code": "G26060-05-F",
              "ref": "bags-1",
              "kind": "packing",
              "name": "5 L bags",
              "supplier": "a sack merchant",
              "relation": "carried",
              "share": null,
              "basis": null,
              "first": "2026-04-15T09:00",
              "last": "2026-04-15T09:00"
            },
            {
              "code": "B26061-01-B",
              "ref": null,
              "kind": "bed",
              "name": null,
              "supplier": null,
              "relation": "part",
              "share": null,
              "basis": null,
              "first": "2026-04-10T09:00",
              "last": "2026-04-10T09:00"
            },
            {
              "code": "H26100-01-G",
              "ref": "cast-1",
              "kind": "castings",
              "name": null,
              "supplier": null,
              "relation": "part",
              "share": null,
              "basis": null,
              "first": "2026-04-15T09:00",
              "last": "2026-04-15T09:00"
            }
          ],
          "buyers": [
            {
              "buyer": "a nursery",
              "market": null,
              "contact": "01632 960214",
              "packs": [
                "P26105-01-J/0001"
              ],
              "unnumbered": 0,
              "when": "2026-04-25"
            }
          ]
        }
        "#);
    }

    #[test]
    fn a_bed_traced_forward_has_the_keys_of_the_format() {
        let farm = farm();
        let code = "B26061-02-9".parse().expect("a code");
        let question = Question {
            lot: farm.lot_of(code).expect("a bed"),
            serial: None,
            when: None,
            side: Side::Forward,
        };
        insta::assert_snapshot!(super::text(&farm, &trace(&farm, question)), @r#"
        {
          "subject": {
            "code": "B26061-02-9",
            "ref": null,
            "kind": "bed",
            "serial": null,
            "when": "2026-03-02T09:10"
          },
          "forward": [
            {
              "code": "B26084-01-T",
              "ref": null,
              "kind": "bed",
              "relation": "part",
              "packs": null,
              "sold": null,
              "first": "2026-03-25T10:00",
              "last": "2026-03-25T10:00"
            },
            {
              "code": "H26102-01-Z",
              "ref": "cast-2",
              "kind": "castings",
              "relation": "part",
              "packs": null,
              "sold": null,
              "first": "2026-04-12T09:00",
              "last": "2026-04-12T09:00"
            },
            {
              "code": "H26103-01-T",
              "ref": "blend-1",
              "kind": "castings",
              "relation": "part",
              "packs": null,
              "sold": null,
              "first": "2026-04-13T09:00",
              "last": "2026-04-13T09:00"
            },
            {
              "code": "P26104-01-R",
              "ref": "run-1",
              "kind": "pack run",
              "relation": "part",
              "packs": 3,
              "sold": 2,
              "first": "2026-04-14T09:00",
              "last": "2026-04-14T09:00"
            }
          ],
          "buyers": [
            {
              "buyer": "a nursery",
              "market": null,
              "contact": "01632 960214",
              "packs": [
                "P26104-01-R/0001"
              ],
              "unnumbered": 0,
              "when": "2026-04-18"
            },
            {
              "buyer": null,
              "market": "Quay market",
              "contact": null,
              "packs": [],
              "unnumbered": 1,
              "when": "2026-04-19"
            }
          ]
        }
        "#);
    }
}
