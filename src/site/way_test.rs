//! The lineage on a page, read as a browser has it: whatever is behind a lot, each of its lots stands in exactly one row,
//! named or counted, and the page stays small.

use std::collections::{BTreeMap, BTreeSet};

use crate::farm::{
    BatchKind, Clears, DeliveryKind, Draft, Event, Farm, Moment, PackKind, Public, PublicFact,
    QrForm,
};
use crate::trace::{Reached, Relation, Start, back};

use super::fixture::{farm, lot, settings};
use super::makings::{bed, delivery, draft, feed, more, pack, sieving};
use super::tests::{attributes, page, pages_with};

/// A row as it stands on a page.
struct Shown {
    dot: String,
    /// How many lots its line says it is.
    said: usize,
    codes: Vec<String>,
    /// How many lots it only counts.
    counted: usize,
}

/// Returns the rows of a page's lineage, the lot's own left out.
fn shown(page: &str) -> Vec<Shown> {
    let (_, way) = page.split_once("<div class=\"way").expect("a lineage");
    let way = way.split("</div></section>").next().unwrap_or_default();
    let rows = way.split("<li><svg class=\"g\"").skip(1).map(row);
    rows.filter(|row| row.dot != "self").collect()
}

fn row(text: &str) -> Shown {
    let dot = text.split("<circle class=\"").nth(1).expect("a dot");
    let codes: Vec<String> = text
        .split("/index.html\">")
        .skip(1)
        .map(|rest| rest.split('<').next().unwrap_or_default().to_owned())
        .collect();
    let several = text.split("<summary>").nth(1);
    let summary = several.map(|rest| rest.split("</summary>").next().unwrap_or_default());
    let counted = text.split(", counted and not named").next();
    let counted = counted.filter(|_| text.contains(", counted and not named"));
    Shown {
        dot: dot.split('"').next().unwrap_or_default().to_owned(),
        said: summary.map_or(1, lots_in),
        codes,
        counted: counted.map_or(0, |rest| {
            lots_in(rest.rsplit("<p>").next().unwrap_or_default())
        }),
    }
}

/// Returns the number before a word for lots, as in `1,203 batches, May 2026`.
fn lots_in(text: &str) -> usize {
    let words: Vec<&str> = text.split([' ', '>', '<']).collect();
    let is_noun = |word: &str| {
        let word = word.trim_end_matches(',');
        ["deliveries", "beds", "batches", "delivery", "bed", "batch"].contains(&word)
    };
    let noun = words.iter().position(|word| is_noun(word));
    let before = words[..noun.expect("a word for lots")].iter().rev();
    let number = before.map(|word| word.replace(',', ""));
    number
        .into_iter()
        .find_map(|word| word.parse().ok())
        .expect("a number of lots")
}

fn traced(farm: &Farm, mark: &str) -> Vec<Reached> {
    let start = Start {
        lot: lot(farm, mark),
        serial: None,
        when: None,
    };
    back(farm, start)
}

/// Holds a lot's page to what a trace of it says. Returns how many lots it names and how many it counts.
fn judge(farm: &Farm, mark: &str) -> (usize, usize) {
    let reached = traced(farm, mark);
    let ways: BTreeMap<String, Relation> = reached
        .iter()
        .map(|r| (farm.lot(r.lot).code.to_string(), r.relation))
        .collect();
    let all = pages_with(farm, &settings(QrForm::Gs1));
    let run = page(&all, farm, mark);
    super::well_formed::check(run).expect("well formed");
    let rows = shown(run);
    assert!(rows.len() < 24, "{} rows", rows.len());
    let (mut named, mut counted) = (BTreeSet::new(), 0);
    for row in &rows {
        assert_eq!(row.codes.len() + row.counted, row.said, "{:?}", row.codes);
        counted += row.counted;
        for code in &row.codes {
            assert!(named.insert(code.clone()), "{code} stands in two rows");
            let relation = ways.get(code).expect("only what is behind it is named");
            let is_film = *relation == Relation::Carried;
            assert_eq!(is_film, row.dot == "film", "{code}");
        }
    }
    assert_eq!(named.len() + counted, reached.len());
    let films = reached.iter().filter(|r| r.relation == Relation::Carried);
    let in_film = rows.iter().filter(|row| row.dot == "film");
    assert_eq!(
        in_film.map(|row| row.said).sum::<usize>(),
        films.count(),
        "films stand apart"
    );
    let is_short = run.contains("trace file of");
    assert_eq!(is_short, counted > 0, "and what to do is said");
    for (path, text) in &all {
        assert!(text.len() < 60_000, "{path}: {}", text.len());
    }
    (named.len(), counted)
}

fn day(n: usize) -> Moment {
    let first = jiff::civil::date(2020, 1, 1);
    let days = jiff::Span::new().days(i64::try_from(n).expect("few days"));
    Moment::day_only(first.checked_add(days).expect("in this age"))
}

