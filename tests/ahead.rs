//! What is ahead: how beds live, when cocoons hatch, and what is to be expected in the weeks to come.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm};

/// A farm with two beds, one of them in a shallow box, and no cycle that is over.
fn young() -> TestFarm {
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

#[test]
fn the_outlook_of_the_demo_farm() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "outlook"), @"
    Outlook from 2026-11-01 for 12 weeks

    Castings
      from        beds   middle           8 in 10  litres
      2026-11-01     4   20.6kg    14.3 to 28.8kg   34.6L  |####==---
      2026-11-08     6   29.6kg    19.4 to 40.4kg   49.7L  |######===---
      2026-11-15    11   55.0kg    40.4 to 69.1kg   92.2L  |############====-----
      2026-11-22    12   63.4kg    47.0 to 80.5kg  106.3L  |##############=====-----
      2026-11-29     5   26.1kg    15.0 to 40.5kg   43.8L  |####====----
      2026-12-06     7   33.9kg    20.2 to 48.2kg   56.8L  |######====----
      2026-12-13     9   45.5kg    29.9 to 62.4kg   76.3L  |#########=====-----
      2026-12-20    12   59.8kg    42.8 to 78.4kg  100.3L  |#############=====-----
      2026-12-27     7   35.3kg    20.2 to 51.0kg   59.3L  |######=====----
      2027-01-03     7   35.5kg    20.7 to 51.4kg   59.5L  |######=====----
      2027-01-10     8   41.3kg    25.5 to 58.8kg   69.3L  |########====------
      2027-01-17    11   55.2kg    37.6 to 73.1kg   92.6L  |###########=====------
      all           98  504.5kg  486.1 to 522.2kg  846.4L
      # nine in ten seasons give more, = half do, - one in ten does

    Worms to spare, and as tubs: the middle (8 in 10)
      from            E. fetida, kg         tub100      D. veneta, kg       tub50
      2026-11-01  0.3 (-0.1 to 0.8)       6 (0-16)  0.1 (-0.1 to 0.2)     0 (0-3)
      2026-11-08  0.3 (-0.1 to 0.8)       6 (0-17)  0.2 (-0.1 to 0.4)     2 (0-6)
      2026-11-15   1.1 (0.1 to 2.2)      22 (1-45)   0.0 (0.0 to 0.0)     0 (0-0)
      2026-11-22   0.8 (0.0 to 1.8)      17 (0-36)  0.2 (-0.1 to 0.6)     3 (0-8)
      2026-11-29  0.4 (-0.1 to 1.0)       7 (0-20)   0.1 (0.0 to 0.3)     0 (0-4)
      2026-12-06  0.4 (-0.1 to 1.0)       7 (0-20)  0.2 (-0.1 to 0.5)     2 (0-7)
      2026-12-13   0.8 (0.0 to 1.8)      16 (0-35)   0.0 (0.0 to 0.2)     0 (0-3)
      2026-12-20   0.9 (0.0 to 1.9)      18 (0-37)  0.2 (-0.1 to 0.5)     2 (0-7)
      2026-12-27  0.5 (-0.1 to 1.2)      10 (0-25)   0.1 (0.0 to 0.3)     1 (0-4)
      2027-01-03  0.4 (-0.1 to 1.1)       8 (0-22)  0.2 (-0.1 to 0.5)     2 (0-7)
      2027-01-10  0.7 (-0.1 to 1.5)      14 (0-31)   0.0 (0.0 to 0.3)     0 (0-4)
      2027-01-17   0.8 (0.0 to 1.8)      17 (0-36)  0.2 (-0.1 to 0.5)     2 (0-7)
      all          7.9 (6.3 to 9.5)  161 (127-194)   1.6 (1.0 to 2.3)  24 (14-33)

    Feed
      needed: 38.1kg a week (36.1 to 40.7kg), as in the last 12 weeks; 456.6kg in
        12 weeks
      in store: 427.8kg of manure, feedstock and mixed feed, and 31.3kg on hold:
        it lasts 10.5 to 11.8 weeks
      to be had before the end: 28.8kg
      nobody knows what is left of 1 lot more

    Best by
      2026-10-02, past for 30 days: 5 packs of tub100 (run-80)
      2026-10-06, past for 26 days: 1 pack of bottle500 (run-84)
      2026-10-07, past for 25 days: 2 packs of tub100 (run-81)
      2026-10-07, past for 25 days: 8 packs of tub100 (run-82)
      2026-10-09, past for 23 days: 9 packs of tub100 (run-83)
      2026-11-07, in 6 days: 6 packs of tub100 (run-90)
      2026-11-11, in 10 days: 9 packs of tub100 (run-91)

    Old castings
      1.25kg of blend-19, sieved on 2026-03-10, 236 days ago
      3.74kg of sift-7, sieved on 2026-03-24, 222 days ago
      1.6kg of blend-15, sieved on 2026-04-14, 201 days ago, on hold
      1.44kg of sift-17, sieved on 2026-04-24, 191 days ago
      2.92kg of sift-26, sieved on 2026-05-22, 163 days ago
      3.37kg of sift-38, sieved on 2026-06-23, 131 days ago
      2.97kg of sift-51, sieved on 2026-07-21, 103 days ago
      5.43kg of sift-55, sieved on 2026-08-04, 89 days ago, on hold
      690g of sift-58, sieved on 2026-08-12, 81 days ago
      3.85kg of sift-59, sieved on 2026-08-12, 81 days ago, on hold
      18.99kg of sift-61, sieved on 2026-08-14, 79 days ago, on hold
      3.57kg of sift-63, sieved on 2026-08-21, 72 days ago
      19.64kg of sift-68, sieved on 2026-09-01, 61 days ago, on hold
      20.87kg of sift-69, sieved on 2026-09-02, 60 days ago, on hold
      90.33kg in all, 60 days old or more

    How it was worked out
      E. fetida: 27 beds, from 210 past cycles
      D. veneta: 9 beds, from 71 past cycles
      every bin is bedded up again on the same day; seasons are taken for alike
      a litre of castings: 596 g, the middle of 10 tests
      worms: taken out less put into beds again; tubs: as many as that fills, if
        all goes into them
    ");
}

