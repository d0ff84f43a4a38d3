//! The rows of a block, filled with a label's words and measured.
//!
//! What is missing, or has no glyph, is found here, before anything is placed.

use super::field::{Content, Field};
use super::font::{Face, NoGlyph};
use super::length::{Length, TypeSize};
use super::paragraph::Paragraph;
use super::template::{Block, Bullet, Flow, Need, Row, Words};

/// The bullet and the room after it, in millionths of an em.
pub const BULLET_INDENT: i64 = 700_000;

/// How high a line to write on is, in millionths of an em: room for a pencil above it.
pub const BLANK_HEIGHT: i64 = 1_300_000;

/// Captions are set in this face.
pub const CAPTION_FACE: Face = Face::CondensedRegular;

/// Why a block cannot be set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// A line needs a field that the content lacks.
    Missing(Field),
    /// A text has more words than room.
    Overflow {
        /// The line's first field, if it has one.
        field: Option<Field>,
        /// The whole text.
        text: String,
    },
    /// A text has a character that no font has.
    NoGlyph {
        /// The line's first field, unless the character is the template's own.
        field: Option<Field>,
        /// The character.
        missing: NoGlyph,
    },
}

/// A row with its text, as far as it is printed.
#[derive(PartialEq, Eq)]
pub enum Filled<'a> {
    Words(&'a Words, String),
    /// A caption with a line to write on.
    Blank(&'a Words),
    Rule {
        thickness: Length,
        above: Length,
    },
}

pub fn fill<'a>(block: &'a Block, content: &Content) -> Result<Vec<Filled<'a>>, Vec<Misfit>> {
    let mut filled = Vec::new();
    let mut missing = Vec::new();
    for row in &block.rows {
        match row {
            &Row::Rule { thickness, above } => filled.push(Filled::Rule { thickness, above }),
            Row::Words(words) => match (words.pattern.fill(content), words.need) {
                (Ok(text), _) => filled.push(Filled::Words(words, flow(words, text))),
                (Err(field), _) if words.caption.is_some() && content.blanks.has(field) => {
                    filled.push(Filled::Blank(words));
                }
                (Err(_), Need::IfThere) => {}
                (Err(field), Need::Always) => missing.push(Misfit::Missing(field)),
            },
        }
    }
    if missing.is_empty() {
        Ok(filled)
    } else {
        Err(missing)
    }
}

fn flow(words: &Words, text: String) -> String {
    match words.flow {
        Flow::Paragraphs => text,
        Flow::RunIn => text.replace('\n', " "),
    }
}

/// A row, measured.
pub enum Entry<'a> {
    Words {
        words: &'a Words,
        text: &'a str,
        paragraphs: Vec<Paragraph<'a>>,
    },
    Blank(&'a Words),
    Rule {
        thickness: Length,
        above: Length,
    },
}

pub fn measure<'a>(block: &Block, filled: &'a [Filled<'a>]) -> Result<Vec<Entry<'a>>, Vec<Misfit>> {
    let mut entries = Vec::new();
    let mut faults = Vec::new();
    for row in filled {
        match row {
            &Filled::Rule { thickness, above } => entries.push(Entry::Rule { thickness, above }),
            Filled::Blank(words) => {
                entries.push(Entry::Blank(words));
                faults.extend(caption_misfit(block, words));
            }
            Filled::Words(words, text) => {
                let lines = text.lines().filter(|line| !line.trim().is_empty());
                let measured = lines
                    .map(|line| Paragraph::of(line, words.face()))
                    .collect();
                match measured {
                    Ok(paragraphs) => entries.push(Entry::Words {
                        words,
                        text,
                        paragraphs,
                    }),
                    Err(NoGlyph { .. }) => faults.extend(without_glyph(words, text)),
                }
                faults.extend(caption_misfit(block, words));
            }
        }
    }
    if faults.is_empty() {
        Ok(entries)
    } else {
        Err(faults)
    }
}

/// Every character of a row that no font has, each once.
fn without_glyph(words: &Words, text: &str) -> Vec<Misfit> {
    let mut missing: Vec<NoGlyph> = Vec::new();
    for character in text.chars().filter(|c| *c != '\n') {
        let error = words.face().split(character.encode_utf8(&mut [0; 4])).err();
        missing.extend(error.filter(|error| !missing.contains(error)));
    }
    let field = |character| {
        let is_own = words.pattern.says(character);
        words.pattern.fields().next().filter(|_| !is_own)
    };
    let misfit = |missing: NoGlyph| Misfit::NoGlyph {
        field: field(missing.character),
        missing,
    };
    missing.into_iter().map(misfit).collect()
}

fn caption_misfit(block: &Block, words: &Words) -> Option<Misfit> {
    let caption = words.caption.as_ref()?;
    match CAPTION_FACE.advance(caption) {
        Ok(width) if block.caption_size.scale(width) <= block.caption_width => None,
        Ok(_) => Some(Misfit::Overflow {
            field: None,
            text: caption.clone(),
        }),
        Err(missing) => Some(Misfit::NoGlyph {
            field: None,
            missing,
        }),
    }
}

impl Entry<'_> {
    /// The size it is set in if there is room; rules have none, so theirs means nothing.
    pub fn size(&self) -> TypeSize {
        match self {
            Self::Words { words, .. } | Self::Blank(words) => words.size,
            Self::Rule { .. } => TypeSize::of_hundredths(0),
        }
    }

    pub fn smallest(&self) -> TypeSize {
        match self {
            Self::Words { words, .. } | Self::Blank(words) => words.smallest,
            Self::Rule { .. } => TypeSize::of_hundredths(0),
        }
    }

    pub fn above(&self) -> Length {
        match self {
            Self::Words { words, .. } | Self::Blank(words) => words.above,
            Self::Rule { above, .. } => *above,
        }
    }

    /// The printed lines of each paragraph, unless a word is too wide or they are too many.
    pub fn lines(&self, block: &Block, room: Length, size: TypeSize) -> Option<Vec<Vec<String>>> {
        let Self::Words {
            words, paragraphs, ..
        } = self
        else {
            return Some(Vec::new());
        };
        let room = room - indent(block, words, size);
        let broken: Result<Vec<_>, _> = paragraphs
            .iter()
            .map(|paragraph| paragraph.lines(size, room))
            .collect();
        let lines = broken.ok()?;
        let count: usize = lines.iter().map(Vec::len).sum();
        words
            .max_lines
            .is_none_or(|most| count <= most)
            .then_some(lines)
    }

    pub fn overflow(&self) -> Misfit {
        match self {
            Self::Words { words, text, .. } => Misfit::Overflow {
                field: words.pattern.fields().next(),
                text: (*text).to_owned(),
            },
            Self::Blank(words) => Misfit::Overflow {
                field: words.pattern.fields().next(),
                text: "a line to write on".to_owned(),
            },
            Self::Rule { .. } => Misfit::Overflow {
                field: None,
                text: "a rule".to_owned(),
            },
        }
    }
}

/// How far a row's words stand in from the left of the block.
pub fn indent(block: &Block, words: &Words, size: TypeSize) -> Length {
    let caption = words
        .caption
        .as_ref()
        .map_or(Length::ZERO, |_| block.caption_width);
    match words.bullet {
        Bullet::Dot => caption + size.scale(BULLET_INDENT),
        Bullet::None => caption,
    }
}
