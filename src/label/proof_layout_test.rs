//! Tests of what the proof finds on one laid-out label: each rule broken, and kept.

use std::sync::Arc;

use super::*;
use crate::farm::{Dpi, Unit};
use crate::label::dots::Dots;
use crate::label::item::{Ink, PlacedPicture};
use crate::label::layout::lay_out_in;
use crate::label::length::{Area, Point, Size, TypeSize};
use crate::label::look::sheet_of;
use crate::label::picture::{Art, Picture, Pixels};
use crate::label::said::Said;
use crate::label::sample::content;
use crate::label::{Face, Template, lay_out};

fn label() -> Layout {
    let template = Template::built_in("bag-small").unwrap();
    lay_out(&template, &content("bag-small"), sheet_of("99x67").cell()).unwrap()
}

fn code(label: &mut Layout) -> &mut PlacedQr {
    let codes = label.items.iter_mut().filter_map(|item| match item {
        Item::Qr(qr) => Some(qr),
        _ => None,
    });
    codes.last().unwrap()
}

/// Gives the label's code modules of so many micrometres, with a quiet zone to match.
fn with_modules(label: &mut Layout, micrometres: i64) {
    let qr = code(label);
    qr.module = Length::of_micrometres(micrometres);
    let side = qr.module * i64::from(qr.code.width() + 2 * QUIET_MODULES);
    qr.quiet.size = Size {
        width: side,
        height: side,
    };
}

fn printer(method: Method, dpi: u16) -> Printer {
    Printer {
        method,
        dpi: Dpi::new(dpi).unwrap(),
        ..Printer::default()
    }
}

fn on(printer: &Printer) -> Surface<'_> {
    Surface {
        printer: Some(printer),
        ..Surface::default()
    }
}

fn refused(label: &Layout, surface: &Surface) -> Vec<&'static str> {
    let (refused, _) = look(label, surface, None);
    refused.iter().map(Refused::key).collect()
}

fn warned(label: &Layout, surface: &Surface) -> Vec<String> {
    let (_, warned) = look(label, surface, None);
    warned.iter().map(ToString::to_string).collect()
}

fn run(text: &str, size: i64, at: (i64, i64)) -> TextRun {
    let (face, size) = (Face::NextBold, TypeSize::of_hundredths(size * 100));
    let (rise, depth) = face.ink(text, size);
    let left = Length::of_micrometres(at.0);
    let top = Length::of_micrometres(at.1);
    TextRun {
        text: text.to_owned(),
        face,
        size,
        ink: Ink::Black,
        origin: Point {
            x: left,
            y: top + rise,
        },
        area: Area {
            at: Point { x: left, y: top },
            size: Size {
                width: size.scale(face.advance(text).unwrap()),
                height: rise + depth,
            },
        },
        fields: Said::default(),
    }
}

#[test]
fn a_built_in_label_is_let_through() {
    assert_eq!(look(&label(), &Surface::default(), None), (vec![], vec![]));
}

#[test]
fn a_code_of_less_than_three_dots_is_refused_and_of_less_than_four_warned_of() {
    let mut label = label();
    with_modules(&mut label, 370);
    assert_eq!(refused(&label, &Surface::default()), ["fine-code"]);
    with_modules(&mut label, 375);
    assert_eq!(refused(&label, &Surface::default()), [""; 0]);
    let said = "the QR code's modules are 0.375 mm, 3 dots of the printer; 4 or more scan better";
    assert_eq!(warned(&label, &Surface::default()), [said]);
    with_modules(&mut label, 500);
    assert_eq!(warned(&label, &Surface::default()), [""; 0]);
    // The same width is more dots of a finer printer.
    with_modules(&mut label, 370);
    assert_eq!(refused(&label, &on(&printer(Method::Page, 300))), [""; 0]);
}

#[test]
fn broken_dots_are_refused_on_a_thermal_printer_alone() {
    let mut label = label();
    with_modules(&mut label, 440);
    assert_eq!(
        refused(&label, &on(&printer(Method::Transfer, 203))),
        ["broken-dots"]
    );
    assert_eq!(refused(&label, &on(&printer(Method::Page, 203))), [""; 0]);
    with_modules(&mut label, 500);
    assert_eq!(
        refused(&label, &on(&printer(Method::Transfer, 203))),
        [""; 0]
    );
}

#[test]
fn a_label_laid_out_for_a_thermal_printer_has_whole_dots() {
    let template = Template::built_in("bag-small").unwrap();
    for dpi in [203, 300, 600] {
        let printer = printer(Method::DirectThermal, dpi);
        let dots = Dots::for_codes(Some(&printer));
        let cell = sheet_of("99x67").cell();
        let label = lay_out_in(&template, &content("bag-small"), cell, dots).unwrap();
        assert_eq!(refused(&label, &on(&printer)), [""; 0], "{dpi}");
    }
    // One that was laid out for another is not.
    assert_eq!(
        refused(&label(), &on(&printer(Method::Transfer, 300))),
        ["broken-dots"]
    );
}

