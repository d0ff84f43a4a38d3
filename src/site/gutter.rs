//! The gutter at the left of a lineage: its lines, cut into a piece for each row, so that a row can grow when it is
//! opened and the lines grow with it.
//!
//! A piece is drawn in pixels down to `TOP`, where the row's dot and the corners are, and from there on as high as the
//! row happens to be.

use std::fmt::Write;

use crate::trace::{Line, Relation, lane_count, lanes};

/// How far down a piece is drawn in pixels.
pub const TOP: i32 = 36;
/// How far down the dot is: in the middle of the row's first line of text.
pub const DOT_Y: i32 = 20;
/// The room at the outer edge, and between the innermost lane and the dot.
const EDGE: i32 = 8;
const TO_DOT: i32 = 5;
/// From the dot to the text.
const TO_TEXT: i32 = 16;
const ROUND: i32 = 7;
/// A dot's reach, and the length of a tip.
const DOT: i32 = 6;
const TIP: i32 = 6;
/// Lanes stand so far apart, the most that fit in each of three widths; more than fit in the last are pressed together.
const WIDTHS: [(Width, usize, i32); 3] = [
    (Width::Narrow, 3, 11),
    (Width::Middle, 6, 11),
    (Width::Wide, 12, 8),
];

/// How wide a gutter is; the style sheet has the same widths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Width {
    /// For up to 3 lines side by side.
    Narrow,
    /// For up to 6.
    Middle,
    /// For more.
    Wide,
}

impl Width {
    /// Returns its class.
    pub fn class(self) -> &'static str {
        match self {
            Self::Narrow => "narrow",
            Self::Middle => "middle",
            Self::Wide => "wide",
        }
    }

    /// Returns where the dots stand.
    pub fn dot_x(self) -> i32 {
        match self {
            Self::Narrow => EDGE + 3 * 11 + TO_DOT,
            Self::Middle => EDGE + 6 * 11 + TO_DOT,
            Self::Wide => EDGE + 12 * 8 + TO_DOT,
        }
    }

    /// Returns its width in pixels, up to where the text begins.
    pub fn pixels(self) -> i32 {
        self.dot_x() + TO_TEXT
    }
}

/// The lines of one style in a piece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Strand {
    /// Its class.
    pub class: &'static str,
    /// What runs above `TOP`, in SVG's path language.
    pub top: String,
    /// What runs below it, one unit high.
    pub below: String,
    /// Where lines arrive.
    pub tips: String,
}

/// A piece of the gutter.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its lines; what matters most is drawn last, on top.
    pub strands: Vec<Strand>,
}

/// The gutter of a lineage.
pub struct Gutter {
    /// How wide it is.
    pub width: Width,
    /// The piece of each row.
    pub rows: Vec<Piece>,
    /// The piece over each row, for a heading.
    pub over: Vec<Piece>,
}

/// Returns the class of a style.
pub fn class(style: Relation) -> &'static str {
    match style {
        Relation::Part => "part",
        Relation::Live => "live",
        Relation::Carried => "film",
    }
}

/// Returns how far a style's lines leave a row above or below its dot, so that they do not cover each other.
fn shift(style: Relation) -> i32 {
    match style {
        Relation::Part => 0,
        Relation::Live => 4,
        Relation::Carried => -4,
    }
}

impl Gutter {
    /// Lays lines out along so many rows.
    pub fn of(lines: &[Line], rows: usize) -> Self {
        let count = lane_count(lines);
        let fitting = WIDTHS.iter().find(|(_, most, _)| count <= *most);
        let (width, pitch) = fitting.map_or((Width::Wide, 0), |(width, _, pitch)| (*width, *pitch));
        let inner = width.dot_x() - TO_DOT;
        let lanes = lanes(lines);
        let lane_x = |line: usize| {
            let lane = i32::try_from(lanes[line]).unwrap_or(i32::MAX);
            match i32::try_from(count) {
                Ok(count) if pitch == 0 => inner - (inner - EDGE / 2) * (lane + 1) / count.max(1),
                _ => inner - pitch.saturating_mul(lane + 1),
            }
        };
        let piece = Piece::empty();
        let mut gutter = Self {
            width,
            rows: vec![piece.clone(); rows],
            over: vec![piece; rows],
        };
        for (place, line) in lines.iter().enumerate() {
            gutter.lay(line, lane_x(place));
        }
        for piece in gutter.rows.iter_mut().chain(&mut gutter.over) {
            piece.strands.retain(|strand| !strand.is_empty());
        }
        gutter
    }

    fn lay(&mut self, line: &Line, x: i32) {
        let (first, last) = line.span();
        let corner = Corner {
            x,
            y: DOT_Y + shift(line.style),
            dot_x: self.width.dot_x(),
        };
        for row in first..=last {
            let strand = self.rows[row].strand(line.style);
            if row < last {
                write(&mut strand.below, format_args!("M{x} 0v1"));
            }
            if row == line.to {
                corner.arrive(strand, (first < row, row < last));
            } else if line.from.contains(&row) {
                let is_above = row < line.to;
                corner.leave(&mut strand.top, is_above);
                let is_end = row == if is_above { first } else { last };
                if !is_end {
                    write(&mut strand.top, format_args!("M{x} 0v{TOP}"));
                }
            } else {
                write(&mut strand.top, format_args!("M{x} 0v{TOP}"));
            }
            if row > first {
                let over = &mut self.over[row].strand(line.style).below;
                write(over, format_args!("M{x} 0v1"));
            }
        }
    }
}

