//! Tests of the built-in templates on every sheet, with the example words.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::aim::Scale;
use super::canvas::Canvas;
use super::field::{Content, Field};
use super::font::Face;
use super::item::{Ink, Item, Layout, TextRun};
use super::layout::lay_out;
use super::length::{Area, Length};
use super::sample::content;
use super::sheet::Sheet;
use super::subset::Letters;
use super::template::Template;

/// Ink nearer to the cut than this is at the mercy of the cutter (trade.md: text 2 to 3 mm
/// inside the cut edge).
const MARGIN: Length = Length::of_micrometres(2_900);

/// Each template with the sheets it can be printed on.
const SUITS: [(&str, &str); 11] = [
    ("bag-front", "99x67 99x93 99x139 199x143 100x150"),
    ("bag-back", "99x93 99x139 199x143 100x150"),
    ("bag-small", "63x72 99x67 99x93 99x139 100x150"),
    (
        "tub",
        "63x33 63x38 99x38 63x72 99x67 99x93 99x139 100x150 57x32",
    ),
    ("tub-lid", "38x21 63x33 63x38 57x32"),
    (
        "bottle",
        "63x33 63x38 99x38 63x72 99x67 99x93 99x139 100x150 57x32",
    ),
    (
        "bin",
        "38x21 63x33 63x38 99x38 63x72 99x67 99x93 99x139 100x150 57x32",
    ),
    (
        "rack",
        "63x33 63x38 63x72 99x67 99x93 99x139 199x143 100x150 57x32",
    ),
    (
        "delivery",
        "63x33 63x38 63x72 99x67 99x93 99x139 100x150 57x32",
    ),
    (
        "batch",
        "63x33 63x38 63x72 99x67 99x93 99x139 100x150 57x32",
    ),
    (
        "hold",
        "63x33 63x38 63x72 99x67 99x93 99x139 199x143 100x150 57x32",
    ),
];

fn all() -> Vec<(&'static str, Sheet, Layout)> {
    let mut all = Vec::new();
    for (name, sheets) in SUITS {
        let template = Template::built_in(name).unwrap();
        for sheet in sheets.split(' ').map(sheet_of) {
            match lay_out(&template, &content(name), sheet.cell()) {
                Ok(layout) => all.push((name, sheet, layout)),
                Err(problems) => panic!("{problems:#?}"),
            }
        }
    }
    all
}

pub fn sheet_of(cut: &str) -> Sheet {
    let ends = |sheet: &&Sheet| sheet.name().ends_with(&format!("-{cut}"));
    *Sheet::ALL.iter().find(ends).unwrap()
}

pub fn runs(layout: &Layout) -> impl Iterator<Item = &TextRun> {
    layout.items.iter().flat_map(Item::runs)
}

fn words(layout: &Layout) -> String {
    runs(layout)
        .map(|run| run.text.as_str())
        .collect::<String>()
        .replace(' ', "")
}

#[test]
fn each_template_is_for_the_sheets_it_was_drawn_for_and_no_others() {
    for (name, sheets) in SUITS {
        let template = Template::built_in(name).unwrap();
        let cells: BTreeSet<_> = sheets.split(' ').map(|cut| sheet_of(cut).name()).collect();
        for sheet in Sheet::ALL {
            let suits = template.layout_for(sheet.cell()).is_some();
            assert_eq!(suits, cells.contains(sheet.name()), "{name} on {sheet}");
        }
    }
}

/// Where an item has ink: a code's white may reach further out.
fn inked(item: &Item) -> Vec<Area> {
    match item {
        Item::Qr(_) => Vec::new(),
        Item::Bars(bars) => {
            let digits = bars.digits.iter().map(|run| run.area);
            digits.chain([bars.guards_area()]).collect()
        }
        _ => vec![item.area()],
    }
}

