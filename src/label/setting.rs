//! Sets one block of text: which lines, at what size, and where.
//!
//! Type shrinks only on lines whose template gives a smallest size; where that is not enough,
//! the block is refused and the line that does not fit is named.

use super::entry::{
    BLANK_HEIGHT, BULLET_INDENT, CAPTION_FACE, Entry, Filled, Misfit, indent, measure,
};
use super::font::Face;
use super::item::{Item, TextRun};
use super::length::{Area, Length, Point, Size, TypeSize};
use super::said::Said;
use super::template::{Align, Block, Bullet, Stand, Words};

/// The step in which type shrinks, in hundredths of a point.
const STEP: i64 = 25;

/// How thick a line to write on is: two dots of a thermal printer.
const BLANK_LINE: Length = Length::of_micrometres(250);

const BULLET: &str = "•";

/// Sets a block that is filled, or tells everything that is wrong with it.
pub fn set(block: &Block, texts: &[Filled], cell: Size) -> Result<Vec<Item>, Vec<Misfit>> {
    let entries = measure(block, texts)?;
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
                Entry::Blank(words) => self.set_blank(at, words, y, &mut items),
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
            Entry::Blank(_) => self.sizes[at].scale(BLANK_HEIGHT),
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

    /// A caption, and after it a thin line on the same baseline.
    fn set_blank(&self, at: usize, words: &Words, top: Length, items: &mut Vec<Item>) {
        let baseline = top + self.height(at) - BLANK_LINE;
        if let Some(caption) = &words.caption {
            let pen = Pen {
                face: CAPTION_FACE,
                size: self.block.caption_size,
                words,
                fields: Said::default(),
                y: baseline,
            };
            pen.write(caption, self.area.at.x, items);
        }
        let indent = indent(self.block, words, self.sizes[at]);
        items.push(Item::Fill(Area {
            at: Point {
                x: self.area.at.x + indent,
                y: baseline,
            },
            size: Size {
                width: self.area.size.width - indent,
                height: BLANK_LINE,
            },
        }));
    }

    fn set_words(&self, at: usize, words: &Words, top: Length, items: &mut Vec<Item>) {
        let (face, size) = (words.face(), self.sizes[at]);
        let first = top + face.cap_height(size);
        let indent = indent(self.block, words, size);
        let left = self.area.at.x + indent;
        let room = self.area.size.width - indent;
        let fields = words.pattern.fields().collect();
        let pen = |face, size, y| Pen {
            face,
            size,
            words,
            fields,
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
    fields: Said,
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
                fields: self.fields,
            }));
            x += width;
        }
    }
}
