//! Tests of the sheets that are written back.

use super::super::fixture::{Files, import, moment, small};
use super::super::known::Known;
use super::super::read::Reader;
use super::*;
use crate::farm::{Draft, Event, Farm, Stamp, Strike, Word};

fn farm() -> Farm {
    import(&small(), &Farm::default()).expect("a sound farm")
}

/// What a farm adds up to, without the numbers of its entries.
pub(in super::super) fn sum_of(farm: &Farm) -> Vec<String> {
    let code = |id| farm.lot(id).code;
    let lots = farm.lots().map(|(_, lot)| {
        let shelf = lot.shelf.as_ref().map(|shelf| {
            (
                shelf.in_store(),
                shelf.sold(),
                shelf.thrown(),
                shelf.opened(),
            )
        });
        let holds: Vec<_> = lot
            .holds
            .iter()
            .map(|hold| (hold.since, hold.reach, hold.released))
            .collect();
        let ended = lot.ended.map(|ending| ending.when);
        format!(
            "{} {:?} {:?} {} {ended:?} {:?} {:?} {:?} {shelf:?} {holds:?}",
            lot.code, lot.mark, lot.sort, lot.when, lot.stays, lot.made, lot.stock
        )
    });
    let flows = farm.flows().iter().map(|flow| {
        format!(
            "{} {} {:?} {:?} {:?} {:?}",
            flow.when,
            code(flow.from),
            flow.to.map(code),
            flow.class,
            flow.much,
            flow.packs
        )
    });
    let complaints = farm.complaints().iter().map(|complaint| {
        let when = farm.entries()[complaint.entry].when;
        let settled = complaint.settled.iter();
        let settled: Vec<_> = settled.map(|at| farm.entries()[*at].when).collect();
        format!("{} {when} {settled:?}", complaint.name)
    });
    let lots = lots.chain(complaints);
    let (mut lots, flows): (Vec<_>, Vec<_>) = (lots.collect(), flows.collect());
    lots.sort();
    lots.extend(flows);
    lots.extend(
        farm.bins()
            .iter()
            .map(|(bin, held)| format!("{bin} {:?} {:?}", held.standing, held.bed.map(code))),
    );
    lots
}

fn stamp() -> Stamp {
    Stamp {
        written: jiff::Timestamp::UNIX_EPOCH,
        now: moment("2026-10-31"),
        by: None,
    }
}

fn strike(entry: u32) -> Strike {
    let why = Word::of("a slip").expect("a word");
    Strike { entry, why }
}

fn number_of(farm: &Farm, noun: Noun) -> u32 {
    let is = |event: &Event<_>| event.noun() == noun;
    let found = farm
        .entries()
        .iter()
        .find(|e| e.event.as_ref().is_some_and(is));
    found
        .expect("the small farm has a row of every kind")
        .number
}

#[test]
fn an_export_imported_is_the_same_farm_and_exports_the_same_bytes() {
    let farm = farm();
    let files = export(&farm);
    assert_eq!(files.len(), Noun::ALL.len());
    let again = import(&files, &Farm::default()).expect("an export is sound");
    assert_eq!(sum_of(&again), sum_of(&farm));
    assert_eq!(export(&again), files);
}

#[test]
fn an_export_names_lots_and_beds_by_code() {
    let files = export(&farm());
    let text = |file: &str| String::from_utf8(files[file].clone()).expect("UTF-8");
    assert_eq!(
        text("skips.csv"),
        "when,bin,why,by,note\r\n2026-02-12,B26033-02-K,food left,,\r\n"
    );
    let sievings = text("sievings.csv");
    assert!(
        sievings.contains(",B26033-01-M 400g; B26033-02-K ~500g,,,sw-1,H26069-"),
        "{sievings}"
    );
    assert!(text("deliveries.csv").contains(",~200kg,manure-1,G26032-"));
    assert!(text("packs.csv").contains(",a trial,run-2,P26073-"));
}

