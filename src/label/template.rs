//! A label template: for each size of label it can be printed on, what stands where.
//!
//! A template holds one or more layouts, each with the smallest cell it needs and, where it
//! would look lost on a larger one, the largest. Of those that fit the cell the one that needs
//! most room is used, and its items are held to the cell's edges, so that one layout serves
//! sheets that differ by some millimetres.

use std::sync::Arc;

use super::font::{Face, Family, Weight};
use super::item::Ink;
use super::length::{Area, Length, Point, Size, TypeSize};
use super::pattern::Pattern;
use super::picture::Picture;
use super::qr::Level;

/// A label's design.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Template {
    /// The name that castlot.toml uses, such as `bag-front`.
    pub name: String,
    /// The layouts, in the order of the file.
    pub sizes: Vec<SizeLayout>,
}

/// One layout of a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeLayout {
    /// The smallest cell it can be printed on.
    pub least: Size,
    /// The largest cell that it still suits.
    pub most: Size,
    /// Frames, drawn first.
    pub frames: Vec<Frame>,
    /// Filled rectangles: rules and bands.
    pub rules: Vec<Place>,
    /// Places for the QR code.
    pub codes: Vec<CodePlace>,
    /// Places for the bar code.
    pub bars: Vec<BarsPlace>,
    /// Pictures.
    pub pictures: Vec<PicturePlace>,
    /// Blocks of text.
    pub blocks: Vec<Block>,
}

/// A rectangle held to the edges of the cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Where it is across.
    pub across: Span,
    /// Where it is down.
    pub down: Span,
}

/// Where something is in one direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Span {
    /// So far from the near edge (left, top), and so long.
    Near(Length, Length),
    /// So far from the far edge (right, bottom), and so long.
    Far(Length, Length),
    /// From so far from the near edge to so far from the far edge.
    Between(Length, Length),
    /// In the middle, and so long.
    Middle(Length),
}

/// A frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frame {
    /// Its outer edge.
    pub place: Place,
    /// How thick its line is, inwards.
    pub stroke: Length,
}

/// A place for the QR code with its quiet zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CodePlace {
    /// The room there is.
    pub place: Place,
    /// How much of the code may be lost.
    pub level: Level,
    /// Where in the room it stands across.
    pub align: Align,
    /// Where in the room it stands down.
    pub stand: Stand,
    /// Whether a label without a code leaves it out.
    pub need: Need,
}

/// A place for the bar code with its quiet zones and digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BarsPlace {
    /// The room there is.
    pub place: Place,
    /// The width of a module, where the template sets it.
    pub module: Option<Length>,
    /// Where in the room it stands across.
    pub align: Align,
    /// Where in the room it stands down.
    pub stand: Stand,
    /// Whether a label without a GTIN leaves it out.
    pub need: Need,
}

/// A picture, and the room for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PicturePlace {
    /// The room there is.
    pub place: Place,
    /// The picture.
    pub picture: Arc<Picture>,
    /// Where in the room it stands across.
    pub align: Align,
    /// Where in the room it stands down.
    pub stand: Stand,
}

/// A block of lines, one under the other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// The room there is.
    pub place: Place,
    /// Where in the room the lines stand.
    pub stand: Stand,
    /// The room from one line's baseline to the tops of the next one's capitals.
    pub gap: Length,
    /// The width of the column of captions.
    pub caption_width: Length,
    /// The size of captions.
    pub caption_size: TypeSize,
    /// The lines.
    pub rows: Vec<Row>,
}

/// One line of a block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Row {
    /// Words; they may wrap onto several printed lines.
    Words(Box<Words>),
    /// A rule from side to side.
    Rule {
        /// How thick.
        thickness: Length,
        /// Extra room above it.
        above: Length,
    },
}

