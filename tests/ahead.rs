//! How beds live, and when cocoons hatch.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm};

/// A farm with two beds, one of them in a shallow box, and no cycle that is over.
pub fn young() -> TestFarm {
    TestFarm::with(&[
        "2026-03-01 record bin --bin A01 --place R1/S1/P1 --length-mm 600 --width-mm 400 --depth-mm 150",
        "2026-03-01 record bin --bin A02 --place R1/S1/P2 --length-mm 600 --width-mm 400",
        "2026-03-01 record bin --bin A03 --place R1/S1/P3",
        "2026-03-01 record delivery --kind bedding --name straw --supplier someone --amount 50kg --ref straw",
        "2026-03-01 record delivery --kind manure --name 'horse manure' --supplier someone --amount 60kg --ref manure",
        "2026-03-01 record delivery --kind worms --name worms --supplier someone --amount 9kg --ref worms --species 'Eisenia fetida'",
        "2026-03-02 bed A01 'straw 4kg' 'worms 1kg' --species 'Eisenia fetida'",
        "2026-03-02 bed A02 'straw 4kg' 'worms 300g' --species 'Eisenia fetida'",
        "2026-03-02 bed A03 'straw 4kg' 'worms ?' --species 'Eisenia fetida'",
    ])
}

#[test]
fn beds_of_a_young_farm_go_by_the_rule_of_thumb_and_are_crowded_or_thin() {
    let farm = young();
    farm.did("2026-03-10", "check A01 --temp 31 --squeeze dry");
    farm.did("2026-03-10", "check A02 --temp 13 --moisture 55");
    assert_snapshot!(farm.on("2026-03-12", "bed-life"), @"
      bin  species    days  worms  kg/m2           sieve
      A01  E. fetida    10    1kg    4.1  crowded  2026-03-23 to 2026-03-30
      A02  E. fetida    10   300g    1.2  thin     2026-03-23 to 2026-03-30
      A03  E. fetida    10      ?                  2026-03-23 to 2026-03-30

    At the last checks:
      A01  hot: 31 °C on 2026-03-10, limit 30; dry when squeezed on 2026-03-10
      A02  cool: 13 °C on 2026-03-10, best 15 to 20; dry: 55 % on 2026-03-10, limit
           60

    3 beds
    1 bed crowded: split
    1 bed thin

    Worms are those put in less those taken out, by the book (* from a check that
    weighed them).
    Thin below 1.6 kg/m2, the best start of one trial (Ndegwa and others 2000);
    crowded from 7 on, where growers tell that beds level off, or with a kilogram in
    a shallow box (common practice).
    Days to sieve of Eisenia fetida: from three to four weeks, common practice:
    there are fewer than 5 past cycles.
    Heat and moisture of Eisenia fetida: Edwards (ed.), Earthworm Ecology, 2004,
    Table 18.3.
    ");
}

#[test]
fn a_check_that_weighed_the_worms_goes_before_the_book() {
    let farm = young();
    farm.did("2026-03-20", "check A02 --worms 1.7kg");
    let told = farm.on("2026-03-21", "bed-life A02");
    let row = told.lines().find(|line| line.contains("A02"));
    assert_snapshot!(row.unwrap_or_default(), @"  A02  E. fetida    19  1.7kg*    7.0  crowded  2026-03-23 to 2026-03-30");
    assert!(told.contains("1 bed crowded: split"), "{told}");
}

#[test]
fn a_bed_that_has_run_longer_than_all_past_cycles_is_due_now() {
    let told = young().on("2026-04-20", "bed-life A01");
    assert!(told.contains("now: longer than any past cycle"), "{told}");
}

#[test]
fn beds_of_the_demo_farm_go_by_its_own_past() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "bed-life A08..A10"), @"
      bin  species    days    worms  kg/m2  sieve
      A08  E. fetida    12   1.03kg    4.2  2026-11-14 to 2026-11-24
      A09  D. veneta    25  1.085kg    4.5  2026-11-02 to 2026-11-19
      A10  E. fetida    44     810g    3.3  2026-11-02 to 2026-11-06

    At the last checks:
      A08  runs when squeezed on 2026-10-31
      A10  rather dry: 77 % on 2026-10-28, best 80 to 90; dry when squeezed on
           2026-10-28

    3 beds

    Worms are those put in less those taken out, by the book (* from a check that
    weighed them).
    Thin below 1.6 kg/m2, the best start of one trial (Ndegwa and others 2000);
    crowded from 7 on, where growers tell that beds level off, or with a kilogram in
    a shallow box (common practice).
    Days to sieve of Eisenia fetida: from 210 past cycles.
    Heat and moisture of Eisenia fetida: Edwards (ed.), Earthworm Ecology, 2004,
    Table 18.3.
    Days to sieve of Dendrobaena veneta: from 71 past cycles.
    ");
    assert_snapshot!(farm.on(DEMO_END, "bed-life C12 --json"), @r#"
    {
      "day": "2026-11-01",
      "beds": [
        {
          "bin": "C12",
          "place": "R3/S3/P4",
          "code": "B26286-02-L",
          "ref": null,
          "species": "Eisenia fetida",
          "since": "2026-10-13T11:00",
          "days": 19,
          "worms_g": 940,
          "worms_from": "book",
          "g_per_m2": 3916,
          "stocking": "usual",
          "sieve": {
            "from": "2026-11-08",
            "middle": "2026-11-10",
            "to": "2026-11-17",
            "overdue": false,
            "basis": "species",
            "cycles": 210
          },
          "look": [
            "dry when squeezed on 2026-10-31"
          ]
        }
      ]
    }
    "#);
    assert_snapshot!(farm.on(DEMO_END, "bed-life straw-1"), @"
    --- stderr ---
    error: G26030-01-Y is no bed in use, but bedding
    hint: see what is in use with `castlot beds`
    --- exit 2 ---
    ");
}

#[test]
fn hatcheries_are_told_source_by_source_and_narrowed_by_what_was_seen() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "hatchery"), @"
    coc-1: cocoons, Eisenia fetida: H26062-01-A
      lifted on 2026-03-03; laid between 2026-02-03 and then; put into bed in A12
      (hatch-1), ended on 2026-04-22
      none hatched yet on 2026-03-24; some hatched on 2026-04-01; some left on
      2026-04-14; 15 to 22 °C at checks

      source             hatching                  breeding from
      Edwards 1988 (as   2026-03-25 to 2026-05-15  2026-05-17 to 2026-07-30
      quoted by a
      gardening page)
      Domínguez and      2026-03-03 to 2026-03-29  2026-03-24 to 2026-04-28  DIFFERS
      Edwards 2011 (at
      about 25 °C; from
      memory)
      common practice,   mostly by 2026-04-14      2026-07-14 to 2026-08-14
      no source (a warm
      box, then cool
      rooms)

      Leaving out what differs from what was seen: hatching between 2026-03-25 and
      2026-05-15, by now; breeding for the first time between 2026-05-17 and
      2026-07-30, by now.

    coc-2: cocoons, Dendrobaena veneta: H26097-01-X
      lifted on 2026-04-07; laid between 2026-03-17 and then; put into bed in A09
      (hatch-2), ended on 2026-05-19
      some hatched on 2026-05-09; 18 to 20 °C at checks

      source                      hatching                  breeding from
      Edwards 1988 (as quoted by  2026-04-26 to 2026-08-13  2026-06-22 to 2026-11-07
      a gardening page)
      Viljoen and others 1991     2026-04-28 to 2026-05-20  2026-05-18 to 2026-09-27
      (at 25 °C, means)
      Edwards (ed.) 2004 (means)  2026-04-28 to 2026-05-19  2026-07-02 to 2026-07-23
      common practice, no source  mostly by 2026-05-19      2026-08-18 to 2026-09-18
      (a warm box, then cool
      rooms)

      By all of the tables: hatching between 2026-04-26 and 2026-08-13, by now;
      breeding for the first time between 2026-05-18 and 2026-11-07.
    ");
    assert_snapshot!(farm.on(DEMO_END, "hatchery hatch-2 --json"), @r#"
    {
      "day": "2026-11-01",
      "batches": [
        {
          "code": "H26097-01-X",
          "ref": "coc-2",
          "species": "Dendrobaena veneta",
          "lifted": "2026-04-07",
          "laid_from": "2026-03-17",
          "beds": [
            {
              "bin": "A09",
              "code": "B26097-01-Q",
              "here": false
            }
          ],
          "temperature_c": {
            "low": 18.0,
            "high": 20.0
          },
          "seen": {
            "none_on": null,
            "some_on": "2026-05-09",
            "left_on": null,
            "all_on": null
          },
          "sources": [
            {
              "source": "Edwards 1988",
              "heat": null,
              "known": "as quoted by a gardening page",
              "hatch": {
                "from": "2026-04-26",
                "to": "2026-08-13"
              },
              "breed": {
                "from": "2026-06-22",
                "to": "2026-11-07"
              },
              "fits": true
            },
            {
              "source": "Viljoen and others 1991",
              "heat": "at 25 °C, means",
              "known": null,
              "hatch": {
                "from": "2026-04-28",
                "to": "2026-05-20"
              },
              "breed": {
                "from": "2026-05-18",
                "to": "2026-09-27"
              },
              "fits": true
            },
            {
              "source": "Edwards (ed.) 2004",
              "heat": "means",
              "known": null,
              "hatch": {
                "from": "2026-04-28",
                "to": "2026-05-19"
              },
              "breed": {
                "from": "2026-07-02",
                "to": "2026-07-23"
              },
              "fits": true
            }
          ],
          "hatch": {
            "from": "2026-04-26",
            "to": "2026-08-13"
          },
          "breed": {
            "from": "2026-05-18",
            "to": "2026-11-07"
          },
          "practice": {
            "hatched": "2026-05-19",
            "breed": {
              "from": "2026-08-18",
              "to": "2026-09-18"
            }
          }
        }
      ]
    }
    "#);
    assert_snapshot!(farm.on(DEMO_END, "hatchery A01"), @"
    --- stderr ---
    error: B26300-03-0 is no batch of cocoons, and no bed that cocoons were put into, but bed
    hint: see all batches with `castlot hatchery`
    --- exit 2 ---
    ");
}

#[test]
fn a_hatch_that_was_seen_to_end_is_over() {
    let farm = young();
    farm.did("2026-03-20", "sieve A01 --cocoons 200g");
    let batch = "H26079-01-W";
    let said = farm.on("2026-03-20", "hatchery");
    assert!(said.contains("not put into a bed yet"), "{said}");
    let code = said.split_whitespace().find(|word| word.starts_with('H'));
    let code = code.unwrap_or(batch).to_owned();
    farm.did("2026-03-20", &format!("bed A09 'straw 1kg' '{code} 200g'"));
    farm.did("2026-04-20", "check A09 --worms 0 --cocoons 12 --temp 17");
    farm.did("2026-05-20", "check A09 --worms 20 --cocoons 0 --temp 19");
    assert_snapshot!(farm.on("2026-05-21", "hatchery").replace(&code, "CODE"), @"
    cocoons, Eisenia fetida: CODE
      lifted on 2026-03-20; laid between 2026-03-02 and then; put into bed in A09
      (B26079-01-5)
      none hatched yet on 2026-04-20; some hatched on 2026-05-20; some left on
      2026-04-20; all hatched on 2026-05-20; 17 to 19 °C at checks

      source             hatching                  breeding from
      Edwards 1988 (as   2026-04-21 to 2026-05-20  2026-06-13 to 2026-08-04
      quoted by a
      gardening page)
      Domínguez and      2026-03-20 to 2026-04-15  2026-04-10 to 2026-05-15  DIFFERS
      Edwards 2011 (at
      about 25 °C; from
      memory)
      common practice,   mostly by 2026-05-01      2026-07-31 to 2026-08-31
      no source (a warm
      box, then cool
      rooms)

      Leaving out what differs from what was seen: all had hatched on 2026-05-20;
      breeding for the first time between 2026-06-13 and 2026-08-04.
    ");
}
