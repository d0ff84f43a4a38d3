//! Tests of the JSON of a trace.

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
