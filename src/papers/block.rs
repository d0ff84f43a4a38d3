//! Blocks: what a paper is made of, each turned into slabs.

use crate::label::{Area, Item, Layout, Length, Point, Size};

use super::error::PaperError;
use super::flow::BOX_PAD;
use super::set;
use super::slab::{Boxed, Keep, Slab, fill};
use super::style::Style;
use super::table::Table;

/// One block of a paper.
#[derive(Clone, Debug)]
pub enum Block {
    /// A heading, which stays with what follows.
    Heading(Style, String),
    /// A paragraph.
    Text(Style, String),
    /// A paragraph that stays with what follows.
    LeadIn(String),
    /// Rows of a sign: a day in the size of its smaller lines, and beside it what is sold then, large.
    Signposts(Vec<(String, Vec<String>)>),
    /// Steps, numbered from 1.
    Steps(Style, Vec<String>),
    /// Names and what they are; a line to write on where nothing is said.
    Facts(Vec<(String, String)>),
    /// A table.
    Table(Table),
    /// A box that stands out: a heading and paragraphs.
    Callout(String, Vec<String>),
    /// A label at its real size, and what is ringed on it.
    Label(Box<Layout>, Option<Area>),
    /// Parts of a drawing.
    Drawing(Vec<Slab>),
    /// A rule across the page.
    Rule,
    /// The end of a page.
    NewPage,
}

const ABOVE_HEADING: Length = Length::of_mm(6);
const ABOVE_TEXT: Length = Length::of_micrometres(1_800);
const ABOVE_FACT: Length = Length::of_micrometres(900);
const ABOVE_BOX: Length = Length::of_mm(4);
const RULE: Length = Length::of_micrometres(800);
/// The line to write on, and how high a line written by hand needs to be.
const WRITTEN: Length = Length::of_mm(8);
const WRITING_LINE: Length = Length::of_micrometres(200);
/// The names of facts take at most this much of the room, in hundredths.
const NAMES: i64 = 34;

impl Block {
    /// Adds its slabs to those of the blocks before it.
    pub fn set(&self, room: Length, slabs: &mut Vec<Slab>) -> Result<(), PaperError> {
        match self {
            Self::Heading(style, text) => {
                let mut lines = paragraph(text, *style, Room::whole(room))?;
                if let Some(first) = lines.first_mut() {
                    first.above = ABOVE_HEADING;
                }
                slabs.extend(lines.into_iter().map(Slab::with_next));
            }
            Self::Text(style, text) => slabs.extend(paragraph(text, *style, Room::whole(room))?),
            Self::LeadIn(text) => {
                let lines = paragraph(text, Style::TEXT, Room::whole(room))?.into_iter();
                slabs.extend(lines.map(Slab::with_next));
            }
            Self::Signposts(posts) => {
                for (day, codes) in posts {
                    slabs.extend(signpost(day, codes, room)?);
                }
            }
            Self::Steps(style, steps) => slabs.extend(numbered(steps, *style, room)?),
            Self::Facts(facts) => slabs.extend(set_facts(facts, room)?),
            Self::Table(table) => slabs.extend(table.slabs(room)?),
            Self::Callout(heading, texts) => slabs.extend(callout(heading, texts, room)?),
            Self::Label(layout, ring) => slabs.push(label(layout, *ring, room)),
            Self::Drawing(parts) => slabs.extend(parts.iter().cloned()),
            Self::Rule => {
                let rule = fill(Length::ZERO, Length::ZERO, room, RULE);
                slabs.push(Slab::of(RULE, vec![rule]).below(ABOVE_HEADING));
            }
            Self::NewPage => {
                if let Some(last) = slabs.last_mut() {
                    last.keep = Keep::EndOfPage;
                }
            }
        }
        Ok(())
    }
}

/// Where a paragraph stands across the room.
#[derive(Clone, Copy)]
struct Room {
    x: Length,
    width: Length,
}

impl Room {
    fn whole(width: Length) -> Self {
        Self {
            x: Length::ZERO,
            width,
        }
    }

    fn right_of(x: Length, whole: Length) -> Self {
        let width = whole - x;
        Self { x, width }
    }
}

/// Sets a paragraph, a slab a line. Its first two lines stay together, and so do its last two.
fn paragraph(text: &str, style: Style, room: Room) -> Result<Vec<Slab>, PaperError> {
    let text = set::plain(text);
    let lines = set::lines(&text, style, room.width)?;
    let count = lines.len();
    let mut slabs = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let place = Point {
            x: room.x,
            y: Length::ZERO,
        };
        let mut slab = Slab::of(style.leading, set::line(line, style, place)?);
        if at == 0 {
            slab.above = ABOVE_TEXT;
        }
        if count > 1 && (at == 0 || at + 2 == count) {
            slab.keep = Keep::WithNext;
        }
        slabs.push(slab);
    }
    Ok(slabs)
}

