//! The words on a page of a PDF that is shown as a picture, as far as they can be read.
//!
//! They are read so that claims among them are found, and programs set type in all ways: a letter at a time, letters
//! spread, a new line without a space before it. So they are read twice where that makes a difference: with pieces of
//! a line apart, and with pieces of a line joined. What cannot be read is never passed over in silence.

use std::collections::BTreeMap;

use lopdf::content::{Content, Operation};
use lopdf::{DEFAULT_MAX_DECOMPRESSED_SIZE, Dictionary, Document, Encoding, Object, ObjectId};

use super::page_pen::Pen;

/// Between two readings of the same words.
const APART: &str = " • ";

/// A gap in a line of spaced type, in thousandths of the size, from which on it may stand for a space (a space is
/// about 250 wide in most faces; common practice, no source).
const WIDE: f32 = 120.0;

/// The words on a page.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct PageWords {
    /// Those that can be read, if there are any.
    pub text: Option<String>,
    /// Whether there may be others: pictures, or letters that do not say what they are.
    pub unread: bool,
}

impl PageWords {
    /// Returns what is known of the words of a picture that is all pixels.
    pub fn none_read() -> Self {
        Self {
            text: None,
            unread: true,
        }
    }
}

/// Reads the words of a document's page and of all forms in it.
pub fn read(alone: &Document, page: ObjectId) -> PageWords {
    let mut reading = Reading::default();
    let own = alone.get_page_content_with_limit(page, DEFAULT_MAX_DECOMPRESSED_SIZE);
    let own = own.and_then(|bytes| Content::decode(&bytes));
    let resources = alone
        .get_dictionary(page)
        .ok()
        .and_then(|page| page.get_deref(b"Resources", alone).ok())
        .and_then(|resources| resources.as_dict().ok());
    reading.content(own, &fonts_of(alone, resources), alone);
    for object in alone.objects.values() {
        let Ok(stream) = object.as_stream() else {
            continue;
        };
        match stream.dict.get(b"Subtype").and_then(Object::as_name) {
            Ok(b"Form") => {
                let bytes = stream.get_plain_content_with_limit(DEFAULT_MAX_DECOMPRESSED_SIZE);
                let content = bytes.and_then(|bytes| Content::decode(&bytes));
                let own = stream.dict.get_deref(b"Resources", alone);
                let own = own.ok().and_then(|own| own.as_dict().ok()).or(resources);
                reading.content(content, &fonts_of(alone, own), alone);
            }
            Ok(b"Image") => reading.unread = true,
            Ok(_) | Err(_) => {}
        }
    }
    reading.finish()
}

/// The fonts of a page by their names there; one with a table of what its codes stand for goes by that alone.
fn fonts_of(document: &Document, resources: Option<&Dictionary>) -> BTreeMap<Vec<u8>, Dictionary> {
    let fonts = resources
        .and_then(|resources| resources.get_deref(b"Font", document).ok())
        .and_then(|fonts| fonts.as_dict().ok());
    let read = |(name, font): (&Vec<u8>, &Object)| {
        let (_, font) = document.dereference(font).ok()?;
        let mut font = font.as_dict().ok()?.clone();
        if has_table(document, &font) {
            font.remove(b"Encoding");
        }
        Some((name.clone(), font))
    };
    let fonts = fonts.into_iter().flat_map(Dictionary::iter);
    fonts.filter_map(read).collect()
}

fn has_table(document: &Document, font: &Dictionary) -> bool {
    let table = font.get_deref(b"ToUnicode", document);
    table.is_ok_and(|table| table.as_stream().is_ok())
}

/// What a font's codes stand for; `None` where it does not say.
fn letters_of<'a>(document: &'a Document, font: &'a Dictionary) -> Option<Encoding<'a>> {
    let letters = font
        .get_font_encoding_with_limit(document, DEFAULT_MAX_DECOMPRESSED_SIZE)
        .ok()?;
    if has_table(document, font) {
        return matches!(letters, Encoding::UnicodeMapEncoding(_)).then_some(letters);
    }
    let kind = font.get(b"Subtype").and_then(Object::as_name).ok()?;
    let own_names = font
        .get_deref(b"Encoding", document)
        .and_then(Object::as_dict);
    // The crate falls back to the usual letters where a font's own names mean nothing to it.
    let misses_names = own_names.is_ok_and(|own| own.has(b"Differences"))
        && !matches!(letters, Encoding::Differences(_));
    // Codes of these are numbers of outlines.
    let numbers = matches!(kind, b"Type0" | b"Type3")
        || (!font.has(b"Encoding") && is_symbolic(document, font));
    (!numbers && !misses_names).then_some(letters)
}