#[test]
fn ink_keeps_clear_of_the_cut_edge() {
    for (name, sheet, layout) in all() {
        for item in layout.items.iter().flat_map(inked) {
            let Area { at, .. } = item;
            let right = layout.size.width - item.right();
            let bottom = layout.size.height - item.bottom();
            for side in [at.x, at.y, right, bottom] {
                // Letters such as g may hang into the margin below.
                let hang = Length::of_micrometres(900);
                assert!(side + hang >= MARGIN, "{name} on {sheet}: {item:?}");
            }
            assert!(
                at.x >= MARGIN && right >= MARGIN,
                "{name} on {sheet}: {item:?}"
            );
        }
        for item in &layout.items {
            if let Item::Qr(qr) = item {
                let modules = qr.modules();
                assert!(
                    modules.right() + MARGIN <= layout.size.width,
                    "{name} on {sheet}"
                );
                assert!(
                    modules.bottom() + MARGIN <= layout.size.height,
                    "{name} on {sheet}"
                );
            }
        }
    }
}

#[test]
fn text_is_seven_points_or_more_and_codes_twelve() {
    for (name, sheet, layout) in all() {
        for run in runs(&layout) {
            let lots = ["P26115-07-S", "G26061-01-F", "H26115-02-W"];
            let is_code = lots.iter().any(|lot| run.text.contains(lot));
            let least = if is_code { 1200 } else { 700 };
            assert!(run.size.hundredths() >= least, "{name} on {sheet}: {run:?}");
        }
    }
}

#[test]
fn no_two_texts_touch() {
    for (name, sheet, layout) in all() {
        let runs: Vec<_> = runs(&layout).collect();
        for (at, run) in runs.iter().enumerate() {
            for other in &runs[at + 1..] {
                assert!(
                    !run.area.overlaps(other.area),
                    "{name} on {sheet}: {run:?} {other:?}"
                );
            }
        }
    }
}

#[test]
fn white_letters_stand_on_black_and_black_ones_do_not() {
    for (name, sheet, layout) in all() {
        for run in runs(&layout) {
            let on = |item: &Item| matches!(item, Item::Fill(area) if area.overlaps(run.area));
            let on_black = layout.items.iter().any(on);
            assert_eq!(
                run.ink == Ink::White,
                on_black,
                "{name} on {sheet}: {run:?}"
            );
        }
    }
}

#[test]
fn small_rolls_have_no_code_and_all_others_of_a_bag_front_do() {
    for (name, sheet, layout) in all() {
        let codes = layout
            .items
            .iter()
            .filter(|item| matches!(item, Item::Qr(_)))
            .count();
        assert!(codes <= 1);
        let small = match name {
            "tub" | "bottle" => ["roll-57x32", "a4-3x8-63x33"].contains(&sheet.name()),
            _ => sheet.name() == "roll-57x32",
        };
        if small {
            assert_eq!(codes, 0, "{name}");
        }
        let coded = [
            "bag-front",
            "bag-small",
            "tub",
            "bottle",
            "delivery",
            "batch",
        ];
        if coded.contains(&name) && !small {
            assert_eq!(codes, 1, "{name} on {sheet}");
        }
    }
}

#[test]
fn the_code_in_the_clear_stands_beside_every_qr_code() {
    for (name, sheet, layout) in all() {
        let clear = match name {
            "bin" => "A07",
            "rack" => "R1",
            "delivery" | "hold" => "G26061-01-F",
            "batch" => "H26115-02-W",
            _ => "P26115-07-S",
        };
        assert!(words(&layout).contains(clear), "{name} on {sheet}");
    }
}

/// Lays a template out with other words on every sheet it is for.
fn on_every_sheet(name: &str, words: &Content) -> Vec<Layout> {
    let template = Template::built_in(name).unwrap();
    let (_, sheets) = SUITS.iter().find(|(known, _)| *known == name).unwrap();
    let lay = |cut| lay_out(&template, words, sheet_of(cut).cell());
    let laid: Result<Vec<_>, _> = sheets.split(' ').map(lay).collect();
    laid.unwrap()
}

#[test]
fn a_tag_says_that_its_lot_is_held_for_another_one() {
    let line = "ON HOLD since 2026-09-18, for G26082-01-C";
    for name in ["delivery", "batch"] {
        let mut held = content(name);
        held.fields.insert(Field::Hold, line.into());
        for layout in on_every_sheet(name, &held) {
            assert!(words(&layout).contains(&line.replace(' ', "")), "{name}");
        }
    }
}

