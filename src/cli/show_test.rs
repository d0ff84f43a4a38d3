//! Tests of what `castlot show` prints.

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
    FLAGGED: may have been carried over from horse manure (manure-1), on hold since
    2026-05-21 10:00
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
      32  10:00    complaint call-1 about run-1 #1: curled leaves, reach them 01632
                   960847
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
      "held": [
        {
          "stops": false,
          "lot": "G26060-02-L",
          "since": "2026-05-21T10:00",
          "reach": "parts",
          "relation": "carried",
          "reason": "hay was never vouched for"
        }
      ],
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
            "no lot, bin or rack is called `Z99`",
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
