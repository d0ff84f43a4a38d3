//! Sets text: how wide it is, where its lines break, and the items of one line.

use crate::label::{Area, Face, Ink, Item, Length, NoGlyph, Paragraph, Point, Said, Size, TextRun};

use super::error::PaperError;
use super::style::Style;

/// Returns a text with every kind of white space as a plain space: a tab or a line's end has no glyph.
pub fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Returns the width of the widest word of a text, and of the text in one line.
pub fn widths(text: &str, style: Style) -> Result<(Length, Length), PaperError> {
    Ok(paragraph(text, style)?.widths(style.size))
}

/// Returns the lines a text takes in a room so wide. No line is wider than the room.
pub fn lines(text: &str, style: Style, room: Length) -> Result<Vec<String>, PaperError> {
    Ok(paragraph(text, style)?.broken(style.size, room))
}

fn paragraph(text: &str, style: Style) -> Result<Paragraph<'_>, PaperError> {
    Paragraph::of(text, style.face).map_err(|missing| no_glyph(text, missing))
}

fn no_glyph(text: &str, missing: NoGlyph) -> PaperError {
    PaperError::NoGlyph {
        text: plain(text),
        missing,
    }
}

/// Sets one line whose leading begins at `at`.
pub fn line(text: &str, style: Style, at: Point) -> Result<Vec<Item>, PaperError> {
    let y = at.y + style.baseline();
    let mut x = at.x;
    let runs = style
        .face
        .split(text)
        .map_err(|missing| no_glyph(text, missing))?;
    let mut items = Vec::new();
    for run in runs {
        let width = advance(run.face, run.text, style)?;
        items.push(Item::Text(placed(run.face, run.text, style, (x, y, width))));
        x += width;
    }
    Ok(items)
}

/// Sets one line that ends at `right`.
pub fn line_to(
    text: &str,
    style: Style,
    right: Length,
    top: Length,
) -> Result<Vec<Item>, PaperError> {
    let x = right - advance(style.face, text, style)?;
    line(text, style, Point { x, y: top })
}

fn advance(face: Face, text: &str, style: Style) -> Result<Length, PaperError> {
    let advance = face.advance(text);
    let advance = advance.map_err(|missing| no_glyph(text, missing))?;
    Ok(style.size.scale(advance))
}

/// The one place where papers make a run: its area is the letters' advance and their ink.
fn placed(face: Face, text: &str, style: Style, at: (Length, Length, Length)) -> TextRun {
    let (x, y, width) = at;
    let (rise, depth) = face.ink(text, style.size);
    TextRun {
        text: text.to_owned(),
        face,
        size: style.size,
        ink: Ink::Black,
        origin: Point { x, y },
        area: Area {
            at: Point { x, y: y - rise },
            size: Size {
                width,
                height: rise + depth,
            },
        },
        // The words of papers come from no field of a label.
        fields: Said::default(),
    }
}