/// Whether a font has letters of its own (ISO 32000-1, table 123, bit 3).
fn is_symbolic(document: &Document, font: &Dictionary) -> bool {
    let about = font.get_deref(b"FontDescriptor", document);
    let flags = about
        .and_then(Object::as_dict)
        .and_then(|about| about.get(b"Flags"))
        .and_then(Object::as_i64);
    flags.is_ok_and(|flags| flags & 0b100 != 0)
}

/// How a piece of text follows the one before.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Gap {
    /// At once.
    None,
    /// On the same line, moved by who knows how much.
    Moved,
    /// Somewhere else.
    Line,
}

impl Gap {
    fn before(pen: &Pen) -> Self {
        match (pen.moved(), pen.stays_on_line()) {
            (false, _) => Self::None,
            (true, true) => Self::Moved,
            (true, false) => Self::Line,
        }
    }
}

#[derive(Default)]
struct Reading {
    pieces: Vec<(Gap, String)>,
    unread: bool,
}

impl Reading {
    fn content(
        &mut self,
        content: lopdf::Result<Content>,
        fonts: &BTreeMap<Vec<u8>, Dictionary>,
        document: &Document,
    ) {
        let Ok(content) = content else {
            self.unread = true;
            return;
        };
        let letters = fonts
            .iter()
            .map(|(name, font)| (name.as_slice(), letters_of(document, font)));
        let letters: BTreeMap<&[u8], Option<Encoding>> = letters.collect();
        let mut pen = Pen::default();
        let mut font: Option<&Encoding> = None;
        let mut kept = Vec::new();
        for operation in &content.operations {
            pen.take(operation);
            match operation.operator.as_str() {
                "q" => kept.push(font),
                "Q" => font = kept.pop().flatten(),
                "Tf" => {
                    let name = operation.operands.first().and_then(|o| o.as_name().ok());
                    font = name.and_then(|name| letters.get(name)?.as_ref());
                }
                "Tj" | "TJ" | "'" | "\"" => {
                    self.show(operation, font, Gap::before(&pen));
                    pen.write();
                }
                "BI" => self.unread = true,
                _ => {}
            }
        }
    }

    fn show(&mut self, operation: &Operation, font: Option<&Encoding>, mut gap: Gap) {
        let Some(font) = font else {
            self.unread = true;
            return;
        };
        let shown = operation.operands.last();
        let parts = match shown {
            Some(Object::Array(parts)) => parts.as_slice(),
            Some(one) => std::slice::from_ref(one),
            None => &[],
        };
        for part in parts {
            match part {
                Object::String(bytes, _) => {
                    match font.bytes_to_string(bytes) {
                        Ok(text) => {
                            self.unread |= text.contains(char::REPLACEMENT_CHARACTER);
                            self.pieces.push((gap, text));
                        }
                        Err(_) => self.unread = true,
                    }
                    gap = Gap::None;
                }
                number => {
                    // A negative figure moves what follows away.
                    if number.as_float().is_ok_and(|by| by < -WIDE) && gap == Gap::None {
                        gap = Gap::Moved;
                    }
                }
            }
        }
    }

    fn finish(self) -> PageWords {
        let (apart, joined) = (self.text(" ", "- "), self.text("", ""));
        let text = match (apart.is_empty(), apart == joined) {
            (true, _) => None,
            (false, true) => Some(apart),
            (false, false) => Some(format!("{apart}{APART}{joined}")),
        };
        PageWords {
            unread: self.unread || text.is_none(),
            text,
        }
    }

    /// Puts the pieces together, with so much between those of a line, and in place of a hyphen at its end.
    fn text(&self, moved: &str, hyphen: &str) -> String {
        let mut text = String::new();
        for (gap, piece) in &self.pieces {
            match gap {
                Gap::None => {}
                Gap::Moved => text.push_str(moved),
                Gap::Line => match text.strip_suffix('-') {
                    Some(head) if !head.ends_with(' ') => {
                        text.truncate(head.len());
                        text.push_str(hyphen);
                    }
                    Some(_) | None => text.push(' '),
                },
            }
            text.push_str(piece);
        }
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

#[cfg(test)]
#[path = "page_words_test.rs"]
mod tests;
