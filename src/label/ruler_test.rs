//! What the ruler shows, on every sheet.

use super::item::{Item, Layout};
use super::length::{Length, Point};
use super::ruler::{LINE, marks, ruler, steps};
use super::sheet::Sheet;

fn words(layout: &Layout) -> String {
    let runs = layout.items.iter().flat_map(Item::runs);
    let texts: Vec<_> = runs.map(|run| run.text.as_str()).collect();
    texts.join(" ")
}

#[test]
fn every_sheet_that_has_room_says_every_step() {
    for sheet in Sheet::ALL.iter().filter(|s| s.name() != "roll-57x32") {
        let text = words(&ruler(*sheet, "laser"));
        for step in steps(*sheet, "laser") {
            assert!(text.contains(&step), "{sheet}: {step}");
        }
    }
}

#[test]
fn every_label_is_outlined_on_its_cut_and_numbered() {
    let sheet: Sheet = "a4-3x7-63x38".parse().unwrap();
    let drawing = ruler(sheet, "laser");
    let frames: Vec<_> = drawing
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Frame { area, stroke } => Some((area, stroke)),
            Item::Fill(_)
            | Item::Ground(_)
            | Item::Text(_)
            | Item::Qr(_)
            | Item::Bars(_)
            | Item::Picture(_) => None,
        })
        .collect();
    assert_eq!(frames.len(), 21);
    for (cell, (area, stroke)) in (0..).zip(frames) {
        assert_eq!(area.at.x + *stroke / 2, sheet.corner(cell).x);
        assert_eq!(area.at.y + *stroke / 2, sheet.corner(cell).y);
    }
    let text = words(&drawing);
    for cell in 1..=21 {
        assert!(text.split(' ').any(|word| word == cell.to_string()));
    }
}

#[test]
fn a_roll_is_measured_where_its_printer_can_reach() {
    let [a, b] = marks("roll-57x32".parse().unwrap());
    let mm = |point: Point| (point.x.to_string(), point.y.to_string());
    assert_eq!(mm(a), ("10 mm".to_owned(), "10 mm".to_owned()));
    assert_eq!(mm(b), ("47 mm".to_owned(), "22 mm".to_owned()));
}

#[test]
fn scale_strokes_stand_at_whole_millimetres_and_on_the_page() {
    let sheet: Sheet = "a4-2x4-99x67".parse().unwrap();
    let drawing = ruler(sheet, "laser");
    let upright = drawing.items.iter().filter_map(|item| match item {
        Item::Fill(area) if area.size.width == LINE && area.at.y == Length::ZERO => Some(area),
        Item::Fill(_)
        | Item::Ground(_)
        | Item::Frame { .. }
        | Item::Text(_)
        | Item::Qr(_)
        | Item::Bars(_)
        | Item::Picture(_) => None,
    });
    let places: Vec<i64> = upright
        .map(|area| (area.at.x + LINE / 2).micrometres())
        .collect();
    assert!(places.len() > 150, "{}", places.len());
    assert!(
        places
            .iter()
            .all(|at| at % 1000 == 0 && (0..210_000).contains(at))
    );
}
