//! The rows of a round sheet: what is known of each bed, and beside it boxes to circle and lines to write on.

use std::rc::Rc;

use crate::label::{Area, Code, Item, Length, Level, PlacedQr, Point, QUIET_MODULES, Size};

use super::error::PaperError;
use super::set;
use super::slab::{Slab, fill};
use super::style::Style;

/// What stands in one row, a text a line.
pub struct SheetRow {
    /// What its code holds.
    pub code: String,
    /// The bin, and where it stands.
    pub bin: [String; 2],
    /// Of which bed, species, and age.
    pub bed: Vec<String>,
    /// The last feeds: what there is room for of each, first with what it was of.
    pub fed: Vec<[String; 2]>,
    /// What is due, and why.
    pub due: [String; 2],
}

const HAIR: Length = Length::of_micrometres(120);
const RULE: Length = Length::of_micrometres(420);
const PAD: Length = Length::of_micrometres(700);
const GAP: Length = Length::of_micrometres(1_200);
/// A code is at least so wide, with its quiet zone, and a module of it at least so wide (4 dots of 300 dpi).
const CODE: Length = Length::of_mm(16);
const MODULE: Length = Length::of_micrometres(340);

/// Where the lines stand on which somebody writes why.
const WRITTEN: [Length; 2] = [
    Length::of_micrometres(6_800),
    Length::of_micrometres(13_600),
];

/// The columns behind the code: heading and width in millimetres. What is circled stands one word below the other.
const COLUMNS: [(&str, i64); 9] = [
    ("bin", 25),
    ("bed", 34),
    ("last three feeds", 41),
    ("today", 31),
    ("food left", 13),
    ("squeeze", 17),
    ("smell", 19),
    ("worms up", 14),
    ("fed", 22),
];
/// The heading of the last column, which takes what is left.
const LAST: &str = "skipped, why";
const LEFT: [&str; 3] = ["none", "some", "lots"];
const SQUEEZE: [&str; 3] = ["dry", "drops", "stream"];
const SMELL: [&str; 3] = ["earth", "sour", "ammonia"];
const SIDE: [&str; 2] = ["yes", "no"];

/// Returns the rows as slabs in a room so wide; the header comes again on every page.
pub fn slabs(rows: &[SheetRow], room: Length) -> Result<Vec<Slab>, PaperError> {
    let codes: Vec<Code> = rows
        .iter()
        .map(|row| Code::at_least(&row.code, Level::Q))
        .collect::<Result<_, _>>()?;
    let needs = codes.iter().map(|code| MODULE * modules(code));
    let code = needs.max().unwrap_or(CODE).max(CODE);
    let mut lanes = Vec::new();
    let mut x = code + GAP;
    for (_, width) in COLUMNS {
        lanes.push((x, Length::of_mm(width) - GAP));
        x += Length::of_mm(width);
    }
    lanes.push((x, room - x));
    let header = Rc::new(header(&lanes, room)?);
    let mut slabs = vec![(*header).clone()];
    for (row, own) in rows.iter().zip(codes) {
        let mut slab = row.set(&lanes, room)?;
        slab.items.push(placed(own, code));
        slab.height = slab.height.max(code + HAIR);
        slab.items.extend(lines(&lanes, slab.height, room));
        slabs.push(Slab {
            header: Some(Rc::clone(&header)),
            ..slab
        });
    }
    Ok(slabs)
}

fn modules(code: &Code) -> i64 {
    i64::from(code.width() + 2 * QUIET_MODULES)
}

fn placed(code: Code, side: Length) -> Item {
    let at = Point {
        x: Length::ZERO,
        y: Length::ZERO,
    };
    let module = side / modules(&code);
    let size = Size {
        width: side,
        height: side,
    };
    Item::Qr(PlacedQr {
        code,
        module,
        quiet: Area { at, size },
    })
}

fn header(lanes: &[(Length, Length)], room: Length) -> Result<Slab, PaperError> {
    let names = COLUMNS.iter().map(|(name, _)| *name).chain([LAST]);
    let (mut items, mut height) = (Vec::new(), Length::ZERO);
    for (name, (x, width)) in names.zip(lanes) {
        let lines = set::lines(name, Style::HAND_STRONG, *width)?;
        height = height.max(put(
            &mut items,
            &lines,
            Style::HAND_STRONG,
            Point {
                x: *x,
                y: Length::ZERO,
            },
        )?);
    }
    items.push(fill(Length::ZERO, height, room, RULE));
    Ok(Slab::of(height + RULE, items)
        .below(Length::of_mm(2))
        .with_next())
}