/// By the bed's code alone the sievings would be taken before the tip, which waits for the count.
#[test]
fn a_bed_that_is_tipped_sieved_and_followed_by_another_in_one_day_is_exported_as_it_was() {
    let files = super::super::fixture::folder(&[
        (
            "deliveries.csv",
            "when,kind,name,supplier,amount,ref\n\
             2026-02-28,bedding,straw,a farm,60kg,straw-1\n2026-02-28,worms,red worms,a farm,6kg,worms-1\n",
        ),
        (
            "beds.csv",
            "when,bin,takes\n2026-02-28,A01,straw-1 3kg; worms-1 400g\n2026-03-09,A02,straw-1 1kg; sw-1 ?\n",
        ),
        (
            "counts.csv",
            "when,lot,found,why\n2026-03-09T12:49,straw-1,9kg,mice\n",
        ),
        ("tips.csv", "when,bin,to_bin\n2026-03-09T12:58,A01,A02\n"),
        (
            "sievings.csv",
            "when,kind,from,amount,clears,ref\n\
             2026-03-09,worms,A02,?,,sw-1\n2026-03-09,castings,A02,1200g,all,sift-1\n",
        ),
    ]);
    let farm = import(&files, &Farm::default()).expect("a sound farm");
    let again = import(&export(&farm), &Farm::default());
    assert_eq!(again.as_ref().map(sum_of), Ok(sum_of(&farm)));
}

#[test]
fn empty_sheets_have_every_header_and_import_as_nothing() {
    let files: Files = empty_sheets();
    assert_eq!(files.len(), Noun::ALL.len());
    assert_eq!(files["tips.csv"], b"when,bin,to_bin,by,note\r\n");
    let farm = import(&files, &Farm::default()).expect("they are sound");
    assert_eq!(farm.entries().len(), 0);
}

#[test]
fn what_is_struck_is_left_out_and_a_correction_has_the_seat_of_what_it_replaced() {
    let farm = farm();
    let skip = number_of(&farm, Noun::Skip);
    let farm = farm
        .strike(strike(skip), &stamp())
        .expect("it can be struck")
        .farm;
    let feed = number_of(&farm, Noun::Feed);
    let draft = corrected(&farm, feed, "takes", "mix-1 500g");
    let farm = farm
        .correct(strike(feed), draft, &stamp())
        .expect("it can be corrected")
        .farm;
    let files = export(&farm);
    assert!(!files.contains_key("skips.csv"));
    let feeds = String::from_utf8(files["feeds.csv"].clone()).expect("UTF-8");
    let second = feeds.lines().nth(1).unwrap_or_default();
    assert!(
        second.starts_with("2026-02-05T09:00,B26033-01-M,H26036-") && second.contains(" 500g,"),
        "{second}"
    );
    let again = import(&files, &Farm::default()).expect("an export is sound");
    assert_eq!(sum_of(&again), sum_of(&farm));
}

/// Reads an entry's row again with one column changed, as a correction does.
fn corrected(farm: &Farm, entry: u32, column: &'static str, text: &'static str) -> Draft {
    let settings = super::super::fixture::settings();
    let known = Known::of(farm);
    let mut row = farm
        .entry(entry)
        .and_then(|entry| row_of(farm, entry))
        .expect("it has a row");
    row.set(column, text).expect("it has the column");
    let reader = Reader::new(&settings, &known, moment("2026-02-01"));
    reader.read(&row).expect("a sound row")
}

#[test]
fn what_was_forgotten_is_exported_by_its_key() {
    let mut entries = farm().entries().to_vec();
    for entry in &mut entries {
        if let Some(Event::Sale { to, .. }) = &mut entry.event {
            to.buyer = to.buyer.take().map(|_| Word::Forgotten(7));
        }
    }
    let files = export(&Farm::of(entries));
    let sales = String::from_utf8(files["sales.csv"].clone()).expect("UTF-8");
    assert!(sales.contains(",forgotten-7,"), "{sales}");
}
