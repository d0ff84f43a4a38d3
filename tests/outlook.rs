//! What is to be expected in the weeks to come.

use insta::assert_snapshot;

use crate::ahead::young;
use crate::dsl::{DEMO_END, TestFarm};

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