/// Sets lines one under the other, and returns where the last ends.
fn put(
    items: &mut Vec<Item>,
    lines: &[String],
    style: Style,
    at: Point,
) -> Result<Length, PaperError> {
    let mut y = at.y;
    for line in lines {
        items.extend(set::line(line, style, Point { x: at.x, y })?);
        y += style.leading;
    }
    Ok(y)
}

/// Returns the rule below a row, and the lines between what is circled.
fn lines(lanes: &[(Length, Length)], height: Length, room: Length) -> Vec<Item> {
    let mut items = vec![fill(Length::ZERO, height - HAIR, room, HAIR)];
    for (x, _) in &lanes[4..] {
        items.push(fill(*x - GAP, Length::ZERO, HAIR, height));
    }
    items
}

impl SheetRow {
    fn set(&self, lanes: &[(Length, Length)], room: Length) -> Result<Slab, PaperError> {
        let mut items = Vec::new();
        let mut height = Length::ZERO;
        let [bin, place] = &self.bin;
        let (x, width) = lanes[0];
        let style = fitting(bin, width)?;
        let y = put(
            &mut items,
            &set::lines(bin, style, width)?,
            style,
            Point { x, y: PAD },
        )?;
        let place = set::lines(place, Style::HAND, width)?;
        height = height.max(put(&mut items, &place, Style::HAND, Point { x, y })?);
        let [due, why] = &self.due;
        height = height.max(wrapped(&mut items, &self.bed, Style::HAND, lanes[1])?);
        let mut feeds = Vec::new();
        for [long, short] in &self.fed {
            let fits = set::widths(long, Style::HAND)?.1 <= lanes[2].1;
            feeds.push(if fits { long.clone() } else { short.clone() });
        }
        height = height.max(wrapped(&mut items, &feeds, Style::HAND, lanes[2])?);
        let (x, width) = lanes[3];
        let lines = set::lines(due, Style::HAND_STRONG, width)?;
        let y = put(&mut items, &lines, Style::HAND_STRONG, Point { x, y: PAD })?;
        height = height.max(put(
            &mut items,
            &set::lines(why, Style::HAND, width)?,
            Style::HAND,
            Point { x, y },
        )?);
        for (words, lane) in [
            (&LEFT[..], 4),
            (&SQUEEZE[..], 5),
            (&SMELL[..], 6),
            (&SIDE[..], 7),
        ] {
            let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
            height = height.max(wrapped(&mut items, &words, Style::HAND, lanes[lane])?);
        }
        height = height.max(self.written(&mut items, lanes, room)?) + PAD + HAIR;
        Ok(Slab::of(height, items))
    }

    /// What is written by hand: how much was fed, and why not.
    fn written(
        &self,
        items: &mut Vec<Item>,
        lanes: &[(Length, Length)],
        room: Length,
    ) -> Result<Length, PaperError> {
        let (x, width) = lanes[8];
        let style = Style::HAND;
        let mut y = put(
            items,
            &["yes, as said".to_owned()],
            style,
            Point { x, y: PAD },
        )?;
        y += style.leading;
        items.extend(set::line_to("g", style, x + width - GAP, y)?);
        items.push(fill(
            x,
            y + style.baseline() + HAIR * 4,
            width - Length::of_mm(5),
            HAIR,
        ));
        let (x, _) = lanes[9];
        for at in WRITTEN {
            items.push(fill(x, at, room - x, HAIR));
        }
        Ok(y + style.leading)
    }
}

/// Sets texts one under the other, each broken to its lane.
fn wrapped(
    items: &mut Vec<Item>,
    texts: &[String],
    style: Style,
    (x, width): (Length, Length),
) -> Result<Length, PaperError> {
    let mut y = PAD;
    for text in texts {
        y = put(
            items,
            &set::lines(&set::plain(text), style, width)?,
            style,
            Point { x, y },
        )?;
    }
    Ok(y)
}

/// Returns the style in which a bin's code fits in one line, or else the smallest.
fn fitting(bin: &str, width: Length) -> Result<Style, PaperError> {
    Ok(match set::widths(bin, Style::HAND_BIN)?.1 <= width {
        true => Style::HAND_BIN,
        false => Style::HAND_CODE,
    })
}