/// Words, and how they are set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    /// The words.
    pub pattern: Pattern,
    /// The size of type.
    pub size: TypeSize,
    /// The size down to which it may shrink; the same size where it may not.
    pub smallest: TypeSize,
    /// The letters.
    pub family: Family,
    /// How heavy.
    pub weight: Weight,
    /// The colour.
    pub ink: Ink,
    /// Where a line shorter than the room stands.
    pub align: Align,
    /// The most lines it may wrap onto.
    pub max_lines: Option<usize>,
    /// Extra room above it.
    pub above: Length,
    /// From one baseline to the next, in hundredths of the size.
    pub leading: i64,
    /// Whether it is left out when a field is missing.
    pub need: Need,
    /// Words before it, in the column of captions.
    pub caption: Option<String>,
    /// Whether each paragraph begins with a bullet.
    pub bullet: Bullet,
    /// Whether new lines in a field stay.
    pub flow: Flow,
}

impl Words {
    /// The face it is set in.
    pub fn face(&self) -> Face {
        Face::of(self.family, self.weight)
    }
}

/// Where a line stands across.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Align {
    /// At the left.
    #[default]
    Left,
    /// In the middle.
    Centre,
    /// At the right.
    Right,
}

/// Where lines stand down.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Stand {
    /// At the top.
    #[default]
    Top,
    /// In the middle.
    Middle,
    /// At the bottom.
    Bottom,
}

/// Whether something may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// A label without it is refused.
    Always,
    /// It is left out where there is nothing to print.
    IfThere,
}

/// Whether paragraphs have bullets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bullet {
    /// A bullet, and the text set in after it.
    Dot,
    /// None.
    None,
}

/// What becomes of a new line in a field's text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flow {
    /// It begins a new paragraph.
    Paragraphs,
    /// It becomes a space: sentences follow one another, where room is short.
    RunIn,
}

impl Template {
    /// The layout for a cell: of those that fit, the one that needs most room.
    pub fn layout_for(&self, cell: Size) -> Option<&SizeLayout> {
        let fits = |layout: &&SizeLayout| {
            let wide = layout.least.width <= cell.width && cell.width <= layout.most.width;
            wide && layout.least.height <= cell.height && cell.height <= layout.most.height
        };
        let room = |layout: &&SizeLayout| {
            layout.least.width.micrometres() * layout.least.height.micrometres()
        };
        self.sizes.iter().filter(fits).max_by_key(room)
    }
}

#[cfg(test)]
impl Block {
    /// The words that a label prints in this block.
    pub fn texts(&self, content: &super::field::Content) -> Vec<String> {
        let filled = |row: &Row| match row {
            Row::Words(words) => words.pattern.fill(content).ok(),
            Row::Rule { .. } => None,
        };
        self.rows.iter().filter_map(filled).collect()
    }
}

impl Place {
    /// The rectangle on a label of this size.
    pub fn on(self, cell: Size) -> Area {
        let (x, width) = self.across.on(cell.width);
        let (y, height) = self.down.on(cell.height);
        Area {
            at: Point { x, y },
            size: Size { width, height },
        }
    }
}

impl Span {
    /// Where it begins and how long it is in so much room.
    fn on(self, room: Length) -> (Length, Length) {
        match self {
            Self::Near(inset, length) => (inset, length),
            Self::Far(inset, length) => (room - inset - length, length),
            Self::Between(near, far) => (near, room - near - far),
            Self::Middle(length) => ((room - length) / 2, length),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_are_held_to_their_edges() {
        let mm = Length::of_mm;
        assert_eq!(Span::Near(mm(4), mm(10)).on(mm(100)), (mm(4), mm(10)));
        assert_eq!(Span::Far(mm(4), mm(10)).on(mm(100)), (mm(86), mm(10)));
        assert_eq!(Span::Between(mm(4), mm(6)).on(mm(100)), (mm(4), mm(90)));
        assert_eq!(Span::Middle(mm(10)).on(mm(100)), (mm(45), mm(10)));
    }
}