/// A bed with so many deliveries behind it.
fn fed(count: usize) -> Farm {
    let mut drafts: Vec<Draft> = Vec::new();
    drafts.push(draft(
        day(0),
        delivery(DeliveryKind::Bedding, "40kg", "straw"),
    ));
    drafts.push(draft(day(1), bed("A01", "straw 9kg", "run")));
    for n in 1..count {
        let kind = [
            DeliveryKind::Manure,
            DeliveryKind::Feedstock,
            DeliveryKind::Grit,
        ][n % 3];
        let mark = format!("d{n}");
        drafts.push(draft(day(n), delivery(kind, "9kg", &mark)));
        drafts.push(draft(day(n), feed("run", &format!("{mark} 9kg"))));
    }
    more(&Farm::default(), drafts)
}

/// A bag of castings of beds that each began with the worms of the one before: four lots to a bed.
fn bedded(beds: usize) -> Farm {
    let mut drafts: Vec<Draft> = Vec::new();
    drafts.push(draft(day(0), delivery(DeliveryKind::Worms, "3kg", "w0")));
    let mut takes = Vec::new();
    for n in 1..=beds {
        let (dung, bed_mark) = (format!("d{n}"), format!("b{n}"));
        let (castings, worms) = (format!("c{n}"), format!("w{n}"));
        let before = format!("w{}", n - 1);
        let bin = format!("A{:02}", n % 90 + 1);
        let from = [(bed_mark.as_str(), "2kg")];
        let of_worms = [(bed_mark.as_str(), "800g")];
        let none = Clears::Named(Vec::new());
        drafts.extend([
            draft(day(n), delivery(DeliveryKind::Manure, "9kg", &dung)),
            draft(
                day(n),
                bed(&bin, &format!("{dung} 4kg; {before} 300g"), &bed_mark),
            ),
            draft(
                day(n + 1),
                sieving(BatchKind::Worms, &of_worms, none, &worms),
            ),
            draft(
                day(n + 1),
                sieving(BatchKind::Castings, &from, Clears::All, &castings),
            ),
        ]);
        takes.push(format!("{castings} 1kg"));
    }
    let packed = pack(PackKind::Bag, 9, &takes.join("; "), "run");
    drafts.push(draft(day(beds + 2), packed));
    more(&Farm::default(), drafts)
}

#[test]
fn every_lot_behind_another_is_named_in_one_row_while_there_is_room() {
    assert_eq!(judge(&fed(1), "run"), (1, 0));
    assert_eq!(judge(&fed(24), "run"), (24, 0));
    assert_eq!(judge(&fed(200), "run"), (200, 0));
    assert_eq!(judge(&bedded(6), "run"), (24, 0));
    assert_eq!(judge(&bedded(50), "run"), (200, 0));
}

#[test]
fn with_2_000_lots_behind_it_a_page_names_some_counts_the_others_and_says_what_to_do() {
    for farm in [fed(2000), bedded(500)] {
        let (named, counted) = judge(&farm, "run");
        assert_eq!(named + counted, 2000);
        assert!((200..=240).contains(&named), "{named}");
    }
}

#[test]
fn worms_films_and_parts_stand_in_rows_of_their_own() {
    let farm = farm();
    for mark in ["mark-of-run", "mark-of-tubs", "mark-of-bed-3"] {
        let (named, counted) = judge(&farm, mark);
        assert!(named > 4 && counted == 0, "{mark}");
    }
    let all = pages_with(&farm, &settings(QrForm::Web));
    let rows = shown(page(&all, &farm, "mark-of-tubs"));
    for dot in ["part", "live", "film"] {
        assert!(rows.iter().any(|row| row.dot == dot), "{dot}");
    }
}

/// However many animals there are, the rows can be read.
#[test]
fn deliveries_of_many_sorts_are_put_together() {
    let mut drafts = vec![draft(
        day(0),
        delivery(DeliveryKind::Bedding, "40kg", "straw"),
    )];
    drafts.push(draft(day(1), bed("A01", "straw 9kg", "run")));
    for n in 0..60 {
        let mark = format!("d{n}");
        let mut manure = delivery(DeliveryKind::Manure, "9kg", &mark);
        if let Event::Delivery { facts, .. } = &mut manure {
            facts.animal = Some(format!("beast {n}").into());
        }
        drafts.push(draft(day(2), manure));
        drafts.push(draft(day(2), feed("run", &format!("{mark} 9kg"))));
    }
    let farm = more(&Farm::default(), drafts);
    assert_eq!(judge(&farm, "run"), (61, 0));
    let all = pages_with(&farm, &settings(QrForm::Web));
    assert_eq!(
        shown(page(&all, &farm, "run")).len(),
        2,
        "bedding and manure"
    );
}

