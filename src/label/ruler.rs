//! A ruled test sheet: where a printer really prints, to be read off against a sheet of labels.
//!
//! Scales of millimetres along the top and the left edge, the outline and number of every label, two crosses that are
//! measured, and what to do with them in plain words. It says nothing of any farm.

use super::font::Face;
use super::item::{Ink, Item, Layout, TextRun};
use super::length::{Area, Length, Point, Size, TypeSize};
use super::paragraph::Paragraph;
use super::said::Said;
use super::sheet::Sheet;

/// A line as thin as every printer shows it: two dots at 300 to the inch.
pub(super) const LINE: Length = Length::of_micrometres(170);

/// How far the arms of a cross reach.
const ARM: i64 = 10;

/// On a roll the crosses stand so far inside the edges, in millimetres: a roll printer cannot reach the edge itself.
pub const INSIDE: i64 = 10;

const FACE: Face = Face::CondensedRegular;
const BOLD: Face = Face::NextBold;
const WORDS: TypeSize = TypeSize::of_hundredths(800);
const SMALL: TypeSize = TypeSize::of_hundredths(600);
const NUMBER: TypeSize = TypeSize::of_hundredths(1400);

/// Returns the two points that are measured: on A4 the top left corner of the first label and the bottom right corner of
/// the last; on a roll the same, 10 mm inside the label.
pub fn marks(sheet: Sheet) -> [Point; 2] {
    let inside = match sheet.places() {
        1 => Length::of_mm(INSIDE),
        _ => Length::ZERO,
    };
    let first = sheet.corner(0);
    let last = sheet.corner(sheet.places() - 1);
    [
        Point {
            x: first.x + inside,
            y: first.y + inside,
        },
        Point {
            x: last.x + sheet.cell().width - inside,
            y: last.y + sheet.cell().height - inside,
        },
    ]
}

/// Says how to use the ruler, a step each; `printer` is the name it is measured for.
pub fn steps(sheet: Sheet, printer: &str) -> Vec<String> {
    let measured = format!(
        "Then give castlot the four figures, A right, A low, B right, B low, with a minus where it is left or high: \
         castlot label --ruler --sheet {sheet} --printer {printer} --measured 2.9,4,-2.9,-4"
    );
    let last = "It answers with the lines for castlot.toml. Put them in, print this again, and A and B are where they \
                should be.";
    let how = match sheet.places() {
        1 => [
            "Print this on one label at 100 %, never “fit to page”.".to_owned(),
            format!(
                "Measure from the left and the top edge of the label to the middle of cross A: each should be \
                 {INSIDE} mm. What is more is how far A is too far right, or too low."
            ),
            format!(
                "Measure the same of cross B from the right and the bottom edge: what is less than {INSIDE} mm is how \
                 far B is too far right, or too low."
            ),
        ],
        places => [
            "Print this on plain paper at 100 %, never “fit to page”, on A4.".to_owned(),
            "Hold it over a sheet of labels against a window, edges together.".to_owned(),
            format!(
                "Read, in mm, how far cross A is right of the top left corner of label 1, and how far below it; the \
                 same of cross B and the bottom right corner of label {places}."
            ),
        ],
    };
    let mut steps = how.to_vec();
    steps.extend([measured, last.to_owned()]);
    steps
}

/// Draws the ruler of a sheet.
pub fn ruler(sheet: Sheet, printer: &str) -> Layout {
    let mut drawing = Drawing { items: Vec::new() };
    let page = sheet.page();
    drawing.scales(sheet);
    for cell in 0..sheet.places() {
        drawing.outline(sheet, cell);
    }
    for (mark, name) in marks(sheet).into_iter().zip(["A", "B"]) {
        drawing.cross(mark, name, page);
    }
    drawing.words(sheet, &steps(sheet, printer));
    Layout {
        name: format!("ruler of {sheet}"),
        size: page,
        items: drawing.items,
        said: Said::default(),
    }
}

struct Drawing {
    items: Vec<Item>,
}

fn mm(millimetres: i64) -> Length {
    Length::of_mm(millimetres)
}

impl Drawing {
    /// Rules the top and the left edge. Printers of sheets miss the outer millimetres, so strokes there are longer.
    /// A scale leaves room for the crosses.
    fn scales(&mut self, sheet: Sheet) {
        let (page, crosses) = (sheet.page(), marks(sheet));
        let least = if sheet.places() == 1 { 1 } else { 5 };
        let far = mm(ARM + 1);
        let near = |along: Length, across: Length, at: i64| {
            (mm(at) - far..=mm(at) + far).contains(&along) && across <= far + mm(least + 4)
        };
        let crossed_above = |at| crosses.iter().any(|cross| near(cross.x, cross.y, at));
        let crossed_beside = |at| crosses.iter().any(|cross| near(cross.y, cross.x, at));
        let strokes = |length: Length| 1..length.micrometres() / 1000;
        let reach = |at: i64| match (at % 10, at % 5) {
            (0, _) => mm(least + 2),
            (_, 0) => mm(least + 1),
            _ => mm(least),
        };
        let below = mm(least + 2) + Length::of_micrometres(300) + BOLD.cap_height(SMALL);
        for at in strokes(page.width).filter(|at| !crossed_above(*at)) {
            self.stroke(mm(at), Length::ZERO, Length::ZERO, reach(at));
            if at % 10 == 0 {
                self.text(BOLD, SMALL, &at.to_string(), mm(at) + LINE * 2, below);
            }
        }
        for at in strokes(page.height).filter(|at| !crossed_beside(*at)) {
            self.stroke(Length::ZERO, mm(at), reach(at), Length::ZERO);
            if at % 10 == 0 {
                let beside = mm(least + 2) + LINE;
                self.text(BOLD, SMALL, &at.to_string(), beside, mm(at) - LINE);
            }
        }
    }

