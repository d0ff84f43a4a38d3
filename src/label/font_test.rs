//! Tests of the faces: which letters each has, and how large they are.

use super::font::Face;
use super::length::{Length, TypeSize};

#[test]
fn a_character_that_atkinson_lacks_is_borrowed_from_plex() {
    let runs = Face::NextBold.split("3 µm ✓").unwrap();
    let faces: Vec<_> = runs.iter().map(|run| (run.face, run.text)).collect();
    let (next, plex) = (Face::NextBold, Face::CondensedBold);
    assert_eq!(
        faces,
        [(next, "3 "), (plex, "µ"), (next, "m "), (plex, "✓")]
    );
}

#[test]
fn a_character_in_no_font_is_named() {
    let error = Face::NextRegular.split("a🐛").unwrap_err();
    assert_eq!(
        error.to_string(),
        "no font has the character `🐛` (U+1F41B)"
    );
    assert_eq!(
        Face::CondensedBold.advance("a\tb").unwrap_err().to_string(),
        "no font has the character `\\t` (U+0009)"
    );
}

#[test]
fn latin_1_and_latin_extended_a_are_covered() {
    let letters = (0xA0..0x180)
        .filter_map(char::from_u32)
        .chain("℮°²½•".chars());
    for character in letters {
        for face in Face::ALL {
            assert!(
                face.split(&character.to_string()).is_ok(),
                "{face:?} {character}"
            );
        }
    }
}

/// What Atkinson's character map lacks of both blocks, as fontTools 4.68.0 reads it; all else
/// stands in it. Plex lacks nothing.
#[test]
fn each_letter_of_latin_1_and_extended_a_is_in_the_face_it_should_be() {
    let lacks = "\u{AD}µĈĉĔĕĜĝĤĥĨĩĬĭĴĵĸĿŀŉŊŋŌōŎŏŖŗŜŝŦŧŨũŬŭſ";
    for letter in (0x20..0x7F).chain(0xA0..0x180).filter_map(char::from_u32) {
        let text = letter.to_string();
        for (face, other) in [
            (Face::NextRegular, Face::CondensedRegular),
            (Face::NextBold, Face::CondensedBold),
        ] {
            let wanted = if lacks.contains(letter) { other } else { face };
            assert_eq!(face.split(&text).unwrap()[0].face, wanted, "{letter}");
            assert_eq!(other.split(&text).unwrap()[0].face, other, "{letter}");
        }
    }
}

#[test]
fn widths_add_up_and_scale() {
    let face = Face::NextRegular;
    let whole = face.advance("P26115").unwrap();
    let parts = face.advance("P26").unwrap() + face.advance("115").unwrap();
    assert_eq!(whole, parts);
    let small = TypeSize::of_hundredths(800).scale(whole);
    let large = TypeSize::of_hundredths(1600).scale(whole);
    assert!((large - small * 2).micrometres().abs() <= 1);
}

/// The tops of the figures `1`, `4` and `7` in the fonts' own outlines, in thousandths of an em,
/// as fontTools 4.68.0 reads them: 668 and 698, and no figure is lower.
#[test]
fn figures_are_as_high_as_the_lowest_of_them() {
    let size = TypeSize::of_hundredths(10_000);
    for (face, top) in [
        (Face::NextRegular, 668),
        (Face::NextBold, 668),
        (Face::CondensedRegular, 698),
        (Face::CondensedBold, 698),
    ] {
        assert_eq!(face.digit_height(size), size.scale_down(top * 1000));
        let (rise, _) = face.ink("0", size);
        assert!(rise > face.digit_height(size), "a round figure is higher");
    }
}

#[test]
fn ink_knows_letters_that_hang_from_those_that_do_not() {
    let size = TypeSize::of_hundredths(1000);
    assert_eq!(Face::NextBold.ink("H1", size).1, Length::ZERO);
    assert!(Face::NextBold.ink("g", size).1 > Length::ZERO);
}
