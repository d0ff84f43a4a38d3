//! Complaints from the telephone to the settling: half a code is enough, and every run that may be meant stays a suspect.

use insta::assert_snapshot;

use crate::dsl::{TestFarm, packed, refused};

/// A farm with two runs sold, of a day apart in codes that sound alike.
fn two_runs() -> TestFarm {
    let farm = packed();
    farm.did("2026-04-05", "pack bag5 1 --from 'cast-1:?' --ref run-2");
    farm.did("2026-04-06", "sell run-2/1 --market 'Quay market'");
    farm
}

#[test]
fn a_call_with_half_a_code_is_saved_and_narrowed() {
    let farm = two_runs();
    assert_snapshot!(farm.on("2026-06-01", "complaint take --sign 'bean leaves cupped' --heard 'ninety three dash oh one' --contact '01632 960111'"), @"
    entry 16: call-1
    Usually behind it: weedkiller carried over in manure, straw or green waste
    (aminopyralid, clopyralid).
    1 run may be meant; it stays a suspect until the call is narrowed:
      Worm-worked compost 5L (run-1), packed 2026-04-03 10:00: P26093-01-Q
        its code has 93-01 in it
    --- stderr ---
    hint: when the pack is known, narrow it: `castlot complaint narrow call-1 --pack PACK`
    ");
    assert_snapshot!(farm.on("2026-06-02", "complaint show call-1"), @"
    call-1, taken 2026-06-01 10:00: bean leaves cupped
    heard: ninety three dash oh one
    reach them: 01632 960111

    Usually behind it: weedkiller carried over in manure, straw or green waste
    (aminopyralid, clopyralid).
      twisted-leaves: what went in 121 to 427 days before, 2025-03-31 to 2026-01-31
    Look at:
      - where the hay or straw behind the load grew, and what was sprayed on it
      - a bean test of the kept sample: 3 to 6 pots of 2:1 sample to clean mix,
      controls beside them, read at 2 to 3 weeks
      - whether plants in another compost beside it are fine, which speaks against
      drift and disease

    1 run may be meant; it stays a suspect until the call is narrowed:
      Worm-worked compost 5L (run-1), packed 2026-04-03 10:00: P26093-01-Q
        its code has 93-01 in it
    ");
    assert_snapshot!(farm.on("2026-06-03", "complaint narrow call-1 --pack 'run-1 #1' --why 'read off the bag'"), @"entry 17: call-1");
    assert_snapshot!(farm.on("2026-06-03", "complaint list"), @"
    name    taken             state  pack      sign
    call-1  2026-06-01 10:00  open   run-1 #1  bean leaves cupped
    ");
    assert_snapshot!(farm.on("2026-06-03", "log 2026-06-01"), @"
    2026-06-01
      16  10:00    ~complaint call-1: bean leaves cupped, heard ninety three dash oh~
                   ~one, reach them 01632 960111~
                   struck by 17: read off the bag
      17  10:00    in place of entry 16: complaint call-1 about run-1 #1: bean
                   leaves cupped, heard ninety three dash oh one, reach them 01632
                   960111, corrected read off the bag
    ");
}

#[test]
fn a_call_with_nothing_known_is_saved_all_the_same() {
    let farm = two_runs();
    assert_snapshot!(farm.on("2026-06-01", "complaint take --sign 'a funny colour'"), @"
    entry 16: call-1
    The table of signs has no word of this; anything may be behind it, at any time.
    Nothing tells which run is meant; 2 runs sold by then stay suspects:
      Worm-worked compost 5L (run-1), packed 2026-04-03 10:00: P26093-01-Q
      Worm-worked compost 5L (run-2), packed 2026-04-05 10:00: P26095-01-A
    --- stderr ---
    hint: when the pack is known, narrow it: `castlot complaint narrow call-1 --pack PACK`
    ");
    assert_snapshot!(farm.on("2026-06-01", "complaint take --sign 'sour' --pack run-1 --name sour-bag --json"), @r#"
    {
      "entries": [
        {
          "entry": 17,
          "kind": "complaint",
          "code": null,
          "complaint": "sour-bag"
        }
      ]
    }
    "#);
    assert_snapshot!(refused(&farm, "2026-06-01", "complaint take --sign 'sour again' --name sour-bag"), @"
    --- stderr ---
    error: a complaint is called `sour-bag` already
    hint: leave the name out, and castlot gives the next one
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-06-01", "complaint take --sign ''"), @"
    --- stderr ---
    error: --sign: nothing is said here
    --- exit 2 ---
    ");
}

#[test]
fn a_complaint_is_settled_and_no_longer_open() {
    let farm = two_runs();
    farm.did(
        "2026-06-01",
        "complaint take --sign 'sour smell' --pack run-2/1",
    );
    assert_snapshot!(farm.on("2026-06-02", "complaint settle call-1 --why 'aired, and fine'"), @"entry 17");
    assert_snapshot!(farm.on("2026-06-02", "complaint list --open"), @"no complaints");
    assert_snapshot!(farm.on("2026-06-02", "complaint show call-1 --json"), @r#"
    {
      "name": "call-1",
      "when": "2026-06-01T10:00",
      "state": "settled",
      "sign": "sour smell",
      "signs": [
        "sour-smell"
      ],
      "heard": null,
      "product": null,
      "bought_at": null,
      "bought_about": null,
      "contact": null,
      "run": "P26095-01-A",
      "serial": 1,
      "narrowed": true,
      "candidates": [],
      "settled": [
        {
          "when": "2026-06-02T10:00",
          "why": "aired, and fine"
        }
      ]
    }
    "#);
    assert_snapshot!(refused(&farm, "2026-06-02", "complaint settle call-2 --why 'there is none'"), @"
    --- stderr ---
    error: no complaint is called `call-2`
    hint: see every complaint with `castlot complaint list`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-06-02", "strike 16 --why 'taken twice'"), @"
    --- stderr ---
    error: entry 17 would then be wrong: no complaint is called `call-1`
    hint: if entry 17 is wrong, strike it first: `castlot strike 17 --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-06-02", "complaint narrow call-1 --pack 99-99"), @"
    --- stderr ---
    error: `99-99` is no pack or pack run of this farm
    hint: look for half a code with `castlot find '99-99'`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-06-02", "suspects"), @"
    --- stderr ---
    error: no complaint is open
    hint: name settled ones, as in `castlot suspects call-1`, or see `castlot complaint list`
    --- exit 2 ---
    ");
}

/// A sheet of before complaints had names is known again, and so is one of after.
#[test]
fn a_sheet_of_complaints_is_known_with_and_without_the_names() {
    let farm = two_runs();
    farm.put(
        "old/complaints.csv",
        "when,sign,pack\n2026-06-01,sour smell,run-1 #1\n2026-06-02,flies,run-2\n",
    );
    farm.put(
        "old/settlements.csv",
        "when,complaint,why\n2026-06-03,call-2,dried\n",
    );
    farm.did("2026-06-05", "import old");
    assert_snapshot!(farm.on("2026-06-05", "import old --skip-known"), @"
    recorded 0 entries
    --- stderr ---
    3 rows were in the diary already
    ");
    farm.did("2026-06-05", "export --sheets out");
    let written = std::fs::read_to_string(farm.path("out/complaints.csv")).expect("it was written");
    assert_snapshot!(written, @"
    when,sign,pack,heard,product,bought_at,bought_about,contact,complaint,by,note
    2026-06-01,sour smell,P26093-01-Q/0001,,,,,,call-1,,
    2026-06-02,flies,P26095-01-A,,,,,,call-2,,
    ");
    assert_snapshot!(farm.on("2026-06-05", "import out --skip-known"), @"
    recorded 0 entries
    --- stderr ---
    18 rows were in the diary already
    ");
}
