//! Tests of whole folders that are read.

use super::super::fixture::{folder, import, moment, read, small};
use super::*;
use crate::farm::{Event, Strike, Word};

fn empty() -> Farm {
    Farm::default()
}

fn refused(files: &[(&str, &str)]) -> Vec<String> {
    import(&folder(files), &empty()).expect_err("something is wrong with it")
}

const DELIVERIES: (&str, &str) = (
    "deliveries.csv",
    "when,kind,name,supplier,amount,ref\n2026-02-01,bedding,straw,a farm,9kg,straw-1\n",
);

#[test]
fn a_small_farm_with_every_kind_of_row_is_imported() {
    let farm = import(&small(), &empty()).expect("nothing is wrong with it");
    let nouns: std::collections::BTreeSet<Noun> = farm
        .entries()
        .iter()
        .filter_map(|entry| entry.event.as_ref().map(Event::noun))
        .collect();
    assert_eq!(nouns.len(), Noun::ALL.len());
    assert_eq!(farm.faults(), []);
}

#[test]
fn rows_are_merged_by_day_then_natural_order_then_sheet_then_row() {
    let import = read(&small(), &empty(), AlreadyThere::Refuse).expect("sound sheets");
    let turns: Vec<_> = import
        .drafts
        .iter()
        .map(|draft| {
            (
                draft.when.day(),
                draft.event.noun().rank(),
                draft.event.noun(),
            )
        })
        .collect();
    assert!(turns.is_sorted());
    let first = import.origins.of(0).map(|origin| origin.to_string());
    assert_eq!(first.as_deref(), Some("deliveries.csv, row 2"));
}

#[test]
fn a_bin_without_a_date_was_set_up_on_the_first_day_of_the_folder() {
    let import = read(&small(), &empty(), AlreadyThere::Refuse).expect("sound sheets");
    let bins = import.drafts.iter().filter(|d| d.event.noun() == Noun::Bin);
    assert!(bins.clone().count() == 3 && bins.clone().all(|bin| bin.when == moment("2026-02-01")));

    let alone = folder(&[("bins.csv", "bin,place\nA01,R1/S1/P1\n")]);
    let import = read(&alone, &empty(), AlreadyThere::Refuse).expect("sound sheets");
    assert_eq!(import.drafts[0].when, moment("2026-10-31T12:00"));
}

#[test]
fn every_problem_of_a_folder_is_told_with_file_row_and_column() {
    let told = refused(&[
        DELIVERIES,
        ("bins.csv", "bin,place\nA01,R1\n"),
        (
            "feeds.csv",
            "when,bin,takes\n2026-02-30,A01,straw-1 2,5kg\n2026-02-03,A01,straw-1\n"
                .replace("2,5kg", "\"2,5kg\"")
                .as_str(),
        ),
        ("sales.csv", "when,packs,buyer,market\n2026-02-03,run-1,,\n"),
        (
            "Packs.CSV",
            "when,product,count,from\n2026-02-03,bag9,0,straw-1 4kg\n",
        ),
    ]);
    assert_eq!(
        told,
        [
            "bins.csv, row 2, column place: `R1` is not a place; one looks like `R2/S1/P3`: rack, shelf and place, each 1 to 6 of A-Z 0-9 and -",
            "feeds.csv, row 2: the row has 4 cells, and the header has 3",
            "feeds.csv, row 3, column takes: `straw-1` has no quantity; write the lot, a space and how much, as in `mix-17 300g`",
            "Packs.CSV, row 2, column product: castlot.toml has no product `bag9`; it has `bag20` or `tub50`",
            "Packs.CSV, row 2, column count: `0` is not a whole number from 1 to 1000000",
            "sales.csv, row 2, column packs: `run-1` does not say which packs; write `run-7 #1-12`, `run-7 x31` or `run-7 all`",
            "sales.csv, row 2, column buyer: a sale names a buyer or a market, and this one names neither",
        ]
    );
}

#[test]
fn what_the_rules_refuse_is_told_with_the_row_and_the_column_it_is_about() {
    let told = refused(&[
        DELIVERIES,
        (
            "beds.csv",
            "when,bin,takes\n2026-02-02,A01,straw-1 1kg\n2026-02-03,A01,straw-1 1kg\n",
        ),
        (
            "feeds.csv",
            "when,bin,takes\n\n2026-02-05,A09,straw-1 1kg\n2026-02-05,A01,straw-1 60kg\n",
        ),
    ]);
    assert_eq!(told.len(), 3, "{told:#?}");
    assert!(told[0].starts_with("beds.csv, row 3, column bin: bin A01 holds bed B26033-"));
    assert_eq!(
        told[1],
        "feeds.csv, row 3, column bin: bin A09 has no bed in it on 2026-02-05"
    );
    assert!(
        told[2].starts_with("feeds.csv, row 4, column takes: G26032-"),
        "{}",
        told[2]
    );

    let told = refused(&[
        DELIVERIES,
        ("feeds.csv", "when,bin,takes\n2026-02-05,A01,straw-2 1kg\n"),
        (
            "tests.csv",
            "when,lot,test,value\n2026-02-05,P26115-07-S,ph,7\n",
        ),
    ]);
    assert_eq!(
        told,
        [
            "feeds.csv, row 2, column takes: no lot has the ref `straw-2`",
            "tests.csv, row 2, column lot: no lot has the code P26115-07-S",
        ]
    );
}

