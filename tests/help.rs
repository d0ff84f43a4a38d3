//! The help: what it shows, and that its examples run on the demo farm.

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm, demo_lots};

#[test]
fn the_help_of_a_row_lists_its_columns() {
    assert_snapshot!(TestFarm::nowhere().on("2026-03-01", "record feed --help"), @r#"
    Feed a bed

    Usage: castlot record feed [OPTIONS] --bin <BED> --takes <LOT AMOUNT>

    Options:
          --when <WHEN>         When it happened: a day, or a day and a minute; now, where nothing is
                                said
          --bin <BED>           The bin whose bed it is, or the bed's code or ref
          --takes <LOT AMOUNT>  What goes in: a lot and an amount. May be given several times
          --note <TEXT>         A remark
          --by <INITIALS>       Who records, or whose entries are asked for: initials. `CASTLOT_BY` says
                                who records where this does not
          --farm <DIR>          The farm's folder [env: CASTLOT_FARM=] [default: .]
          --json                Print data as one JSON object
      -h, --help                Print help

    Example: `castlot record feed --bin A01 --takes "mix-109 300g"`
    "#);
}

#[test]
fn every_example_in_the_help_runs_on_the_demo_farm() {
    let commands = [
        "balance",
        "bed",
        "bed-life",
        "blend",
        "check",
        "complaint",
        "complaint list",
        "complaint narrow",
        "complaint settle",
        "complaint show",
        "complaint take",
        "correct",
        "count",
        "drill",
        "export",
        "feed",
        "fill-target",
        "fills",
        "forget",
        "hatchery",
        "hold",
        "import",
        "move",
        "new",
        "outlook",
        "pack",
        "paper rack-card",
        "paper recall-notice",
        "paper recall-report",
        "paper round-sheet",
        "paper stall-sign",
        "paper trace-file",
        "pin",
        "recall",
        "recall close",
        "recall list",
        "recall open",
        "recall returned",
        "recall show",
        "recall told",
        "reconcile",
        "record",
        "release",
        "return",
        "round",
        "round record",
        "scan",
        "sell",
        "sieve",
        "skip",
        "split",
        "strike",
        "throw",
        "tip",
        "tonnage",
        "undo",
        "verify",
        "weigh",
    ];
    let record = castlot_nouns()
        .into_iter()
        .map(|noun| format!("record {noun}"));
    for command in commands.map(str::to_owned).into_iter().chain(record) {
        let farm = TestFarm::demo();
        let help = farm.on(DEMO_END, &format!("{command} --help"));
        let joined = help.split_whitespace().collect::<Vec<_>>().join(" ");
        let example = joined
            .split("Example: `castlot ")
            .nth(1)
            .and_then(|rest| rest.split('`').next());
        let example = example.unwrap_or_else(|| panic!("{command} has no example:\n{help}"));
        let done = farm.on(DEMO_END, example);
        assert!(!done.contains("--- exit"), "castlot {example}\n{done}");
        // Every bin of the demo farm is full, so that a new bed takes a bin that nobody has set up; what is left to pack has
        // no density test yet.
        let warned = done.lines().filter(|line| line.starts_with("warning: "));
        let told = ["has not been set up", "has no density test"];
        let expected = warned
            .into_iter()
            .all(|line| told.iter().any(|told| line.contains(told)));
        assert!(expected, "castlot {example}\n{done}");
    }
}

/// Returns the nouns of the sheets, from the demo farm's folder of them.
fn castlot_nouns() -> Vec<String> {
    let help = TestFarm::nowhere().on("2026-03-10", "record --help");
    let nouns = help.lines().skip_while(|line| *line != "Nouns:").skip(1);
    let nouns = nouns.take_while(|line| line.starts_with("  "));
    let nouns: Vec<String> = nouns
        .filter_map(|line| line.split_whitespace().next())
        .map(str::to_owned)
        .filter(|noun| noun != "help")
        .collect();
    let sheets = std::fs::read_dir(demo_lots()).expect("the demo farm has sheets");
    let sheets = sheets
        .flatten()
        .filter(|found| found.path().extension().is_some_and(|end| end == "csv"));
    assert_eq!(nouns.len(), sheets.count(), "a noun for each sheet");
    nouns
}
