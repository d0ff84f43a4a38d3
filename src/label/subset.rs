//! The letters that a document uses of each face, and the fonts cut down to them.
//!
//! Glyphs are numbered in the order in which they are first drawn, so that pages can be written
//! before it is known what later ones need. printpdf makes the embedded fonts, with widths and the
//! table back to Unicode; it embeds what it sees used, so it is shown one page with every letter.

use std::collections::{BTreeMap, BTreeSet};

use lopdf::{Document, Object};
use printpdf::{
    FontId, FontMetrics, Mm, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage,
    PdfSaveOptions, Pt, TextItem,
};
use sha2::{Digest, Sha256};
use subsetter::GlyphRemapper;

use super::canvas::font_name;
use super::font::Face;
use super::graft::Graft;
use super::pdf::PdfError;

/// The letters used of every face.
#[derive(Default)]
pub struct Letters {
    faces: [Subset; Face::ALL.len()],
}

/// The letters used of one face, with their glyphs' numbers.
struct Subset {
    /// Latin letters by character, which is nearly all; 0 is none yet.
    latin: [u16; LATIN_END],
    others: BTreeMap<char, u16>,
    remapper: GlyphRemapper,
}

/// The end of Latin Extended-B.
const LATIN_END: usize = 0x250;

impl Default for Subset {
    fn default() -> Self {
        Self {
            latin: [0; LATIN_END],
            others: BTreeMap::new(),
            remapper: GlyphRemapper::new(),
        }
    }
}

impl Letters {
    /// The number of a character's glyph in the subset of its face.
    pub fn glyph(&mut self, face: Face, character: char) -> u16 {
        let subset = &mut self.faces[face as usize];
        let known = match subset.latin.get(character as usize) {
            Some(id) => *id,
            None => subset.others.get(&character).copied().unwrap_or_default(),
        };
        if known != 0 {
            return known;
        }
        let whole = parsed(face);
        let glyph = whole.glyph_index(character);
        let glyph = glyph.expect("layout takes no character without glyph");
        let id = subset.remapper.remap(glyph.0);
        match subset.latin.get_mut(character as usize) {
            Some(slot) => *slot = id,
            None => drop(subset.others.insert(character, id)),
        }
        id
    }

    /// The characters used of a face.
    fn characters(&self, face: Face) -> BTreeMap<char, u16> {
        let subset = &self.faces[face as usize];
        let latin = (0..).zip(&subset.latin).filter(|(_, id)| **id != 0);
        let latin =
            latin.filter_map(|(code, id)| char::from_u32(code).map(|character| (character, *id)));
        let others = subset
            .others
            .iter()
            .map(|(&character, &id)| (character, id));
        latin.chain(others).collect()
    }

    /// Puts the fonts into a document, and returns the dictionary of them that its pages use.
    pub fn embed(&self, document: &mut Document) -> Result<Object, PdfError> {
        let mut fonts = PdfDocument::new("");
        let mut ops = vec![Op::StartTextSection];
        for face in Face::ALL {
            let characters = self.characters(face);
            if characters.is_empty() {
                continue;
            }
            let font = PdfFont::new(self.cut(face, &characters)?);
            fonts.resources.fonts.map.insert(font_id(face), font);
            let font = PdfFontHandle::External(font_id(face));
            let size = Pt(1.0);
            ops.push(Op::SetFont { font, size });
            let items = vec![TextItem::Text(characters.into_keys().collect())];
            ops.push(Op::ShowText { items });
        }
        ops.push(Op::EndTextSection);
        fonts.with_pages(vec![PdfPage::new(Mm(10.0), Mm(10.0), ops)]);
        let plain = PdfSaveOptions {
            optimize: false,
            secure: false,
            ..Default::default()
        };
        let fonts = Document::load_mem(&fonts.save(&plain, &mut Vec::new()))?;
        let page = fonts.page_iter().next();
        let page = page.ok_or(lopdf::Error::PageNumberNotFound(1))?;
        let mut graft = Graft::new(&fonts, document);
        let made = fonts.get_page_fonts(page)?.into_iter();
        let made: Vec<_> = made
            .map(|(name, font)| (name, graft.object(font.clone().into())))
            .collect();
        graft.finish();
        let mut used = lopdf::Dictionary::new();
        for (name, font) in made {
            used.set(name, document.add_object(font));
        }
        Ok(used.into())
    }

    /// Cuts a font down to the characters used.
    fn cut(&self, face: Face, characters: &BTreeMap<char, u16>) -> Result<ParsedFont, PdfError> {
        let whole = parsed(face);
        let (mut codes, mut widths) = (BTreeMap::new(), BTreeMap::new());
        for (&character, &id) in characters {
            codes.insert(u32::from(character), id);
            let glyph = whole.glyph_index(character);
            let width = glyph.and_then(|glyph| whole.glyph_hor_advance(glyph));
            widths.insert(id, width.unwrap_or_default());
        }
        let remapper = &self.faces[face as usize].remapper;
        let bytes = subsetter::subset(face.bytes(), 0, remapper)
            .map_err(|source| PdfError::Subset { face, source })?;
        let metrics = FontMetrics {
            ascent: whole.ascender(),
            descent: whole.descender(),
        };
        let used = characters.keys().copied().collect();
        let name = format!("{}+{}", tag(&used), face.name());
        let em = whole.units_per_em();
        let mut font =
            ParsedFont::with_glyph_data(bytes, 0, Some(name), codes, widths, em, metrics);
        let bounds = whole.global_bounding_box();
        font.pdf_font_metrics.x_min = bounds.x_min;
        font.pdf_font_metrics.x_max = bounds.x_max;
        font.pdf_font_metrics.y_min = bounds.y_min;
        font.pdf_font_metrics.y_max = bounds.y_max;
        font.pdf_font_metrics.us_weight_class = whole.weight().to_number();
        Ok(font)
    }
}

fn parsed(face: Face) -> ttf_parser::Face<'static> {
    ttf_parser::Face::parse(face.bytes(), 0).expect("our own fonts can be read")
}

fn font_id(face: Face) -> FontId {
    FontId(font_name(face).to_owned())
}

/// The six letters that mark a subset (ISO 32000-1, 9.6.4): the same for the same characters,
/// another for others.
fn tag(characters: &BTreeSet<char>) -> String {
    let text: String = characters.iter().collect();
    let digest = Sha256::digest(text.as_bytes());
    digest
        .iter()
        .take(6)
        .map(|byte| char::from(b'A' + byte % 26))
        .collect()
}
