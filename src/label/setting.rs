//! Sets one block of text: which lines, at what size, and where.
//!
//! Type shrinks only on lines whose template gives a smallest size; where that is not enough,
//! the block is refused and the line that does not fit is named.

use super::field::{Content, Field};
use super::font::{Face, NoGlyph};
use super::item::{Item, TextRun};
use super::length::{Area, Length, Point, Size, TypeSize};
use super::paragraph::Paragraph;
use super::template::{Align, Block, Bullet, Flow, Need, Row, Stand, Words};

/// The step in which type shrinks.
const STEP: i64 = 25;

const BULLET: &str = "•";

/// The bullet and the room after it, in millionths of an em.
const BULLET_INDENT: i64 = 700_000;

/// Captions are set in this face.
const CAPTION_FACE: Face = Face::CondensedRegular;

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
        /// The line's first field, if it has one.
        field: Option<Field>,
        /// The character.
        missing: NoGlyph,
    },
}

/// Sets a block, or tells everything that is wrong with it.
pub fn set(block: &Block, content: &Content, cell: Size) -> Result<Vec<Item>, Vec<Misfit>> {
    let texts = fill(block, content)?;
    let entries = measure(block, &texts)?;
    let area = block.place.on(cell);
    let mut sizes: Vec<_> = entries.iter().map(Entry::size).collect();
    loop {
        let broken: Vec<_> = entries
            .iter()
            .zip(&sizes)
            .map(|(entry, &size)| entry.lines(block, area.size.width, size))
            .collect();
        let too_wide: Vec<_> = (0..broken.len())
            .filter(|&at| broken[at].is_none())
            .collect();
        if !too_wide.is_empty() {
            let stuck = shrink(&entries, &mut sizes, &too_wide);
            match stuck.is_empty() {
                true => continue,
                false => return Err(stuck.iter().map(|&at| entries[at].overflow()).collect()),
            }
        }
        let lines: Vec<_> = broken.into_iter().flatten().collect();
        let setting = Setting {
            block,
            area,
            entries: &entries,
            sizes: &sizes,
            lines: &lines,
        };
        match setting.first_below_the_room() {
            None => return setting.items(),
            Some(first) => {
                let all: Vec<_> = (0..entries.len()).collect();
                if shrink(&entries, &mut sizes, &all).len() == entries.len() {
                    return Err(vec![entries[first].overflow()]);
                }
            }
        }
    }
}