#[test]
fn a_quiet_zone_that_is_narrow_or_not_empty_or_off_the_label_is_refused() {
    let mut narrow = label();
    let qr = code(&mut narrow);
    let less = qr.module * 2;
    qr.quiet.size.width = qr.quiet.size.width - less;
    qr.quiet.size.height = qr.quiet.size.height - less;
    assert_eq!(refused(&narrow, &Surface::default()), ["quiet-zone"]);

    let mut crowded = label();
    let at = code(&mut crowded).quiet.at;
    let text = run("x", 8, (at.x.micrometres() + 500, at.y.micrometres() + 500));
    crowded.items.push(Item::Text(text));
    assert_eq!(refused(&crowded, &Surface::default()), ["quiet-zone"]);

    let mut off = label();
    code(&mut off).quiet.at.x += Length::of_mm(10);
    assert_eq!(refused(&off, &Surface::default()), ["quiet-zone"]);
}

#[test]
fn text_nearer_than_two_millimetres_to_the_cut_is_refused() {
    let mut near = label();
    near.items.push(Item::Text(run("near", 8, (1_900, 30_000))));
    let (found, _) = look(&near, &Surface::default(), None);
    let said = "the text `near` is 1.9 mm from the cut edge; castlot asks for 2 mm";
    assert_eq!(
        found.iter().map(ToString::to_string).collect::<Vec<_>>(),
        [said]
    );
    let mut far = label();
    far.items.push(Item::Text(run("far", 8, (2_000, 30_000))));
    assert_eq!(refused(&far, &Surface::default()), [""; 0]);
}

#[test]
fn the_estimated_sign_is_high_enough_and_on_no_pack_that_is_too_large() {
    let sign = |size: i64, millilitres: u64| {
        let mut label = label();
        label
            .items
            .push(Item::Text(run("5 L ℮", size, (10_000, 30_000))));
        let net = Quantity::new(millilitres, Unit::Millilitres);
        let (refused, _) = look(&label, &Surface::default(), Some(net));
        refused.iter().map(Refused::key).collect::<Vec<_>>()
    };
    assert_eq!(sign(8, 5_000), ["low-sign"]);
    assert_eq!(sign(24, 10_000), [""; 0]);
    assert_eq!(sign(24, 10_001), ["not-for-sign"]);
    assert_eq!(sign(8, 20_000), ["low-sign", "not-for-sign"]);
}

#[test]
fn a_code_on_a_curve_is_warned_of_where_it_loses_more_than_five_per_cent() {
    let round = |across: i64| {
        let mut label = label();
        with_modules(&mut label, 500);
        // A code of just 20 mm, whatever its modules.
        let qr = code(&mut label);
        let modules = i64::from(qr.code.width());
        qr.module = Length::of_micrometres(20_000 / modules);
        let surface = Surface {
            across: Some(Length::of_mm(across)),
            ..Surface::default()
        };
        let all = warned(&label, &surface);
        all.into_iter()
            .filter(|said| said.contains("across"))
            .collect::<Vec<_>>()
    };
    assert_eq!(round(75), [""; 0]);
    let [said] = &round(60)[..] else {
        panic!("it is told")
    };
    assert!(
        said.ends_with("on a pack 60 mm across, and loses 5.5 % at its edges"),
        "{said}"
    );
}

#[test]
fn direct_thermal_is_warned_of_out_of_doors_alone() {
    let fades = |method: Method, outdoors: Option<Outdoors>| {
        let printer = printer(method, 203);
        let surface = Surface {
            outdoors,
            ..on(&printer)
        };
        warned(&label(), &surface)
    };
    let said = "printed by heat alone, it fades; a bin's label is read for years, in the damp and in the sun";
    assert_eq!(fades(Method::DirectThermal, Some(Outdoors::Bin)), [said]);
    assert_eq!(fades(Method::DirectThermal, None), [""; 0]);
    assert_eq!(fades(Method::Transfer, Some(Outdoors::Bin)), [""; 0]);
}

#[test]
fn a_picture_whose_words_cannot_be_read_is_warned_of() {
    let with = |words: Option<&str>, net: Option<Quantity>| {
        let mut label = label();
        let picture = Picture {
            file: "artwork/logo.png".to_owned(),
            art: Art::Pixels(Pixels {
                width: 1,
                height: 1,
                samples: 1,
                bytes: vec![0],
            }),
            words: words.map(str::to_owned),
            unread: words.is_none(),
        };
        let area = Area {
            at: Point {
                x: Length::of_mm(70),
                y: Length::of_mm(25),
            },
            size: Size {
                width: Length::of_mm(5),
                height: Length::of_mm(5),
            },
        };
        label.items.push(Item::Picture(PlacedPicture {
            picture: Arc::new(picture),
            area,
        }));
        let (_, warned) = look(&label, &Surface::default(), net);
        warned.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let sold = Some(Quantity::new(5_000, Unit::Grams));
    let said = "there may be words in `artwork/logo.png` that cannot be read; look for claims in it yourself";
    assert_eq!(with(None, sold), [said]);
    assert_eq!(
        with(None, None),
        [""; 0],
        "what is not sold makes no claims"
    );
    assert_eq!(with(Some(""), sold), [""; 0]);
}