impl Piece {
    /// A piece with a strand for each style.
    fn empty() -> Self {
        let strand = |style| Strand {
            class: class(style),
            ..Strand::default()
        };
        let styles = [Relation::Carried, Relation::Live, Relation::Part];
        Self {
            strands: styles.map(strand).to_vec(),
        }
    }

    fn strand(&mut self, style: Relation) -> &mut Strand {
        let found = self.strands.iter_mut().find(|s| s.class == class(style));
        found.expect("a piece in the making has every style")
    }

    /// Tells whether anything runs below `TOP`.
    pub fn goes_on(&self) -> bool {
        self.strands.iter().any(|strand| !strand.below.is_empty())
    }
}

impl Strand {
    fn is_empty(&self) -> bool {
        self.top.is_empty() && self.below.is_empty()
    }
}

/// Where a line turns between its lane and a row's dot.
struct Corner {
    x: i32,
    y: i32,
    dot_x: i32,
}

impl Corner {
    fn round(&self) -> i32 {
        ROUND.min(self.dot_x - DOT - self.x)
    }

    /// Draws a line out of a row's dot, into its lane and down, or up.
    fn leave(&self, path: &mut String, down: bool) {
        let Self { x, y, dot_x } = *self;
        let round = self.round();
        let (turn, end) = if down { (round, TOP) } else { (-round, 0) };
        let (from, corner) = (x + round, y + turn);
        write(
            path,
            format_args!("M{dot_x} {y}H{from}Q{x} {y} {x} {corner}V{end}"),
        );
    }

    /// Draws a line out of its lane, from above, from below or both, to a row's dot.
    fn arrive(&self, strand: &mut Strand, (above, below): (bool, bool)) {
        let Self { x, y, dot_x } = *self;
        let round = self.round();
        let end = dot_x - DOT;
        let from = x + round;
        for (comes, start, corner) in [(above, 0, y - round), (below, TOP, y + round)] {
            if comes {
                write(
                    &mut strand.top,
                    format_args!("M{x} {start}V{corner}Q{x} {y} {from} {y}H{end}"),
                );
            }
        }
        let (back, up, down) = (end - TIP, y - 4, y + 4);
        write(
            &mut strand.tips,
            format_args!("M{back} {up}L{end} {y}L{back} {down}Z"),
        );
    }
}

fn write(path: &mut String, piece: std::fmt::Arguments<'_>) {
    // Writing to a String cannot fail.
    let _ = path.write_fmt(piece);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(from: &[usize], to: usize) -> Line {
        Line {
            from: from.to_vec(),
            to,
            style: Relation::Part,
        }
    }

    /// What enters a row from above is what left the one before it, also where a heading stands between them.
    #[test]
    fn lines_are_whole_across_the_pieces_they_are_cut_into() {
        let lines = [
            line(&[0, 2, 5], 3),
            line(&[1], 4),
            line(&[0, 1, 2, 3, 4], 5),
        ];
        let gutter = Gutter::of(&lines, 6);
        let lanes = |path: &str, at: &str| -> Vec<i32> {
            let mut found: Vec<i32> = (0..=gutter.width.pixels())
                .filter(|x| {
                    path.contains(&format!("M{x} {at}")) || path.contains(&format!(" {x} {at}"))
                })
                .collect();
            found.dedup();
            found
        };
        let mut crossings = 0;
        for row in 1..6 {
            let below = &gutter.rows[row - 1].strands[0].below;
            let over = &gutter.over[row].strands[0].below;
            let left = lanes(below, "0v1");
            assert_eq!(left, lanes(over, "0v1"), "over row {row}");
            let top = &gutter.rows[row].strands[0].top;
            for x in &left {
                let enters = top.contains(&format!("M{x} 0v"))
                    || top.contains(&format!("M{x} 0V"))
                    || top.contains(&format!("Q{x} 20 {x} 13V0"));
                assert!(enters, "lane {x} ends over row {row}: {top}");
                crossings += 1;
            }
        }
        assert!(crossings >= 10);
        assert!(!gutter.rows[5].goes_on());
    }

    #[test]
    fn however_many_lines_there_are_none_leaves_the_gutter() {
        let lines: Vec<Line> = (0..40)
            .map(|n| line(&[n], 40))
            .chain((1..40).map(|n| line(&[0], n)))
            .collect();
        let gutter = Gutter::of(&lines, 41);
        for piece in &gutter.rows {
            for strand in &piece.strands {
                assert!(
                    !strand.top.contains('-') && !strand.below.contains('-'),
                    "{strand:?}"
                );
            }
        }
    }
}
