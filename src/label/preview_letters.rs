//! The outlines of letters, from the fonts themselves.

use std::collections::BTreeMap;

use tiny_skia::{Path, PathBuilder};

use super::font::Face;

/// The outlines of letters, each read once.
#[derive(Default)]
pub struct Outlines {
    letters: BTreeMap<(Face, char), Letter>,
}

/// A letter's outline and width.
#[derive(Clone)]
pub struct Letter {
    /// In ems, upwards; `None` for a space.
    pub outline: Option<Path>,
    /// In ems.
    pub advance: f32,
}

impl Outlines {
    /// Returns a letter of a face.
    pub fn of(&mut self, face: Face, character: char) -> &Letter {
        let letter = || Letter::of(face, character);
        self.letters.entry((face, character)).or_insert_with(letter)
    }
}

impl Letter {
    fn of(face: Face, character: char) -> Self {
        let font = ttf_parser::Face::parse(face.bytes(), 0).expect("our own fonts can be read");
        let em = f32::from(font.units_per_em());
        let glyph = font
            .glyph_index(character)
            .expect("layout takes no character without glyph");
        let mut pen = Pen {
            path: PathBuilder::new(),
            em,
        };
        let drawn = font.outline_glyph(glyph, &mut pen).is_some();
        let advance = font.glyph_hor_advance(glyph).map_or(0.0, f32::from);
        Self {
            outline: pen.path.finish().filter(|_| drawn),
            advance: advance / em,
        }
    }
}

struct Pen {
    path: PathBuilder,
    em: f32,
}

impl ttf_parser::OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(x / self.em, y / self.em);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(x / self.em, y / self.em);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let em = self.em;
        self.path.quad_to(x1 / em, y1 / em, x / em, y / em);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let em = self.em;
        self.path
            .cubic_to(x1 / em, y1 / em, x2 / em, y2 / em, x / em, y / em);
    }

    fn close(&mut self) {
        self.path.close();
    }
}