/// A bag of the castings of so many beds on two racks.
fn racked(beds: usize) -> Farm {
    let mut drafts = vec![draft(
        day(0),
        delivery(DeliveryKind::Bedding, "400kg", "straw"),
    )];
    let mut takes = Vec::new();
    for n in 1..=beds {
        let (bin, mark, cast) = (format!("A{n:02}"), format!("b{n}"), format!("c{n}"));
        let stands = Event::Bin {
            bin: bin.parse().expect("a bin's code"),
            place: format!("R{}/S1/P{n}", n % 2 + 1).parse().expect("a place"),
            facts: Box::default(),
        };
        let from = [(mark.as_str(), "2kg")];
        drafts.push(draft(day(0), stands));
        drafts.push(draft(day(1), bed(&bin, "straw 4kg", &mark)));
        drafts.push(draft(
            day(40),
            sieving(BatchKind::Castings, &from, Clears::Named(Vec::new()), &cast),
        ));
        takes.push(format!("{cast} 1kg"));
    }
    drafts.push(draft(
        day(41),
        pack(PackKind::Bag, 9, &takes.join("; "), "run"),
    ));
    more(&Farm::default(), drafts)
}

/// Returns the drawing on a lot's page where these facts are public.
fn drawn(farm: &Farm, mark: &str, facts: &[PublicFact]) -> String {
    let mut own = settings(QrForm::Web);
    own.public = Public::of(facts.iter().copied()).expect("the list has what it needs");
    let all = pages_with(farm, &own);
    let page = page(&all, farm, mark);
    super::well_formed::check(page).expect("well formed");
    let (_, way) = page.split_once("id=\"way\"").expect("a lineage");
    let way = way.split("</div></section>").next();
    way.unwrap_or_default().to_owned()
}

#[test]
fn the_drawing_names_racks_only_where_places_are_public() {
    let farm = racked(16);
    let with = drawn(&farm, "run", PublicFact::ALL);
    assert!(with.contains("8 beds on rack R1<") && with.contains("8 beds on rack R2<"));
    let mut facts = PublicFact::ALL.to_vec();
    facts.retain(|fact| *fact != PublicFact::Places);
    let without = drawn(&farm, "run", &facts);
    assert!(without.contains("16 beds<") && !without.contains("rack"));
}

#[test]
fn the_drawing_says_no_more_than_the_list_lets_out() {
    let farm = farm();
    let code = |mark: &str| farm.lot(lot(&farm, mark)).code.to_string();
    let of_goods = code("mark-of-manure");
    let of_bed = code("mark-of-bed-1");
    let all = drawn(&farm, "mark-of-run", PublicFact::ALL);
    let least = drawn(
        &farm,
        "mark-of-run",
        &[PublicFact::MadeFrom, PublicFact::Way],
    );
    for said in [&*of_goods, &of_bed, "onkey", "9 Mar 2026", "1 Mar 2026"] {
        assert!(!least.contains(said), "{said}");
    }
    for said in [&*of_goods, &of_bed, "onkey"] {
        assert!(all.contains(said), "{said}");
    }
    for said in [
        "Manure",
        "Worm bed",
        "Sieved castings",
        &code("mark-of-cast"),
    ] {
        assert!(least.contains(said), "{said}");
    }
    assert!(
        !least.contains("too many to name"),
        "they are not, it is no public fact"
    );
    let with_months = [PublicFact::MadeFrom, PublicFact::Way, PublicFact::Months];
    let with_months = drawn(&farm, "mark-of-run", &with_months);
    let goods = |text: &str| {
        text.split("<h3>")
            .nth(1)
            .map(|goods| goods.matches("Mar 2026</small>").count())
    };
    assert_eq!(goods(&least), Some(0), "{least}");
    assert!(goods(&with_months) > Some(0), "{with_months}");
}

#[test]
fn a_reader_who_does_not_see_the_lines_is_told_where_each_row_led() {
    let farm = farm();
    let all = pages_with(&farm, &settings(QrForm::Web));
    let bag = page(&all, &farm, "mark-of-run");
    let (_, way) = bag.split_once("<div class=\"way").expect("a lineage");
    let rows = way.matches("<li><svg").count();
    assert!(rows > 4);
    assert_eq!(
        way.matches("Led to: ").count(),
        rows - 1,
        "all but the lot itself"
    );
    let castings = farm.lot(lot(&farm, "mark-of-cast")).code;
    assert!(way.contains(&format!("Led to: Sieved castings, {castings}.")));
    assert!(way.contains("Led to: this lot."));
    // The lines themselves say nothing to it, so that nothing is said twice.
    let hidden = attributes(way, "aria-hidden").len();
    assert_eq!(hidden, way.matches("<svg class=\"g\"").count());
}
