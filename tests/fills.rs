//! What packs were found to hold: told, listed, drawn, and held against the rule that suits them.

use insta::assert_snapshot;

use crate::dsl::{TestFarm, packed};

#[test]
fn fills_of_a_run_are_told_with_a_chart_and_the_three_rules() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on("2026-11-01", "fills run-42"), @"
    Worm-worked compost 20L (run-42): P26184-01-2
    3 of 3 packs measured, on 2026-07-03 14:40

      mean     20.0667L, 66.7mL above the 20L declared
      spread   57.7mL
      lowest   20L, highest 20.1L
      TNE      200mL: 0 below 19.8L, 0 below 19.6L (twice the TNE)

       19.8L |  < TNE
      19.85L |
       19.9L |
      19.95L |
         20L |#  < declared
      20.05L |
       20.1L |##
      each row is 50mL, from its figure up; each # a pack

    Average system, Great Britain (SI 2006/659, as copied here)
      yes   the mean reaches 20L: 20.0667L of 3 packs
      yes   at most 0 below 19.8L: 0 found
      yes   none below 19.6L: 0 found

    The run meets the plan as copied here.
    This is your own check. The inspector's test is the inspector's: other packs,
    other scales, and rules that may have changed since they were copied here.
    Northern Ireland has regulations of its own, which may differ. The e mark is for
    packs of 5 g or mL to 10 kg or L; this one is over that.
    ");
    // Only some of a run: nothing is against it, and nothing is for it either.
    assert_snapshot!(farm.on("2026-11-01", "fills run-66"), @"
    Worm-worked compost 5L (run-66): P26233-04-0
    3 of 11 packs measured, on 2026-08-21 15:20

      mean     5.0833L, 83.3mL above the 5L declared
      spread   76.4mL
      lowest   5L, highest 5.15L
      TNE      75mL: 0 below 4.925L, 0 below 4.85L (twice the TNE)

      4.92L |  < TNE
      4.94L |
      4.96L |
      4.98L |
         5L |#  < declared
      5.02L |
      5.04L |
      5.06L |
      5.08L |
       5.1L |#
      5.12L |
      5.14L |#
      each row is 20mL, from its figure up; each # a pack

    Average system, Great Britain (SI 2006/659, as copied here)
      open  the mean reaches 5L: 5.0833L of 3 packs (short beyond doubt below
            4.5624L, with k 5.730), and 8 packs left to measure
      open  at most 0 below 4.925L: 0 found, and 8 packs left to measure
      open  none below 4.85L: 0 found, and 8 packs left to measure

    Nothing is against the run so far; 8 packs are left to measure before it can be
    said to meet the plan as copied here.
    This is your own check. The inspector's test is the inspector's: other packs,
    other scales, and rules that may have changed since they were copied here.
    Northern Ireland has regulations of its own, which may differ.
    ");
    // Worms go by number.
    assert_snapshot!(farm.on("2026-11-01", "fills run-89"), @"
    Dendrobaena bait worms, 50 (run-89): P26286-01-C
    4 of 7 packs measured, on 2026-10-13 17:40

      mean     51, 1 above the 50 declared
      spread   0.8
      lowest   50, highest 52

      50 |#  < declared
      51 |##
      52 |#
      each row is 1, from its figure up; each # a pack

    No pack below what it declares: what is sold by number is outside the average
    system
      open  none below 50: 0 found, and 3 packs left to measure

    Nothing is against the run so far; 3 packs are left to measure before it can be
    said to meet what castlot asks for.
    This is your own check. The inspector's test is the inspector's: other packs,
    other scales, and rules that may have changed since they were copied here.
    ");
    assert_snapshot!(farm.on("2026-11-01", "fills run-94"), @"
    Worm-worked compost 5L (run-94): P26303-02-J
    0 of 8 packs measured
    --- stderr ---
    hint: measure some, and note it: `castlot weigh P26303-02-J 5L 5L`
    ");
    assert_snapshot!(farm.on("2026-11-01", "fills blend-19"), @"
    --- stderr ---
    error: H26302-02-8 is not a pack run, but castings
    hint: see what it is with `castlot show H26302-02-8`
    --- exit 2 ---
    ");
}

#[test]
fn a_run_that_does_not_meet_the_plan_leaves_with_1_and_can_be_held() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on("2026-11-01", "fills run-87 --svg fills.svg"), @"
    Worm-worked compost 20L (run-87): P26282-01-7
    2 of 2 packs measured, on 2026-10-09 13:40

      mean     19.9L, 100mL below the 20L declared
      spread   0mL
      lowest   19.9L, highest 19.9L
      TNE      200mL: 0 below 19.8L, 0 below 19.6L (twice the TNE)

       19.8L |  < TNE
      19.82L |
      19.84L |
      19.86L |
      19.88L |
       19.9L |##
      19.92L |
      19.94L |
      19.96L |
      19.98L |
         20L |  < declared
      each row is 20mL, from its figure up; each # a pack

    Average system, Great Britain (SI 2006/659, as copied here)
      no    the mean reaches 20L: 19.9L of 2 packs
      yes   at most 0 below 19.8L: 0 found
      yes   none below 19.6L: 0 found

    The run does not meet the plan as copied here: mean 19.9L of 20L.
    This is your own check. The inspector's test is the inspector's: other packs,
    other scales, and rules that may have changed since they were copied here.
    Northern Ireland has regulations of its own, which may differ. The e mark is for
    packs of 5 g or mL to 10 kg or L; this one is over that.
    --- stderr ---
    error: P26282-01-7 does not meet the plan as copied here
    hint: hold it until it has been worked over: `castlot fills P26282-01-7 --hold`
    --- exit 1 ---
    ");
    let svg = std::fs::read_to_string(farm.path("fills.svg")).expect("it was written");
    assert_eq!(svg.matches("<circle").count(), 2, "a dot for each pack");
    assert!(svg.starts_with("<svg ") && svg.contains("2 of 2 packs measured"));
    let held = farm.on("2026-11-01", "fills run-87 --hold");
    assert!(
        held.contains("\nentry ") && held.ends_with("--- exit 1 ---\n"),
        "{held}"
    );
    assert!(
        farm.on("2026-11-01", "fills run-87 --hold")
            .contains("note: nothing to hold")
    );
}

#[test]
fn fills_are_data_too() {
    let farm = packed();
    farm.did("2026-04-05", "weigh run-1 3.09kg 3.1kg --tare 85g");
    assert_snapshot!(farm.on("2026-04-05", "--json fills run-1"), @r#"
    {
      "run": "P26093-01-Q",
      "ref": "run-1",
      "product": "bag5",
      "name": "Worm-worked compost",
      "net": 5000,
      "unit": "mL",
      "rule": "average system, Great Britain (SI 2006/659, as copied here)",
      "packs": 2,
      "measured": 2,
      "unread": 0,
      "basis": "guess",
      "values": [
        5008.3,
        5025.0
      ],
      "mean": 5016.65,
      "spread": 11.808683245815216,
      "lowest": 5008.3,
      "highest": 5025.0,
      "tne": 75.0,
      "below_net": 0,
      "below_tne": 0,
      "below_twice_tne": 0,
      "points": [
        {
          "point": "mean",
          "outcome": "yes",
          "sample": 2,
          "more": 0,
          "limit": 5000.0,
          "mean": 5016.65,
          "k": 0.0,
          "short": null,
          "accept": null
        },
        {
          "point": "few below the TNE",
          "outcome": "yes",
          "sample": 2,
          "more": 0,
          "limit": 4925.0,
          "mean": null,
          "k": null,
          "short": 0,
          "accept": 0
        },
        {
          "point": "none below twice the TNE",
          "outcome": "yes",
          "sample": 2,
          "more": 0,
          "limit": 4850.0,
          "mean": null,
          "k": null,
          "short": 0,
          "accept": 0
        }
      ],
      "verdict": "meets",
      "held_for_fills": false,
      "weighings": [
        14
      ],
      "warnings": []
    }
    "#);
}

#[test]
fn every_run_that_was_weighed_is_listed_and_a_short_one_on_the_shelf_is_not_overlooked() {
    let farm = packed();
    assert_snapshot!(farm.on("2026-04-05", "fills"), @"no run has been weighed");
    farm.did(
        "2026-04-05T09:00",
        "pack bag5 2 --from cast-1:50g --ref run-2",
    );
    farm.did("2026-04-05T10:00", "weigh run-2 5L 5L");
    farm.did("2026-04-05T10:00", "weigh run-1 4.9L 5L");
    assert_snapshot!(farm.on("2026-04-05T11:00", "fills"), @"
    run   net packs measured  mean below TNE                     code
    run-1  5L     2        2 4.95L         1 does not meet, held P26093-01-Q
    run-2  5L     2        2    5L         0 meets               P26095-01-A
    ");
    farm.did(
        "2026-04-05T11:30",
        "record hold --lot run-1 --state release --reason 'a slip'",
    );
    assert_snapshot!(farm.on("2026-04-05T12:00", "fills"), @"
      run    net  packs  measured   mean  below TNE                 code
      run-1   5L      2         2  4.95L          1  does not meet  P26093-01-Q
      run-2   5L      2         2     5L          0  meets          P26095-01-A
    --- stderr ---
    error: 1 run in store does not meet its rule and is not held
    hint: look at it with `castlot fills P26093-01-Q`, or hold it with `castlot fills P26093-01-Q --hold`
    --- exit 1 ---
    ");
}

/// An import records what its sheets say, and no more: a short run on the shelf is told, not held.
#[test]
fn a_short_run_of_an_imported_sheet_is_not_overlooked() {
    let farm = packed();
    farm.put(
        "in/weighings.csv",
        "when,run,values\n2026-04-05T09:00,run-1,4.9L; 4.9L\n",
    );
    assert_snapshot!(farm.on("2026-04-05T12:00", "import in"), @"
    recorded 1 entry
    entry 14
    --- stderr ---
    warning: 1 run in store does not meet its rule and is not held
    hint: list them with `castlot fills`
    ");
}
