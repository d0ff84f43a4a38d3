//! Writes the content of a PDF page: operators and figures, as text.
//!
//! Figures are whole thousandths of a point, worked out without floats.

use std::sync::Arc;

use super::aim::Scale;
use super::bars::{Bars, PlacedBars};
use super::font::Face;
use super::item::{Ink, Item, Layout, PlacedPicture, PlacedQr, TextRun};
use super::length::{Area, Length, Point, Size};
use super::pdf::picture_name;
use super::picture::Picture;
use super::subset::Letters;

/// The font's name in the page content.
pub fn font_name(face: Face) -> &'static str {
    match face {
        Face::NextRegular => "A",
        Face::NextBold => "B",
        Face::CondensedRegular => "C",
        Face::CondensedBold => "D",
    }
}

/// The content of a page as it is written.
pub struct Canvas<'a> {
    /// The operators, as they stand in the PDF.
    pub text: String,
    /// The letters used so far.
    pub letters: &'a mut Letters,
    /// The pictures shown so far, each once.
    pub pictures: &'a mut Vec<Arc<Picture>>,
    /// The factors that each label is drawn by.
    pub scale: Scale,
}

impl Canvas<'_> {
    /// Draws a label in its own coordinates, from its bottom left corner, so that what labels
    /// have in common is the same text and packs well.
    pub fn label(&mut self, corner: Point, label: &Layout, page: Size) {
        let up = page.height - corner.y - self.scale.size(label.size).height;
        let [across, along] = [self.scale.x, self.scale.y].map(factor);
        let (x, y) = (points(corner.x), points(up));
        self.put(&["q ", &across, " 0 0 ", &along, " ", &x, " ", &y, " cm\n"]);
        let mut font = None;
        for item in &label.items {
            match item {
                Item::Fill(area) => {
                    let corners = rectangle(*area, Length::ZERO, label.size);
                    self.put(&[&corners, " f\n"]);
                }
                Item::Ground(area) => {
                    let corners = rectangle(*area, Length::ZERO, label.size);
                    self.put(&["1 g ", &corners, " f 0 g\n"]);
                }
                Item::Frame { area, stroke } => {
                    let corners = rectangle(*area, *stroke, label.size);
                    self.put(&[&points(*stroke), " w ", &corners, " S\n"]);
                }
                Item::Text(run) => {
                    self.run(run, label.size, font != Some((run.face, run.size)));
                    font = Some((run.face, run.size));
                }
                Item::Qr(qr) => self.code(qr, label.size),
                Item::Bars(bars) => {
                    self.bars(bars, label.size);
                    for run in &bars.digits {
                        self.run(run, label.size, font != Some((run.face, run.size)));
                        font = Some((run.face, run.size));
                    }
                }
                Item::Picture(picture) => self.picture(picture, label.size),
            }
        }
        self.put(&["Q\n"]);
    }

    fn run(&mut self, run: &TextRun, size: Size, new_font: bool) {
        let (before, behind) = match run.ink {
            Ink::Black => ("", ""),
            Ink::White => ("1 g ", " 0 g"),
        };
        self.put(&[before, "BT "]);
        if new_font {
            let hundredths = run.size.hundredths();
            let points = decimal(hundredths * 10);
            self.put(&["/", font_name(run.face), " ", &points, " Tf "]);
        }
        let (x, y) = (points(run.origin.x), points(size.height - run.origin.y));
        self.put(&[&x, " ", &y, " Td <"]);
        for character in run.text.chars() {
            let glyph = self.letters.glyph(run.face, character);
            self.hex(&glyph.to_be_bytes());
        }
        self.put(&["> Tj ET", behind, "\n"]);
    }

    fn code(&mut self, qr: &PlacedQr, size: Size) {
        let matrix = qr.code.matrix();
        let width = matrix.width();
        self.mask(qr.modules(), size, (width, width), matrix.bytes());
    }

    /// All bars, and over them the guards, which reach further down.
    fn bars(&mut self, placed: &PlacedBars, size: Size) {
        let bars = &placed.bars;
        let row = (bars.width(), 1);
        self.mask(placed.bars_area(), size, row, &bars.row(Bars::is_bar));
        self.mask(placed.guards_area(), size, row, &bars.row(Bars::is_guard));
    }

    /// A 1-bit image, drawn in ink where its bits are set.
    fn mask(&mut self, area: Area, size: Size, (width, height): (u16, u16), bits: &[u8]) {
        self.unit(area, size);
        let (width, height) = (width.to_string(), height.to_string());
        let head = ["BI /W ", &width, " /H ", &height];
        self.put(&head);
        self.put(&[" /IM true /D [1 0] /F /AHx ID "]);
        self.hex(bits);
        self.put(&["> EI Q\n"]);
    }

    fn picture(&mut self, placed: &PlacedPicture, size: Size) {
        let same =
            |known: &Arc<Picture>| Arc::ptr_eq(known, &placed.picture) || *known == placed.picture;
        let number = self.pictures.iter().position(same).unwrap_or_else(|| {
            self.pictures.push(Arc::clone(&placed.picture));
            self.pictures.len() - 1
        });
        self.unit(placed.area, size);
        self.put(&["/", &picture_name(number), " Do Q\n"]);
    }

    /// Begins to draw in an area as if it were one unit wide and high.
    fn unit(&mut self, area: Area, size: Size) {
        let (x, y) = (points(area.at.x), points(size.height - area.bottom()));
        let (width, height) = (points(area.size.width), points(area.size.height));
        let matrix = [&*width, " 0 0 ", &height, " ", &x, " ", &y, " cm "];
        self.put(&["q "]);
        self.put(&matrix);
    }

    fn hex(&mut self, bytes: &[u8]) {
        const DIGITS: &[u8; 16] = b"0123456789ABCDEF";
        for byte in bytes {
            self.text.push(char::from(DIGITS[usize::from(byte >> 4)]));
            self.text.push(char::from(DIGITS[usize::from(byte & 15)]));
        }
    }

    fn put(&mut self, parts: &[&str]) {
        parts.iter().for_each(|part| self.text.push_str(part));
    }
}