/// Makes some lines smaller by a step, and returns those that are at their smallest.
fn shrink(entries: &[Entry<'_>], sizes: &mut [TypeSize], which: &[usize]) -> Vec<usize> {
    let mut stuck = Vec::new();
    for &at in which {
        let least = entries[at].smallest();
        if sizes[at] <= least {
            stuck.push(at);
        } else {
            sizes[at] = TypeSize::of_hundredths(sizes[at].hundredths() - STEP).max(least);
        }
    }
    stuck
}

/// A row with its text, as far as it is printed.
enum Filled<'a> {
    Words(&'a Words, String),
    Rule { thickness: Length, above: Length },
}

fn fill<'a>(block: &'a Block, content: &Content) -> Result<Vec<Filled<'a>>, Vec<Misfit>> {
    let mut filled = Vec::new();
    let mut missing = Vec::new();
    for row in &block.rows {
        match row {
            &Row::Rule { thickness, above } => filled.push(Filled::Rule { thickness, above }),
            Row::Words(words) => match (words.pattern.fill(content), words.need) {
                (Ok(text), _) => filled.push(Filled::Words(words, flow(words, text))),
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
enum Entry<'a> {
    Words {
        words: &'a Words,
        text: &'a str,
        paragraphs: Vec<Paragraph<'a>>,
    },
    Rule {
        thickness: Length,
        above: Length,
    },
}

fn measure<'a>(block: &Block, filled: &'a [Filled<'a>]) -> Result<Vec<Entry<'a>>, Vec<Misfit>> {
    let mut entries = Vec::new();
    let mut faults = Vec::new();
    for row in filled {
        match row {
            &Filled::Rule { thickness, above } => entries.push(Entry::Rule { thickness, above }),
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
                    Err(missing) => {
                        faults.push(Misfit::NoGlyph {
                            field: words.pattern.fields().next(),
                            missing,
                        });
                    }
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
    fn size(&self) -> TypeSize {
        match self {
            Self::Words { words, .. } => words.size,
            Self::Rule { .. } => TypeSize::of_hundredths(0),
        }
    }

    fn smallest(&self) -> TypeSize {
        match self {
            Self::Words { words, .. } => words.smallest,
            Self::Rule { .. } => TypeSize::of_hundredths(0),
        }
    }

    fn above(&self) -> Length {
        match self {
            Self::Words { words, .. } => words.above,
            Self::Rule { above, .. } => *above,
        }
    }

    /// The printed lines of each paragraph, unless a word is too wide or they are too many.
    fn lines(&self, block: &Block, room: Length, size: TypeSize) -> Option<Vec<Vec<String>>> {
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

    fn overflow(&self) -> Misfit {
        match self {
            Self::Words { words, text, .. } => Misfit::Overflow {
                field: words.pattern.fields().next(),
                text: (*text).to_owned(),
            },
            Self::Rule { .. } => Misfit::Overflow {
                field: None,
                text: "a rule".to_owned(),
            },
        }
    }
}

/// How far a row's words stand in from the left of the block.
fn indent(block: &Block, words: &Words, size: TypeSize) -> Length {
    let caption = words
        .caption
        .as_ref()
        .map_or(Length::ZERO, |_| block.caption_width);
    match words.bullet {
        Bullet::Dot => caption + size.scale(BULLET_INDENT),
        Bullet::None => caption,
    }
}

/// A block with all its lines broken.
struct Setting<'a> {
    block: &'a Block,
    area: Area,
    entries: &'a [Entry<'a>],
    sizes: &'a [TypeSize],
    /// Of each entry, of each paragraph, the lines.
    lines: &'a [Vec<Vec<String>>],
}

impl Setting<'_> {
    /// The first row that ends below the block's room.
    fn first_below_the_room(&self) -> Option<usize> {
        let mut bottom = Length::ZERO;
        (0..self.entries.len()).find(|&at| {
            bottom += self.step_to(at) + self.height(at);
            bottom > self.area.size.height
        })
    }

    fn items(&self) -> Result<Vec<Item>, Vec<Misfit>> {
        let rows = 0..self.entries.len();
        let height = rows
            .clone()
            .map(|at| self.step_to(at) + self.height(at))
            .sum();
        let spare = self.area.size.height - height;
        let mut y = self.area.at.y
            + match self.block.stand {
                Stand::Top => Length::ZERO,
                Stand::Middle => spare / 2,
                Stand::Bottom => spare,
            };
        let mut items = Vec::new();
        for at in rows {
            y += self.step_to(at);
            match &self.entries[at] {
                Entry::Rule { thickness, .. } => items.push(Item::Fill(Area {
                    at: Point {
                        x: self.area.at.x,
                        y,
                    },
                    size: Size {
                        width: self.area.size.width,
                        height: *thickness,
                    },
                })),
                Entry::Words { words, .. } => self.set_words(at, words, y, &mut items),
            }
            y += self.height(at);
        }
        Ok(items)
    }

    /// The room above a row.
    fn step_to(&self, at: usize) -> Length {
        let gap = if at == 0 {
            Length::ZERO
        } else {
            self.block.gap
        };
        gap + self.entries[at].above()
    }

    fn height(&self, at: usize) -> Length {
        match &self.entries[at] {
            Entry::Rule { thickness, .. } => *thickness,
            Entry::Words { words, .. } => {
                let last = self.baselines(at, words).last().unwrap_or_default();
                words.face().cap_height(self.sizes[at]) + last
            }
        }
    }

    /// How far each printed line's baseline lies below the first one's.
    fn baselines(&self, at: usize, words: &Words) -> impl Iterator<Item = Length> {
        let leading = Length::of_micrometres(
            self.sizes[at].scale(1_000_000).micrometres() * words.leading / 100,
        );
        let between = match words.bullet {
            Bullet::Dot => self.block.gap / 3,
            Bullet::None => Length::ZERO,
        };
        let mut y = Length::ZERO;
        let lines = self.lines[at]
            .iter()
            .enumerate()
            .flat_map(|(paragraph, lines)| (0..lines.len()).map(move |line| (paragraph, line)));
        lines.map(move |(paragraph, line)| {
            if line > 0 || paragraph > 0 {
                y += leading;
            }
            if line == 0 && paragraph > 0 {
                y += between;
            }
            y
        })
    }

    fn set_words(&self, at: usize, words: &Words, top: Length, items: &mut Vec<Item>) {
        let (face, size) = (words.face(), self.sizes[at]);
        let first = top + face.cap_height(size);
        let indent = indent(self.block, words, size);
        let left = self.area.at.x + indent;
        let room = self.area.size.width - indent;
        let pen = |face, size, y| Pen {
            face,
            size,
            words,
            y,
        };
        if let Some(caption) = &words.caption {
            let pen = pen(CAPTION_FACE, self.block.caption_size, first);
            pen.write(caption, self.area.at.x, items);
        }
        let starts = self.lines[at]
            .iter()
            .flat_map(|lines| (0..lines.len()).map(|line| line == 0));
        let lines = self.lines[at].iter().flatten();
        for ((line, below), starts) in lines.zip(self.baselines(at, words)).zip(starts) {
            let pen = pen(face, size, first + below);
            if starts && words.bullet == Bullet::Dot {
                pen.write(BULLET, left - size.scale(BULLET_INDENT), items);
            }
            let spare = room - pen.width(line);
            let x = match words.align {
                Align::Left => left,
                Align::Centre => left + spare / 2,
                Align::Right => left + spare,
            };
            pen.write(line, x, items);
        }
    }
}

/// A baseline and the type that stands on it.
struct Pen<'a> {
    face: Face,
    size: TypeSize,
    words: &'a Words,
    y: Length,
}

impl Pen<'_> {
    fn width(&self, text: &str) -> Length {
        self.size.scale(
            self.face
                .advance(text)
                .expect("the text was measured before"),
        )
    }

    fn write(&self, text: &str, mut x: Length, items: &mut Vec<Item>) {
        for run in self.face.split(text).expect("the text was measured before") {
            let (rise, depth) = run.face.ink(run.text, self.size);
            let width = self.width(run.text);
            items.push(Item::Text(TextRun {
                text: run.text.to_owned(),
                face: run.face,
                size: self.size,
                ink: self.words.ink,
                origin: Point { x, y: self.y },
                area: Area {
                    at: Point {
                        x,
                        y: self.y - rise,
                    },
                    size: Size {
                        width,
                        height: rise + depth,
                    },
                },
            }));
            x += width;
        }
    }
}
