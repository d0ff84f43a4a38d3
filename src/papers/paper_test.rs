//! What holds of every paper: nothing is lost, nothing overlaps, nothing leaves the page, same bytes.

use jiff::civil::date;
use proptest::prelude::*;

use super::{Column, Format, Imprint, Paper, Table};
use crate::label::{Area, Item, Layout, Point};

pub fn imprint() -> Imprint {
    Imprint {
        farm: "Marlhythe Wormery".to_owned(),
        address: vec!["The Old Drying Shed".to_owned(), "Marlhythe".to_owned()],
        phone: Some("01632 960123".to_owned()),
        seal: "3f".repeat(32),
        entries: 4134,
        date: date(2026, 10, 31),
        printed: None,
    }
}

/// Of each page, the texts and where their ink stands on it.
pub fn texts(paper: &Paper) -> Vec<Vec<(String, Area)>> {
    let on_page = |placed: &Vec<(Point, Layout)>| {
        let runs = placed.iter().flat_map(|(at, layout)| {
            layout.items.iter().filter_map(move |item| match item {
                Item::Text(run) => {
                    let mut area = run.area;
                    area.at.x += at.x;
                    area.at.y += at.y;
                    Some((run.text.clone(), area))
                }
                _ => None,
            })
        });
        runs.collect()
    };
    let pages = paper.lay_out().expect("all letters have glyphs");
    pages.iter().map(on_page).collect()
}

fn letters(paper: &Paper) -> String {
    let pages = texts(paper).into_iter().flatten();
    let text: String = pages.map(|(text, _)| text).collect();
    text.replace(' ', "")
}

/// Holds that no two texts overlap and that all stand within the sheet's margins.
fn hold(paper: &Paper, format: Format) {
    for page in texts(paper) {
        for (at, (text, area)) in page.iter().enumerate() {
            assert!(area.lies_on(format.size()), "`{text}` leaves the page");
            let sheet = format.sheet();
            assert!(area.right() <= sheet.right(), "`{text}` is in the margin");
            assert!(area.at.x >= sheet.at.x && area.bottom() <= sheet.bottom());
            for (other, place) in &page[..at] {
                assert!(!area.overlaps(*place), "`{text}` overlaps `{other}`");
            }
        }
    }
}

fn table(rows: &[Vec<String>]) -> Table {
    let columns = [
        Column::code("lot"),
        Column::text("what it is"),
        Column::text("who brought it"),
        Column::number("share"),
    ];
    let table = Table::new(columns);
    rows.iter().fold(table, |table, row| table.row(row.clone()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_table_loses_no_letter_overlaps_nothing_and_stays_on_the_page(
        rows in proptest::collection::vec(
            proptest::collection::vec("[A-Z][a-zà-ý]{0,24}( [a-z.,-]{1,9}){0,40}", 4), 1..30,
        ),
        wide in any::<bool>(),
        small in any::<bool>(),
    ) {
        let format = match (wide, small) {
            (false, false) => Format::A4,
            (true, false) => Format::A4Wide,
            (false, true) => Format::A5,
            (true, true) => Format::A5Wide,
        };
        let mut paper = Paper::new(format, "A list of lots", imprint());
        paper.heading("Lots").table(table(&rows)).callout("Mind", rows.concat());
        hold(&paper, format);
        let found = letters(&paper);
        // Cells stand side by side, so their lines are looked for one by one.
        for word in rows.concat().iter().flat_map(|cell| cell.split(' ')) {
            prop_assert!(word.len() > 12 || found.contains(word), "{word} is lost");
        }
        let count = |text: &str| text.chars().filter(|c| c.is_alphabetic()).count();
        let typed: usize = rows.concat().iter().map(|cell| count(cell)).sum();
        prop_assert!(count(&found) >= typed * 2);
    }
}

#[test]
fn a_table_goes_on_under_its_header_and_every_page_is_numbered() {
    let rows: Vec<Vec<String>> = (1..=120)
        .map(|n| {
            [
                format!("G{n:03}"),
                "straw".into(),
                "a farm".into(),
                "1%".into(),
            ]
            .to_vec()
        })
        .collect();
    let mut paper = Paper::new(Format::A4, "A list of lots", imprint());
    paper.heading("Lots").table(table(&rows));
    let pages = texts(&paper);
    assert!(pages.len() >= 3);
    for (page, number) in pages.iter().zip(1..) {
        let has = |wanted: &str| page.iter().any(|(text, _)| text == wanted);
        assert!(has("who brought it") || number == pages.len());
        assert!(has(&format!("page {number} of {}", pages.len())));
        assert!(has("Marlhythe Wormery"));
        let lots = page.iter().filter(|(text, _)| text.starts_with('G'));
        assert!(lots.count() > 1 || !has("who brought it"));
    }
    let seal = "3f".repeat(32);
    let last = pages.last().expect("there is a page");
    assert!(last.iter().any(|(text, _)| text.contains(&seal)));
}

#[test]
fn a_heading_never_stands_alone_at_the_end_of_a_page() {
    for lines in 1..70 {
        let mut paper = Paper::new(Format::A4, "A paper", imprint());
        for line in 0..lines {
            paper.text(format!("line {line}"));
        }
        paper.heading("Section").text("what it says");
        let pages = texts(&paper);
        let page = |wanted: &str| {
            let has = |page: &Vec<(String, Area)>| page.iter().any(|(text, _)| text == wanted);
            pages.iter().position(has)
        };
        assert!(page("Section").is_some());
        assert_eq!(page("Section"), page("what it says"));
    }
}

#[test]
fn a_letter_that_no_font_has_is_refused_by_name() {
    let mut paper = Paper::new(Format::A4, "A paper", imprint());
    paper.text("fed by Tom 🐛 in May");
    assert_eq!(
        paper.to_pdf().unwrap_err().to_string(),
        "no font has the character `🐛` (U+1F41B), which stands in `fed by Tom 🐛 in May`"
    );
}

#[test]
fn the_same_paper_is_the_same_bytes_and_another_is_not() {
    let paper = |text: &str| {
        let mut paper = Paper::new(Format::A5Wide, "A paper", imprint());
        paper.text(text).facts([("signed", "")]);
        paper.to_pdf().expect("it can be written")
    };
    assert_eq!(paper("one"), paper("one"));
    assert_ne!(paper("one"), paper("two"));
}
