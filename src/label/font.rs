//! The four faces castlot prints with, and how wide their letters are.
//!
//! Atkinson Hyperlegible Next for codes and headings, because its 0 and O, 1 and l stay apart;
//! IBM Plex Sans Condensed for narrow text and for the Latin letters that Atkinson lacks.
//! A character in neither is refused by name: it is never printed as an empty box.

use std::sync::OnceLock;

use super::length::{Length, TypeSize};

/// Which letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Atkinson Hyperlegible Next.
    Next,
    /// IBM Plex Sans Condensed.
    Condensed,
}

/// How heavy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Regular, 400.
    Regular,
    /// Bold, 700.
    Bold,
}

/// One font file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// Atkinson Hyperlegible Next Regular.
    NextRegular,
    /// Atkinson Hyperlegible Next Bold.
    NextBold,
    /// IBM Plex Sans Condensed Regular.
    CondensedRegular,
    /// IBM Plex Sans Condensed Bold.
    CondensedBold,
}

/// A character that none of our fonts has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no font has the character `{}` (U+{:04X})", character.escape_debug(), *character as u32)]
pub struct NoGlyph {
    /// The character.
    pub character: char,
}

/// A part of a text that is printed in one face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run<'a> {
    /// The face that has all of its characters.
    pub face: Face,
    /// The characters.
    pub text: &'a str,
}

impl Face {
    /// Every face, in the order of its number in the PDF.
    pub const ALL: [Self; 4] = [
        Self::NextRegular,
        Self::NextBold,
        Self::CondensedRegular,
        Self::CondensedBold,
    ];

    /// The face of a family at a weight.
    pub const fn of(family: Family, weight: Weight) -> Self {
        match (family, weight) {
            (Family::Next, Weight::Regular) => Self::NextRegular,
            (Family::Next, Weight::Bold) => Self::NextBold,
            (Family::Condensed, Weight::Regular) => Self::CondensedRegular,
            (Family::Condensed, Weight::Bold) => Self::CondensedBold,
        }
    }

    /// The font file, as its makers published it.
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::NextRegular => include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Regular.ttf"),
            Self::NextBold => include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Bold.ttf"),
            Self::CondensedRegular => {
                include_bytes!("../../fonts/IBMPlexSansCondensed-Regular.ttf")
            }
            Self::CondensedBold => include_bytes!("../../fonts/IBMPlexSansCondensed-Bold.ttf"),
        }
    }

    /// The face's PostScript name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NextRegular => "AtkinsonHyperlegibleNext-Regular",
            Self::NextBold => "AtkinsonHyperlegibleNext-Bold",
            Self::CondensedRegular => "IBMPlexSansCondensed",
            Self::CondensedBold => "IBMPlexSansCondensed-Bold",
        }
    }

    /// Splits a text into runs, each in this face or, for characters it lacks, in the
    /// condensed one of the same weight.
    pub fn split(self, text: &str) -> Result<Vec<Run<'_>>, NoGlyph> {
        let mut runs: Vec<Run<'_>> = Vec::new();
        let mut from = 0;
        for (at, character) in text.char_indices() {
            let face = self.with_glyph(character)?;
            let end = at + character.len_utf8();
            match runs.last_mut() {
                Some(run) if run.face == face => run.text = &text[from..end],
                _ => {
                    from = at;
                    runs.push(Run {
                        face,
                        text: &text[from..end],
                    });
                }
            }
        }
        Ok(runs)
    }

    /// How wide a text is, in millionths of an em, with borrowed characters as they print.
    pub fn advance(self, text: &str) -> Result<i64, NoGlyph> {
        text.chars().try_fold(0, |sum, character| {
            let glyph = self.with_glyph(character)?.glyph(character);
            Ok(sum + glyph.map_or(0, |glyph| glyph.advance))
        })
    }

    /// How far the ink of a text reaches above and below its baseline.
    pub fn ink(self, text: &str, size: TypeSize) -> (Length, Length) {
        let glyphs = text.chars().filter_map(|character| self.glyph(character));
        let (mut rise, mut depth) = (0, 0);
        for glyph in glyphs {
            rise = rise.max(glyph.rise);
            depth = depth.max(glyph.depth);
        }
        (size.scale(rise), size.scale(depth))
    }

    /// The height of a capital letter.
    pub fn cap_height(self, size: TypeSize) -> Length {
        size.scale(self.measures().cap_height)
    }

    /// The height of figures as they print: of the lowest of the ten, from its own outline.
    pub fn digit_height(self, size: TypeSize) -> Length {
        size.scale_down(self.measures().digit_height)
    }

    fn with_glyph(self, character: char) -> Result<Self, NoGlyph> {
        let condensed = match self {
            Self::NextRegular | Self::CondensedRegular => Self::CondensedRegular,
            Self::NextBold | Self::CondensedBold => Self::CondensedBold,
        };
        let has = |face: &Self| face.glyph(character).is_some();
        [self, condensed]
            .into_iter()
            .find(has)
            .ok_or(NoGlyph { character })
    }

    fn glyph(self, character: char) -> Option<Glyph> {
        let measures = self.measures();
        match measures.latin.get(character as usize) {
            Some(known) => *known,
            None => measures.measure(character),
        }
    }

    fn measures(self) -> &'static Measures {
        static ALL: OnceLock<[Measures; 4]> = OnceLock::new();
        &ALL.get_or_init(|| Self::ALL.map(Measures::of))[self as usize]
    }
}

/// One glyph's measures, in millionths of an em.
#[derive(Clone, Copy, Debug)]
struct Glyph {
    advance: i64,
    rise: i64,
    depth: i64,
}

/// A face's measures, in millionths of an em.
struct Measures {
    font: ttf_parser::Face<'static>,
    cap_height: i64,
    digit_height: i64,
    /// The glyphs of Latin text by character, looked up once: layout asks for them by the million.
    latin: Vec<Option<Glyph>>,
}

/// The end of Latin Extended-B.
const LATIN_END: u32 = 0x250;

impl Measures {
    fn of(face: Face) -> Self {
        let font = ttf_parser::Face::parse(face.bytes(), 0).expect("our own fonts can be read");
        let mut measures = Self {
            font,
            cap_height: 0,
            digit_height: 0,
            latin: Vec::new(),
        };
        measures.cap_height = measures.measure('H').map_or(0, |glyph| glyph.rise);
        let digits = ('0'..='9').filter_map(|digit| measures.measure(digit));
        measures.digit_height = digits.map(|glyph| glyph.rise).min().unwrap_or_default();
        measures.latin = (0..LATIN_END)
            .map(|code| char::from_u32(code).and_then(|character| measures.measure(character)))
            .collect();
        measures
    }

    fn measure(&self, character: char) -> Option<Glyph> {
        if character.is_control() {
            return None;
        }
        let id = self.font.glyph_index(character)?;
        let em = i64::from(self.font.units_per_em());
        let micro = |units: i64| units * 1_000_000 / em;
        let ink = self.font.glyph_bounding_box(id);
        Some(Glyph {
            advance: micro(i64::from(self.font.glyph_hor_advance(id)?)),
            rise: micro(ink.map_or(0, |ink| i64::from(ink.y_max)).max(0)),
            depth: micro(ink.map_or(0, |ink| -i64::from(ink.y_min)).max(0)),
        })
    }
}