    fn outline(&mut self, sheet: Sheet, cell: u32) {
        let (at, size) = (sheet.corner(cell), sheet.cell());
        // The outline's middle is the cut.
        let half = LINE / 2;
        self.items.push(Item::Frame {
            area: Area {
                at: Point {
                    x: at.x - half,
                    y: at.y - half,
                },
                size: Size {
                    width: size.width + LINE,
                    height: size.height + LINE,
                },
            },
            stroke: LINE,
        });
        if sheet.places() > 1 {
            let (right, low) = (at.x + size.width - mm(9), at.y + mm(8));
            self.text(BOLD, NUMBER, &(cell + 1).to_string(), right, low);
        }
    }

    /// A cross with a stroke at every millimetre of its arms, and a longer one at the fifth.
    fn cross(&mut self, at: Point, name: &str, page: Size) {
        let on = |place: Length, end: Length| place >= Length::ZERO && place <= end;
        for step in -ARM..=ARM {
            let tick = match step.abs() {
                0 => mm(ARM),
                5 | ARM => mm(2),
                _ => mm(1),
            };
            if on(at.x + mm(step), page.width) {
                let top = (at.y - tick).max(Length::ZERO);
                let low = (at.y + tick).min(page.height);
                self.stroke(at.x + mm(step), top, Length::ZERO, low - top);
            }
            if on(at.y + mm(step), page.height) {
                let left = (at.x - tick).max(Length::ZERO);
                let right = (at.x + tick).min(page.width);
                self.stroke(left, at.y + mm(step), right - left, Length::ZERO);
            }
        }
        // Between the arms that point into the page.
        let inward = |at: Length, length: Length| if at < length / 2 { mm(3) } else { mm(-3) };
        let x = at.x + inward(at.x, page.width);
        let y = at.y + inward(at.y, page.height);
        let wide = if x < at.x { mm(2) } else { Length::ZERO };
        let high = if y > at.y { mm(2) } else { Length::ZERO };
        self.text(BOLD, WORDS, name, x - wide, y + high);
    }

    /// A line of the usual thickness about its middle: down where it has no width, else across.
    fn stroke(&mut self, x: Length, y: Length, width: Length, height: Length) {
        let half = LINE / 2;
        let (x, width) = match width {
            Length::ZERO => (x - half, LINE),
            _ => (x, width),
        };
        let (y, height) = match height {
            Length::ZERO => (y - half, LINE),
            _ => (y, height),
        };
        self.items.push(Item::Fill(Area {
            at: Point { x, y },
            size: Size { width, height },
        }));
    }

    /// Sets the steps into labels, line after line; what there is no room for the terminal says.
    fn words(&mut self, sheet: Sheet, steps: &[String]) {
        let (beside, above, right) = match sheet.places() {
            // Beside the scale and below the cross.
            1 => (mm(9), mm(24), mm(4)),
            // Clear of the scale, and of the number.
            _ => (mm(if sheet.columns() == 1 { 12 } else { 4 }), mm(4), mm(11)),
        };
        let (cell, leading) = (sheet.cell(), WORDS.scale(1_200_000));
        let room = cell.width - beside - right;
        let mut cells = (0..sheet.places()).filter(|cell| clear_of_scales(sheet, *cell));
        let mut corner = cells.next().map(|cell| sheet.corner(cell));
        let mut y = above;
        for (number, step) in (1..).zip(steps) {
            let text = format!("{number}. {step}");
            let paragraph = Paragraph::of(&text, FACE).expect("our own words have glyphs");
            let Ok(lines) = paragraph.lines(WORDS, room) else {
                return;
            };
            for line in lines {
                if y + leading > cell.height - mm(3) {
                    corner = cells.next().map(|cell| sheet.corner(cell));
                    y = above;
                }
                let Some(at) = corner.filter(|_| y + leading <= cell.height - mm(3)) else {
                    return;
                };
                y += leading;
                self.text(FACE, WORDS, &line, at.x + beside, at.y + y);
            }
            y += leading / 3;
        }
    }

    fn text(&mut self, face: Face, size: TypeSize, text: &str, x: Length, y: Length) {
        let advance = face.advance(text).expect("our own words have glyphs");
        let (rise, depth) = face.ink(text, size);
        let area = Area {
            at: Point { x, y: y - rise },
            size: Size {
                width: size.scale(advance),
                height: rise + depth,
            },
        };
        self.items.push(Item::Text(TextRun {
            text: text.to_owned(),
            face,
            size,
            ink: Ink::Black,
            origin: Point { x, y },
            area,
            fields: Said::default(),
        }));
    }
}

/// Whether no scale runs through a label: those of the first row and column have one, where there are others.
fn clear_of_scales(sheet: Sheet, cell: u32) -> bool {
    let columns = sheet.columns();
    let (column, row) = (cell % columns, cell / columns);
    (columns == 1 || column > 0) && (sheet.places() == columns || row > 0)
}
