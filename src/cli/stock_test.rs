//! Tests of what `castlot stock` prints.

use super::super::test_farm::{Print, farm, settings, shed};
use super::*;

#[test]
fn what_is_used_up_is_left_out_unless_asked_for() {
    insta::assert_snapshot!(text(&farm(), &shed(Print::Text), &settings(), &Args { all: false }), @"
    5 packs in store, 2 of them held or recalled, oldest first

    Past their best by, or within 14 days of it
                     in store  best by
      tubs-1  tub50         3  2026-04-30  PAST, 32 days ago  P26106-01-B

    bag5: Worm-worked compost
             age  made  sold  held  store
      run-1   48     3     2     1      0  HOLD  P26104-01-R
      run-2   47     2     1     1      0  HOLD  P26105-01-J
      all            5     3     2      0

    tub50: Bait worms
              age  made  sold  back  store
      tubs-1   46     4     2     1      3  FLAG  P26106-01-B

    What is left, oldest first (~ rests on a guess, ? nobody knows)

    Deliveries
                 made  used  lost  left
      straw-1    20kg  12kg   1kg   7kg        G26060-01-N
      manure-1   30kg     ?           ?  HOLD  G26060-02-L
      worms-1     4kg   2kg         2kg        G26060-03-J
      grain-1   ~10kg   1kg        ~9kg        G26060-04-H
      bags-1       50     5          45        G26060-05-F

    Castings
               made   used  left
      cast-1    4kg  3.9kg  100g  HOLD  H26100-01-G
      blend-1   5kg    3kg   2kg  HOLD  H26103-01-T

    Worms
                 made  used  left
      worms-out  900g  400g  500g  FLAG  H26100-02-E

    and 1 lot used up
    List everything with: castlot stock --all
    ");
    insta::assert_snapshot!(text(&farm(), &shed(Print::Text), &settings(), &Args { all: true }), @"
    5 packs in store, 2 of them held or recalled, oldest first

    Past their best by, or within 14 days of it
                     in store  best by
      tubs-1  tub50         3  2026-04-30  PAST, 32 days ago  P26106-01-B

    bag5: Worm-worked compost
             age  made  sold  held  store
      run-1   48     3     2     1      0  HOLD  P26104-01-R
      run-2   47     2     1     1      0  HOLD  P26105-01-J
      all            5     3     2      0

    tub50: Bait worms
              age  made  sold  back  store
      tubs-1   46     4     2     1      3  FLAG  P26106-01-B

    What is left, oldest first (~ rests on a guess, ? nobody knows)

    Deliveries
                 made  used  lost  left
      straw-1    20kg  12kg   1kg   7kg        G26060-01-N
      manure-1   30kg     ?           ?  HOLD  G26060-02-L
      worms-1     4kg   2kg         2kg        G26060-03-J
      grain-1   ~10kg   1kg        ~9kg        G26060-04-H
      bags-1       50     5          45        G26060-05-F

    Castings
               made   used  left
      cast-1    4kg  3.9kg  100g  HOLD  H26100-01-G
      cast-2    2kg    2kg     0  HOLD  H26102-01-Z
      blend-1   5kg    3kg   2kg  HOLD  H26103-01-T

    Worms
                 made  used  left
      worms-out  900g  400g  500g  FLAG  H26100-02-E
    ");
}

#[test]
fn stock_as_json_has_its_keys() {
    let json = text(
        &farm(),
        &shed(Print::Json),
        &settings(),
        &Args { all: false },
    );
    let stock: serde_json::Value = serde_json::from_str(&json).expect("it is JSON");
    insta::assert_snapshot!(out::json(&stock["runs"][0]), @r#"
    {
      "age_days": 48,
      "best_by": null,
      "best_by_in": null,
      "code": "P26104-01-R",
      "complained": 0,
      "flagged": false,
      "held": true,
      "in_store": 1,
      "labelled": null,
      "lost": 0,
      "made": 3,
      "name": "Worm-worked compost",
      "net": "5L",
      "opened": 0,
      "out": 2,
      "over": 0,
      "product": "bag5",
      "recalled": false,
      "ref": "run-1",
      "returned": 0,
      "sold": 2,
      "thrown": 0,
      "when": "2026-04-14T09:00"
    }
    "#);
    insta::assert_snapshot!(out::json(&stock["lots"][1]), @r#"
    {
      "code": "G26060-02-L",
      "flagged": false,
      "held": true,
      "kind": "manure",
      "left": null,
      "lost": 0,
      "made": 30000,
      "name": "horse manure",
      "ref": "manure-1",
      "sure": false,
      "thrown": 0,
      "unit": "g",
      "used": null,
      "when": "2026-03-01"
    }
    "#);
}

#[test]
fn what_was_drawn_unknown_leaves_an_unknown_amount() {
    let farm = farm();
    let id = farm
        .marked(&"manure-1".parse().expect("a mark"))
        .expect("a lot");
    assert_eq!(left(&farm, id), None);
}