/// A rectangle's path, half a stroke inside its area, with y counted up.
fn rectangle(area: Area, stroke: Length, size: Size) -> String {
    let (x, y) = (
        area.at.x + stroke / 2,
        size.height - area.bottom() + stroke / 2,
    );
    let (width, height) = (area.size.width - stroke, area.size.height - stroke);
    [x, y, width, height].map(points).join(" ") + " re"
}

fn points(length: Length) -> String {
    decimal(length.to_millipoints())
}

/// A factor as a decimal number.
fn factor(factor: i64) -> String {
    let (whole, part) = (factor / Scale::ONE, factor % Scale::ONE);
    match part {
        0 => whole.to_string(),
        _ => format!("{whole}.{part:07}")
            .trim_end_matches('0')
            .to_owned(),
    }
}

/// Thousandths as a decimal number without needless noughts.
fn decimal(thousandths: i64) -> String {
    let sign = if thousandths < 0 { "-" } else { "" };
    let (whole, part) = (thousandths.abs() / 1000, thousandths.abs() % 1000);
    match part {
        0 => format!("{sign}{whole}"),
        _ => format!("{sign}{whole}.{part:03}")
            .trim_end_matches('0')
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_no_needless_noughts() {
        assert_eq!(
            [0, 1500, -250, 12_000].map(decimal),
            ["0", "1.5", "-0.25", "12"]
        );
        assert_eq!(points(Length::of_micrometres(4_650)), "13.181");
        assert_eq!(
            [Scale::ONE, 10_309_278, 9_900_990].map(factor),
            ["1", "1.0309278", "0.990099"]
        );
    }
}