#[test]
fn a_file_that_is_no_sheet_is_left_alone_with_a_word() {
    let mut files = small();
    files.insert("castlot.toml".to_owned(), b"[farm]".to_vec());
    let import = read(&files, &empty(), AlreadyThere::Refuse).expect("sound sheets");
    let file = "castlot.toml".to_owned();
    assert_eq!(import.notices, [Notice::NotASheet { file }]);
}

#[test]
fn two_files_of_one_sheet_are_refused() {
    let bins = "bin,place\nA01,R1/S1/P1\n";
    let told = refused(&[("Bins.csv", bins), ("bins.csv", bins)]);
    assert_eq!(
        told,
        ["bins.csv: `Bins.csv` is the same sheet; put all rows into one file"]
    );
}

#[test]
fn a_folder_imported_again_is_refused_or_passed_over() {
    let farm = import(&small(), &empty()).expect("sound sheets");
    let rows = farm.entries().len();
    let problems = read(&small(), &farm, AlreadyThere::Refuse).expect_err("all is there");
    assert_eq!(problems.len(), rows);
    let feed = problems.iter().find(|problem| problem.file == "feeds.csv");
    let told = feed.map(ToString::to_string).unwrap_or_default();
    assert!(told.starts_with("feeds.csv, row 2: this row is in the diary already, as entry "));

    let again = read(&small(), &farm, AlreadyThere::Skip).expect("all is passed over");
    assert_eq!((again.drafts.len(), again.skipped), (0, rows));
}

#[test]
fn of_equal_rows_as_many_are_there_already_as_the_diary_holds() {
    let farm = import(&small(), &empty()).expect("sound sheets");
    let row = "2026-02-08,A01,mix-1 0.48 kg,XY\n";
    let text = format!("when,bin,takes,by\n{}", row.repeat(3));
    let files = folder(&[("feeds.csv", &text)]);
    let again = read(&files, &farm, AlreadyThere::Skip).expect("two are passed over");
    assert_eq!((again.drafts.len(), again.skipped), (1, 2));
    let left = again.origins.of(0).map(|origin| origin.row);
    assert_eq!(left, Some(4));
}

#[test]
fn a_row_that_differs_in_its_amount_or_its_bed_is_new() {
    let farm = import(&small(), &empty()).expect("sound sheets");
    for row in [
        "2026-02-08,A01,mix-1 481g",
        "2026-02-08,A01,mix-1 ~480g",
        "2026-02-08,A02,mix-1 480g",
        "2026-02-09,A01,mix-1 480g",
    ] {
        let files = folder(&[("feeds.csv", &format!("when,bin,takes\n{row}\n"))]);
        let again = read(&files, &farm, AlreadyThere::Refuse);
        assert_eq!(again.map(|import| import.drafts.len()), Ok(1), "{row}");
    }
}

#[test]
fn what_was_struck_is_there_still_and_what_was_forgotten_may_have_been_anything() {
    let farm = import(&small(), &empty()).expect("sound sheets");
    let is_skip = |event: &Event<_>| event.noun() == Noun::Skip;
    let mut entries = farm.entries().to_vec();
    for entry in &mut entries {
        if let Some(Event::Sale { to, .. }) = &mut entry.event {
            to.buyer = to.buyer.take().map(|_| Word::Forgotten(7));
        }
    }
    let skip = farm
        .entries()
        .iter()
        .find(|e| e.event.as_ref().is_some_and(is_skip));
    let why = Word::of("a slip").expect("a word");
    let strike = Strike {
        entry: skip.expect("there is a skip").number,
        why,
    };
    let stamp = crate::farm::Stamp {
        written: jiff::Timestamp::UNIX_EPOCH,
        now: moment("2026-10-31"),
        by: None,
    };
    let farm = Farm::of(entries)
        .strike(strike, &stamp)
        .expect("it can be struck")
        .farm;
    let again = read(&small(), &farm, AlreadyThere::Skip).expect("sound sheets");
    let nouns: Vec<Noun> = again
        .drafts
        .iter()
        .map(|draft| draft.event.noun())
        .collect();
    assert_eq!(nouns, []);
}

#[test]
fn cells_names_and_rules_are_told_together_but_not_what_only_follows() {
    let files = folder(&[
        (
            "deliveries.csv",
            "when,kind,name,supplier,amount,ref\n\
             2026-03-01,bedding,straw,a farm,100kg,straw-1\n\
             2026-03-01,manure,dung,a yard,2;4kg,dung-1\n",
        ),
        (
            "beds.csv",
            "when,bin,takes\n2026-03-02,A01,straw-1 4kg\n2026-03-02,A02,straw-9 4kg\n",
        ),
        (
            "feeds.csv",
            "when,bin,takes\n\
             2026-03-03,A01,dung-1 1kg\n\
             2026-03-03,A02,straw-1 1kg\n\
             2026-03-03,A03,straw-1 1kg\n\
             2026-03-03,A01,straw-1 500kg\n",
        ),
    ]);
    let told = import(&files, &Farm::default()).expect_err("four rows are wrong");
    let places: Vec<&str> = told
        .iter()
        .map(|line| line.split(": ").next().unwrap())
        .collect();
    assert_eq!(
        places,
        [
            "deliveries.csv, row 3, column amount",
            "beds.csv, row 3, column takes",
            // Row 2 draws on what could not be read, and row 3 feeds a bed that could not be made.
            "feeds.csv, row 4, column bin",
            "feeds.csv, row 5, column takes",
        ],
        "{told:#?}"
    );
}