#[test]
fn an_outlook_writes_its_chart_and_its_paper_the_same_each_time() {
    let farm = TestFarm::demo();
    let told = farm.on(DEMO_END, "outlook --weeks 2 --svg a.svg --out a.pdf");
    let talk = told.split_once("--- stderr ---").map(|(_, talk)| talk);
    assert_eq!(talk.map(str::trim), Some("chart: a.svg\npaper: a.pdf"));
    farm.did(DEMO_END, "outlook --weeks 2 --svg b.svg --out b.pdf");
    let read = |name: &str| std::fs::read(farm.path(name)).expect("it was written");
    assert!(read("a.pdf").starts_with(b"%PDF"));
    assert_eq!(read("a.pdf"), read("b.pdf"));
    assert_eq!(read("a.svg"), read("b.svg"));
    let svg = String::from_utf8(read("a.svg")).expect("SVG is text");
    assert_snapshot!(svg, @r##"
    <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 326" font-family="sans-serif" font-size="12">
    <title>Outlook from 2026-11-01 for 2 weeks: castings</title>
    <rect width="100%" height="100%" fill="#fff"/>
    <text x="60" y="20" font-weight="bold">Outlook from 2026-11-01 for 2 weeks: castings</text>
    <text x="60" y="38">bars: half of all seasons give more; lines: eight in ten are within</text>
    <line x1="60" y1="280.0" x2="704" y2="280.0" stroke="#ccc"/>
    <text x="54" y="284.0" text-anchor="end">0kg</text>
    <line x1="60" y1="236.0" x2="704" y2="236.0" stroke="#ccc"/>
    <text x="54" y="240.0" text-anchor="end">10kg</text>
    <line x1="60" y1="192.0" x2="704" y2="192.0" stroke="#ccc"/>
    <text x="54" y="196.0" text-anchor="end">20kg</text>
    <line x1="60" y1="148.0" x2="704" y2="148.0" stroke="#ccc"/>
    <text x="54" y="152.0" text-anchor="end">30kg</text>
    <line x1="60" y1="104.0" x2="704" y2="104.0" stroke="#ccc"/>
    <text x="54" y="108.0" text-anchor="end">40kg</text>
    <line x1="60" y1="60.0" x2="704" y2="60.0" stroke="#ccc"/>
    <text x="54" y="64.0" text-anchor="end">50kg</text>
    <text x="382.0" y="318.0" text-anchor="middle">weeks from (month and day)</text>
    <rect x="124.4" y="189.2" width="193.2" height="90.8" fill="#9a9"/>
    <line x1="221.0" y1="217.0" x2="221.0" y2="153.9" stroke="#000" stroke-width="2"/>
    <line x1="217.0" y1="217.0" x2="225.0" y2="217.0" stroke="#000"/>
    <line x1="217.0" y1="153.9" x2="225.0" y2="153.9" stroke="#000"/>
    <text x="221.0" y="298.0" text-anchor="middle">11-01</text>
    <rect x="446.4" y="149.0" width="193.2" height="131.0" fill="#9a9"/>
    <line x1="543.0" y1="194.6" x2="543.0" y2="102.6" stroke="#000" stroke-width="2"/>
    <line x1="539.0" y1="194.6" x2="547.0" y2="194.6" stroke="#000"/>
    <line x1="539.0" y1="102.6" x2="547.0" y2="102.6" stroke="#000"/>
    <text x="543.0" y="298.0" text-anchor="middle">11-08</text>
    </svg>
    "##);
}

#[test]
fn a_young_farm_has_an_outlook_by_the_rule_of_thumb_and_an_empty_one_none() {
    assert_snapshot!(young().on("2026-03-12", "outlook --weeks 4"), @"
    Outlook from 2026-03-12 for 4 weeks

    Castings
      from        beds  middle       8 in 10  litres
      2026-03-12     0   0.0kg  0.0 to 0.0kg    0.0L  |
      2026-03-19     1   2.0kg  0.0 to 4.0kg    2.0L  |========--------
      2026-03-26     2   4.0kg  2.0 to 6.0kg    4.0L  |########========--------
      2026-04-02     0   0.0kg  0.0 to 0.0kg    0.0L  |
      all            3   6.0kg  6.0 to 6.0kg    6.0L
      # nine in ten seasons give more, = half do, - one in ten does

    Feed
      nothing was fed in a whole week yet

    How it was worked out
      E. fetida: 3 beds, from two kilograms a bed, common practice; nothing tells
        of its worms
      every bin is bedded up again on the same day; seasons are taken for alike
      a litre of castings: taken for a kilogram, none was measured
    ");
    assert_snapshot!(young().on("2026-03-12", "outlook --weeks 1 --json"), @r#"
    {
      "day": "2026-03-12",
      "gap_days": 0,
      "g_per_l": null,
      "density_tests": 0,
      "beds": [
        {
          "bin": "A01",
          "code": "B26061-01-B",
          "herd": 0,
          "age_days": 10
        },
        {
          "bin": "A02",
          "code": "B26061-02-9",
          "herd": 0,
          "age_days": 10
        },
        {
          "bin": "A03",
          "code": "B26061-03-7",
          "herd": 0,
          "age_days": 10
        }
      ],
      "herds": [
        {
          "species": "Eisenia fetida",
          "basis": "common practice",
          "yields": "common practice",
          "length": {
            "low": 21.7,
            "middle": 24.5,
            "high": 27.3,
            "mean": 24.5
          },
          "days": [
            21,
            22,
            23,
            24,
            25,
            26,
            27,
            28
          ],
          "cycles": [
            {
              "days": 21,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            },
            {
              "days": 22,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            },
            {
              "days": 23,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            },
            {
              "days": 24,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            },
            {
              "days": 25,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            },
            {
              "days": 26,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            },
            {
              "days": 27,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            },
            {
              "days": 28,
              "castings_g": 2000.0,
              "worms_in_g": 0.0,
              "worms_out_g": 0.0
            }
          ]
        }
      ],
      "tubs": [],
      "weeks": [
        {
          "from": "2026-03-12",
          "castings_g": {
            "low": 0.0,
            "middle": 0.0,
            "high": 0.0,
            "mean": 0.0
          },
          "castings_ml": {
            "low": 0.0,
            "middle": 0.0,
            "high": 0.0,
            "mean": 0.0
          },
          "sieved": {
            "low": 0.0,
            "middle": 0.0,
            "high": 0.0,
            "mean": 0.0
          },
          "spare_g": [
            null
          ]
        }
      ],
      "all": {
        "from": null,
        "castings_g": {
          "low": 0.0,
          "middle": 0.0,
          "high": 0.0,
          "mean": 0.0
        },
        "castings_ml": {
          "low": 0.0,
          "middle": 0.0,
          "high": 0.0,
          "mean": 0.0
        },
        "sieved": {
          "low": 0.0,
          "middle": 0.0,
          "high": 0.0,
          "mean": 0.0
        },
        "spare_g": [
          null
        ]
      },
      "feed": {
        "weekly_g": null,
        "weeks_g": [],
        "in_store_g": 60000.0,
        "held_g": 0.0,
        "unknown": 0
      },
      "best_by": [],
      "old": []
    }
    "#);
    assert_snapshot!(TestFarm::new().on("2026-03-12", "outlook"), @"
    Outlook from 2026-03-12 for 12 weeks

    no bed with worms in it is in use

    Feed
      nothing was fed in a whole week yet
    ");
    assert_snapshot!(TestFarm::new().on("2026-03-12", "bed-life"), @"no bed in any bin");
    assert_snapshot!(TestFarm::new().on("2026-03-12", "hatchery"), @"no cocoons were set aside");
    assert_snapshot!(TestFarm::new().on("2026-03-12", "outlook --weeks 0"), @"
    --- stderr ---
    error: invalid value '0' for '--weeks <NUMBER>': 0 is not in 1..=52

    For more information, try '--help'.
    --- exit 2 ---
    ");
}