#[test]
fn a_manure_of_which_nothing_is_known_has_lines_to_write_on() {
    let mut bare = content("delivery");
    let asked = [
        Field::Animal,
        Field::HayFrom,
        Field::HaySprayed,
        Field::Wormer,
        Field::Age,
        Field::Heated,
        Field::Said,
        Field::Sample,
    ];
    for field in asked {
        bare.fields.remove(&field);
    }
    let rules = |layout: &Layout| {
        let items = layout.items.iter();
        items.filter(|item| matches!(item, Item::Fill(_))).count()
    };
    let without: Vec<usize> = on_every_sheet("delivery", &bare)
        .iter()
        .map(rules)
        .collect();
    bare.blanks = asked.into_iter().collect();
    let with: Vec<usize> = on_every_sheet("delivery", &bare)
        .iter()
        .map(rules)
        .collect();
    let lines: Vec<usize> = with
        .iter()
        .zip(without)
        .map(|(with, without)| with - without)
        .collect();
    // The three small tags and the roll have no room; the largest have a line for each question.
    assert_eq!(lines, [0, 0, 6, 6, 7, 8, 8, 0]);
}

#[test]
fn a_rack_code_is_25_mm_high_on_its_large_labels() {
    let template = Template::built_in("rack").unwrap();
    for (cut, code) in [
        ("99x67", "R1"),
        ("99x139", "R12"),
        ("100x150", "B2"),
        ("199x143", "RACK-9"),
    ] {
        let mut words = content("rack");
        words.fields.insert(Field::Rack, code.into());
        let layout = lay_out(&template, &words, sheet_of(cut).cell()).unwrap();
        let run = runs(&layout).find(|run| run.text == code).unwrap();
        assert!(
            Face::NextBold.cap_height(run.size) >= Length::of_mm(25),
            "{cut}: {:?}",
            run.size
        );
    }
}

fn any_words() -> impl Strategy<Value = (usize, usize, Content)> {
    let field = prop::sample::select(Field::ALL.to_vec());
    let text = prop_oneof![
        "[A-ZÀ-ž0-9][a-zà-ž0-9 ,;.%-]{0,60}",
        "([A-Za-zÉŽg]{1,14}[ \n]){0,40}",
        "\\PC{0,30}",
    ];
    let changes = prop::collection::vec((field, text), 0..6);
    let qr = prop::option::of("[ -~]{1,120}");
    (0..SUITS.len(), 0..Sheet::ALL.len(), changes, qr).prop_map(|(name, sheet, changes, qr)| {
        let mut words = content(SUITS[name].0);
        words.fields.extend(changes);
        if qr.is_some() {
            words.qr = qr;
        }
        (name, sheet, words)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    #[test]
    fn a_label_lies_on_its_cell_with_all_its_words_or_is_refused_by_name(
        (name, sheet, words) in any_words()
    ) {
        let template = Template::built_in(SUITS[name].0).unwrap();
        let cell = Sheet::ALL[sheet].cell();
        match lay_out(&template, &words, cell) {
            Ok(layout) => {
                for item in &layout.items {
                    prop_assert!(item.area().lies_on(cell), "{:?}", item);
                }
                let printed = super::look::words(&layout);
                for block in &template.layout_for(cell).unwrap().blocks {
                    for text in block.texts(&words) {
                        let wanted: String = text.split([' ', '\n']).collect();
                        prop_assert!(
                            printed.replace('•', "").contains(&wanted.replace('•', "")),
                            "{} in {}", wanted, printed
                        );
                    }
                }
            }
            Err(problems) => {
                prop_assert!(!problems.is_empty());
                for problem in problems {
                    prop_assert!(problem.to_string().contains(&words.name));
                }
            }
        }
    }
}

#[test]
fn a_label_is_drawn_from_the_corner_of_its_cell() {
    let (_, sheet, layout) = all().remove(0);
    let mut canvas = Canvas {
        text: String::new(),
        letters: &mut Letters::default(),
        pictures: &mut Vec::new(),
        scale: Scale::NONE,
    };
    canvas.label(sheet.corner(3), &layout, sheet.page());
    // 106.25 mm from the left; 297 - 13.1 - 2 × 67.7 = 148.5 mm from the bottom.
    assert!(
        canvas.text.starts_with("q 1 0 0 1 301.181 420.945 cm\n"),
        "{}",
        &canvas.text[..40]
    );
}
