//! Tests of what `castlot find` finds.

use super::super::test_farm::{Print, farm, settings, shed};
use super::*;

fn sought(code: &str, bought: Option<&str>, about: Option<&str>, print: Print) -> String {
    let args = Args {
        code: code.split_whitespace().map(ToOwned::to_owned).collect(),
        bought: bought.map(ToOwned::to_owned),
        about: about.map(ToOwned::to_owned),
    };
    match text(&farm(), &settings(), &shed(print), &args) {
        Ok(text) => text,
        Err(failure) => format!("{failure:#?}"),
    }
}

#[test]
fn half_a_code_a_place_and_a_time_lead_to_the_run() {
    let all = sought("104-1", Some("the quay market"), Some("april"), Print::Text);
    insta::assert_snapshot!(all, @"
    Worm-worked compost 5L (run-1), packed 2026-04-14 09:00: P26104-01-R
      its code has 104-1 in it
      sold at Quay market on 2026-04-19
    ");
    let heard = sought("one oh four dash oh one", None, None, Print::Text);
    insta::assert_snapshot!(heard, @"
    Worm-worked compost 5L (run-1), packed 2026-04-14 09:00: P26104-01-R
      its code has 104-01 in it
    ");
}

#[test]
fn what_fits_in_part_is_said_to() {
    let part = sought("104-01", Some("Quay market"), Some("2025"), Print::Text);
    insta::assert_snapshot!(part, @"
    Nothing fits all of that; these fit in part:

    Worm-worked compost 5L (run-1), packed 2026-04-14 09:00: P26104-01-R
      its code has 104-01 in it
      sold at Quay market on 2026-04-19
    ");
}

#[test]
fn candidates_as_json_have_their_keys() {
    insta::assert_snapshot!(sought("105/2", Some("nursery"), None, Print::Json), @r#"
    {
      "asked": 2,
      "candidates": [
        {
          "code": "P26105-01-J",
          "ref": "run-2",
          "kind": "pack run",
          "name": "Worm-worked compost 5L",
          "when": "2026-04-15T09:00",
          "serial": 2,
          "fits": 2,
          "why": [
            "its code has 105 in it",
            "sold to a nursery on 2026-04-25"
          ]
        }
      ]
    }
    "#);
}

#[test]
fn nothing_asked_a_strange_time_and_nothing_found_are_told_apart() {
    insta::assert_snapshot!(sought("", None, None, Print::Text), @r#"
    Failure {
        kind: Refused,
        texts: [
            "nothing to look for",
        ],
        hints: [
            "give half a code, a place or a time: `castlot find 15-02 --bought \"Quay market\" --about 2026-05`",
        ],
    }
    "#);
    insta::assert_snapshot!(sought("", None, Some("soonish"), Print::Text), @r#"
    Failure {
        kind: Refused,
        texts: [
            "`soonish` is not a day, a month or a year",
        ],
        hints: [
            "write it as in `--about 2026-05`, `--about 2026-05-09` or `--about may`",
        ],
    }
    "#);
    insta::assert_snapshot!(sought("999-99", None, None, Print::Text), @"
    nothing fits; try less of the code, or leave the place or the time out
    ");
}
