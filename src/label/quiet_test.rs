//! Tests of codes over pictures: a white ground keeps the picture out of the quiet zone, and nothing else is let in.

use std::sync::Arc;

use super::artwork::Artwork;
use super::field::Content;
use super::finding::Refused;
use super::item::{Item, Layout, PlacedPicture};
use super::layout::{lay_out, lay_out_in};
use super::length::{Area, Length, Point, Size};
use super::proof_layout::{Surface, look};
use super::quiet::is_crowded;
use super::sample::content;
use super::template::Template;
use crate::farm::{Dpi, Method, Printer};
use crate::label::dots::Dots;

/// A picture over the whole label, and both codes upon it.
const OVER_ALL: &str = r#"
[[size]]
width = 90
height = 60
[[size.picture]]
at = { left = 0, right = 0, top = 0, bottom = 0 }
file = "artwork/field.png"
[[size.bars]]
at = { left = 5, bottom = 5, width = 44, height = 20 }
[[size.qr]]
at = { right = 5, bottom = 5, width = 26, height = 26 }
"#;

const CELL: Size = Size {
    width: Length::of_mm(90),
    height: Length::of_mm(60),
};

fn artwork() -> Artwork {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 3, 2);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&[60, 90, 60, 90, 60, 90]).unwrap();
    writer.finish().unwrap();
    let mut artwork = Artwork::default();
    artwork.add("field.png", bytes);
    artwork
}

fn laid_out(more: &str, words: &Content) -> Result<Layout, Vec<String>> {
    let text = format!("{OVER_ALL}{more}");
    let template = Template::parse("field", "field.toml", &text, &artwork()).unwrap();
    let told = |problems: Vec<super::problem::Problem>| {
        problems.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    lay_out(&template, words, CELL).map_err(told)
}

fn keys(label: &Layout, surface: &Surface) -> Vec<&'static str> {
    look(label, surface, None)
        .0
        .iter()
        .map(Refused::key)
        .collect()
}

#[test]
fn codes_over_a_picture_stand_on_white() {
    let label = laid_out("", &content("bag-front")).unwrap();
    let grounds = |item: &Item| match item {
        Item::Ground(area) => Some(*area),
        _ => None,
    };
    let grounds: Vec<Area> = label.items.iter().filter_map(grounds).collect();
    let codes = label.items.iter();
    let codes: Vec<Area> = codes
        .filter(|item| matches!(item, Item::Qr(_) | Item::Bars(_)))
        .map(Item::area)
        .collect();
    assert_eq!((grounds.len(), &grounds), (2, &codes));
    assert_eq!(keys(&label, &Surface::default()), [""; 0]);
}

#[test]
fn a_label_without_a_picture_has_no_ground() {
    let template = Template::built_in("bag-front").unwrap();
    let cell = Size {
        width: Length::of_mm(99),
        height: Length::of_mm(139),
    };
    let label = lay_out(&template, &content("bag-front"), cell).unwrap();
    assert!(
        !label
            .items
            .iter()
            .any(|item| matches!(item, Item::Ground(_)))
    );
}

#[test]
fn words_in_a_quiet_zone_are_not_hidden_but_refused() {
    let rule = "[[size.rule]]\nat = { left = 60, right = 5, bottom = 20, height = 1 }\n";
    let told = laid_out(rule, &content("bag-front")).unwrap_err();
    assert!(
        told.len() == 1 && told[0].contains("quiet zone"),
        "{told:?}"
    );
}

#[test]
fn a_picture_over_the_ground_or_a_ground_too_small_is_found_by_the_proof() {
    let label = laid_out("", &content("bag-front")).unwrap();
    let code = label.items.len() - 1;
    assert!(!is_crowded(&label.items, code));

    let mut without = label.clone();
    without
        .items
        .retain(|item| !matches!(item, Item::Ground(_)));
    assert_eq!(
        keys(&without, &Surface::default()),
        ["bars-quiet-zone", "quiet-zone"]
    );

    let mut small = label.clone();
    for item in &mut small.items {
        if let Item::Ground(area) = item {
            area.size.width = area.size.width - Length::of_micrometres(1);
        }
    }
    assert_eq!(
        keys(&small, &Surface::default()),
        ["bars-quiet-zone", "quiet-zone"]
    );

    let mut above = label.clone();
    let Some(Item::Picture(picture)) = above.items.first().cloned() else {
        panic!("the picture is drawn first");
    };
    above.items.push(Item::Picture(PlacedPicture {
        picture: Arc::clone(&picture.picture),
        area: picture.area,
    }));
    assert_eq!(
        keys(&above, &Surface::default()),
        ["bars-quiet-zone", "quiet-zone"]
    );
}

#[test]
fn bars_are_whole_dots_of_a_thermal_printer_or_refused() {
    let text = "[[size]]\nwidth = 90\nheight = 60\n[[size.bars]]\n\
                at = { left = 5, bottom = 5, width = 50, height = 20 }\n";
    let parse =
        |text: &str| Template::parse("shelf", "shelf.toml", text, &Artwork::default()).unwrap();
    for dpi in [203, 300, 600] {
        let printer = Printer {
            method: Method::Transfer,
            dpi: Dpi::new(dpi).unwrap(),
            ..Printer::default()
        };
        let surface = Surface {
            printer: Some(&printer),
            ..Surface::default()
        };
        let dots = Dots::for_codes(Some(&printer));
        let label = lay_out_in(&parse(text), &content("bag-front"), CELL, dots).unwrap();
        assert_eq!(keys(&label, &surface), [""; 0], "{dpi}");
        // A width that the template names may be what no whole dots are.
        let named = format!("{text}module = 0.33\n");
        let label = lay_out_in(&parse(&named), &content("bag-front"), CELL, dots).unwrap();
        // 0.33 mm is 2.64, 3.9 and 7.8 dots.
        assert_eq!(keys(&label, &surface), ["broken-bars"], "{dpi}");
        let on_sheets = Surface::default();
        assert_eq!(keys(&label, &on_sheets), [""; 0], "{dpi}");
    }
}

#[test]
fn bars_off_the_label_or_with_something_beside_them_are_refused() {
    let mut label = laid_out("", &content("bag-front")).unwrap();
    label.items.push(Item::Fill(Area {
        at: Point {
            x: Length::of_mm(6),
            y: Length::of_mm(40),
        },
        size: Size {
            width: Length::of_mm(1),
            height: Length::of_mm(1),
        },
    }));
    assert_eq!(keys(&label, &Surface::default()), ["bars-quiet-zone"]);
}
