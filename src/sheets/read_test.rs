//! Tests of rows that are read.

use super::super::column::columns;
use super::super::fixture::{moment, settings};
use super::super::write::row_of_draft;
use super::*;
use crate::farm::Farm;

/// A row of every kind with something in every column, as it is written; `|` stands between cells.
pub(in super::super) const FULL: [(Noun, &str); 26] = [
    (
        Noun::Bin,
        "A01|R1/S1/P1|2026-02-01|Eisenia fetida|600|400|220|plywood, oiled|NT|new",
    ),
    (
        Noun::Delivery,
        "2026-02-01T08:30|manure|horse manure|a livery yard|~200kg|manure-1|G26061-01-F|lot 4|none|horse|the levels|30|not known|the same yard|said no|ivermectin|2026-01-02|the groom|2026-02-01|shelf 2|c-17|NT|steaming",
    ),
    (
        Noun::Bed,
        "2026-02-02|A01|straw-1 4kg; worms-1 ?|Eisenia fetida|bed-1||NT|deep",
    ),
    (
        Noun::Feed,
        "2026-02-02|A01|mix-1 480g; run-7/1-3 6L|NT|thin",
    ),
    (Noun::Skip, "2026-02-02|A01|food left|NT|dry"),
    (
        Noun::Check,
        "2026-02-02|A01|none|dry|75|-18.5|7.0|lively|few|earth|gnats|NT|ok",
    ),
    (Noun::Split, "2026-02-02|A01|1 of 3|A02|bed-2||NT|crowded"),
    (Noun::Tip, "2026-02-02|A01|A02|NT|thin"),
    (Noun::Tip, "2026-02-02|bed-1|bed-2|NT|thin"),
    (Noun::Move, "2026-02-02|A01|BOILER/1/1|NT|warm"),
    (
        Noun::Sieving,
        "2026-02-02|castings|A01; bed-2|22kg|A01|sift-1||NT|wet",
    ),
    (
        Noun::Sieving,
        "2026-02-02|overs|A01 4kg; bed-2 ~3kg||all|sift-1||NT|wet",
    ),
    (
        Noun::Blend,
        "2026-02-02|bedding|straw-1 4kg|heap-1||NT|turned",
    ),
    (
        Noun::Test,
        "2026-02-02|sift-1|density|610|g/L|jug|us|fair|NT|twice",
    ),
    (
        Noun::Pack,
        "2026-02-02|tub50|12|sw-1 400; lids-1 12|2026-02-16|a trial|run-1|P26115-07-S|NT|cold",
    ),
    (Noun::Weighing, "2026-02-02|run-1|20.1L; 19.9L|40g|NT|level"),
    (
        Noun::Sale,
        "2026-02-02|run-7 #1-12; run-8 #5; tub-3 x31; run-9 all|a shop|Quay market|01632 960508|inv-1|asked|NT|slow",
    ),
    (
        Noun::Return,
        "2026-02-02|run-7 #1|complained|a shop|Quay market|NT|wet",
    ),
    (Noun::Count, "2026-02-02|straw-1|80kg|mice|NT|again"),
    (Noun::Count, "2026-02-02|straw-1|0|mice|NT|again"),
    (Noun::Thrown, "2026-02-02|sift-1 500g|stones|NT|hedge"),
    (
        Noun::Complaint,
        "2026-02-02|sour|P26115-07-S/0012|on the telephone|bag20|Quay market|2026-01|01632 960829|call-1|NT|calm",
    ),
    (
        Noun::Settlement,
        "2026-02-02|call-1|aired and dried|NT|calm",
    ),
    (
        Noun::Hold,
        "2026-02-02|manure-1|hold|bean test|all|NT|tag on",
    ),
    (
        Noun::Recall,
        "2026-02-02|recall-1|told|run-1; run-2|run-1 #4|a shop|rang|NT|calm",
    ),
    (
        Noun::Print,
        "2026-02-02|run-1 all|bag-front|shed laser|12|1|35798cc8|jam|NT|again",
    ),
];

fn row(noun: Noun, cells: &str) -> Row<'_> {
    let cells = cells.split('|').map(Into::into).collect();
    Row::of(noun, cells)
}

fn read(row: &Row) -> Result<Draft, Vec<String>> {
    let (farm, settings) = (Farm::default(), settings());
    let known = Known::of(&farm);
    let draft = Reader::new(&settings, &known, moment("2026-01-31")).read(row);
    draft.map_err(|told| told.iter().map(ToString::to_string).collect())
}