fn signpost(day: &str, codes: &[String], room: Length) -> Result<Vec<Slab>, PaperError> {
    let days = room * 34 / 100;
    let mut slabs = Vec::new();
    for code in codes {
        slabs.extend(paragraph(
            code,
            Style::SIGN_TEXT,
            Room::right_of(days, room),
        )?);
    }
    // The day stands on the line of the first code.
    let x = Length::ZERO;
    let mut y = Style::SIGN_TEXT.baseline() - Style::SIGN_SMALL.baseline();
    for (slab, line) in slabs
        .iter_mut()
        .zip(set::lines(&set::plain(day), Style::SIGN_SMALL, days)?)
    {
        slab.items
            .extend(set::line(&line, Style::SIGN_SMALL, Point { x, y })?);
        y = Length::ZERO;
    }
    Ok(slabs)
}

fn numbered(steps: &[String], style: Style, room: Length) -> Result<Vec<Slab>, PaperError> {
    let indent = style.size.scale(1_700_000);
    let mut slabs = Vec::new();
    for (step, number) in steps.iter().zip(1..) {
        let mut lines = paragraph(step, style, Room::right_of(indent, room))?;
        if let Some(first) = lines.first_mut() {
            let origin = Point {
                x: Length::ZERO,
                y: Length::ZERO,
            };
            let number = format!("{number}.");
            first.items.extend(set::line(&number, style, origin)?);
        }
        slabs.extend(lines);
    }
    Ok(slabs)
}

fn set_facts(facts: &[(String, String)], room: Length) -> Result<Vec<Slab>, PaperError> {
    let mut widest = Length::ZERO;
    for (name, _) in facts {
        widest = widest.max(set::widths(name, Style::CAPTION)?.1);
    }
    let names = widest.min(room * NAMES / 100);
    let at = Room::right_of(names + Length::of_mm(5), room);
    let mut slabs = Vec::new();
    for (name, value) in facts {
        slabs.extend(fact(name, value, names, at)?);
    }
    if let Some(first) = slabs.first_mut() {
        first.above = ABOVE_TEXT + ABOVE_FACT;
    }
    Ok(slabs)
}

/// Sets one fact: its name at the left, what it is beside it.
fn fact(name: &str, value: &str, names: Length, at: Room) -> Result<Vec<Slab>, PaperError> {
    let mut lines = paragraph(value, Style::TEXT, at)?;
    if lines.is_empty() {
        let y = WRITTEN - WRITING_LINE;
        lines.push(Slab::of(
            WRITTEN,
            vec![fill(at.x, y, at.width, WRITING_LINE)],
        ));
    }
    let name = set::lines(&set::plain(name), Style::CAPTION, names)?;
    while lines.len() < name.len() {
        lines.push(Slab::of(Style::TEXT.leading, Vec::new()));
    }
    let kept = name.len().saturating_sub(1);
    for (index, (line, name)) in lines.iter_mut().zip(&name).enumerate() {
        let y = line.height - Style::TEXT.leading;
        let place = Point { x: Length::ZERO, y };
        let style = Style {
            leading: Style::TEXT.leading,
            ..Style::CAPTION
        };
        line.items.extend(set::line(name, style, place)?);
        if index < kept {
            line.keep = Keep::WithNext;
        }
    }
    if let Some(first) = lines.first_mut() {
        first.above = ABOVE_FACT;
    }
    Ok(lines)
}

fn callout(heading: &str, texts: &[String], room: Length) -> Result<Vec<Slab>, PaperError> {
    let inside = Room {
        x: BOX_PAD,
        width: room - BOX_PAD * 2,
    };
    let mut slabs = paragraph(heading, Style::STRONG, inside)?;
    for text in texts {
        slabs.extend(paragraph(text, Style::TEXT, inside)?);
    }
    let count = slabs.len();
    for (at, slab) in slabs.iter_mut().enumerate() {
        slab.boxed = if at == 0 { Boxed::First } else { Boxed::Too };
        if at == 0 {
            slab.above = ABOVE_BOX;
        }
        if at + 1 < count {
            slab.keep = Keep::WithNext;
        }
    }
    Ok(slabs)
}

/// Stands a label in the middle, with a line along its edge, and rings a place on it.
fn label(layout: &Layout, ring: Option<Area>, room: Length) -> Slab {
    const EDGE: Length = Length::of_micrometres(150);
    const RING: Length = Length::of_micrometres(700);
    const OUTSET: Length = Length::of_micrometres(1_150);
    let x = (room - layout.size.width) / 2;
    let framed = |area: Area, out: Length, stroke: Length| {
        let at = Point {
            x: x + area.at.x - out,
            y: area.at.y - out,
        };
        let size = Size {
            width: area.size.width + out * 2,
            height: area.size.height + out * 2,
        };
        let area = Area { at, size };
        Item::Frame { area, stroke }
    };
    let origin = Point {
        x: Length::ZERO,
        y: Length::ZERO,
    };
    let whole = Area {
        at: origin,
        size: layout.size,
    };
    let mut items = vec![framed(whole, Length::ZERO, EDGE)];
    items.extend(ring.map(|ring| framed(ring, OUTSET, RING)));
    let mut slab = Slab::of(layout.size.height, items).below(ABOVE_BOX);
    slab.labels.push((Point { x, ..origin }, layout.clone()));
    slab
}