#[test]
fn a_row_that_says_something_in_every_column_is_written_as_it_was_read() {
    for noun in Noun::ALL {
        assert!(FULL.iter().any(|(full, _)| *full == noun), "{noun:?}");
    }
    for (noun, cells) in FULL {
        let typed = row(noun, cells);
        let draft = read(&typed).expect("a sound row");
        let written = row_of_draft(&draft);
        let cells: Vec<&str> = written.cells().collect();
        assert_eq!(cells, typed.cells().collect::<Vec<_>>(), "{noun:?}");
    }
}

#[test]
fn an_empty_row_is_told_every_column_that_has_to_say_something() {
    for noun in Noun::ALL {
        let told = read(&Row::new(noun)).expect_err("nothing is said");
        let said_nothing =
            |name: &str| told.contains(&format!("column {name}: nothing is said here"));
        for column in columns(noun) {
            assert_eq!(
                said_nothing(column.name),
                column.required,
                "{noun:?} {}",
                column.name
            );
        }
    }
}

#[test]
fn every_item_of_a_list_that_is_wrong_is_told() {
    let told = read(&row(
        Noun::Feed,
        "2026-02-02|A01|mix-1 480g; mix-2; ;mix-3 1 pail||",
    ));
    let told = told.expect_err("two are wrong");
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().all(|one| one.starts_with("column takes: `")));
    let told = read(&row(Noun::Feed, "2026-02-02|A01| ; ||"));
    assert_eq!(
        told,
        Err(vec!["column takes: nothing is said here".to_owned()])
    );
}

#[test]
fn a_best_by_is_reckoned_from_the_product_where_the_row_has_none() {
    let best_by = |product: &str| {
        let cells = format!("2026-02-02|{product}|12|sw-1 400||||||");
        let typed = row(Noun::Pack, &cells);
        match read(&typed).expect("a sound row").event {
            Event::Pack { best_by, .. } => best_by.map(|day| day.to_string()),
            _ => None,
        }
    };
    assert_eq!(best_by("tub50").as_deref(), Some("2026-02-16"));
    assert_eq!(best_by("TUB50").as_deref(), Some("2026-02-16"));
    assert_eq!(best_by("bag20"), None);
}

#[test]
fn words_numbers_and_dates_that_cannot_be_are_refused() {
    let wrong: [(Noun, &str, &str); 10] = [
        (
            Noun::Sieving,
            "2026-02-02|feed|A01||||||",
            "a sieving does not yield `feed`",
        ),
        (
            Noun::Test,
            "2026-02-02|sift-1|bean|curled||||||",
            "write `pass` or `fail`",
        ),
        (
            Noun::Check,
            "2026-02-02|A01|much||||||||||",
            "write `none`, `some`, or `lots`",
        ),
        (
            Noun::Check,
            "2026-02-02|A01||||warm|||||||",
            "column temperature_c: `warm` is not a number",
        ),
        (
            Noun::Check,
            "2026-02-02|A01||||18,5|||||||",
            "`18,5` is not a number",
        ),
        (
            Noun::Hold,
            "2026-02-02|run-1|held|x|||",
            "write `hold` or `release`",
        ),
        (
            Noun::Split,
            "2026-02-02|A01|3 of 3|A02||||",
            "is not a share of a bed",
        ),
        (
            Noun::Pack,
            "2026-02-02|tub50|12|sw-1 4|2026-02-16T10:00|||||",
            "only the date is wanted",
        ),
        (
            Noun::Thrown,
            "2026-02-02|sift-1 500g; sift-2 1kg|x||",
            "give each a row of its own",
        ),
        (
            Noun::Move,
            "2026-03-29T01:30|A01|R1/S1/P1||",
            "the clocks of Europe/London went forward",
        ),
    ];
    for (noun, cells, part) in wrong {
        let told = read(&row(noun, cells)).expect_err("it is wrong");
        assert!(
            told.iter().any(|one| one.contains(part)),
            "{part}: {told:?}"
        );
    }
}

#[test]
fn what_is_thrown_out_is_some_of_a_lot_or_packs_or_a_bed() {
    let what = |text: &str| {
        let cells = format!("2026-02-02|{text}|old||");
        let typed = row(Noun::Thrown, &cells);
        let draft = read(&typed).expect("a sound row");
        row_of_draft(&draft).cell("what").to_owned()
    };
    for (typed, kept) in [
        ("mix-1 1.15 kg", "mix-1 1.15kg"),
        ("run-7/1-3 6L", "run-7/1-3 6L"),
        ("run-7/3", "run-7 #3"),
        ("run-7 #1; run-8 x2;", "run-7 #1; run-8 x2"),
        ("run-7 all", "run-7 all"),
        ("C06", "C06"),
        ("bed-7", "bed-7"),
    ] {
        assert_eq!(what(typed), kept);
    }
}
