//! Writes the content of a PDF page: operators and figures, as text.
//!
//! Figures are whole thousandths of a point, worked out without floats.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::aim::Scale;
use super::font::Face;
use super::item::{Ink, Item, Layout, PlacedQr, TextRun};
use super::length::{Area, Length, Point, Size};

/// The glyph ids of a subset, by character.
pub type Subset = BTreeMap<char, u16>;

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
    /// The glyph ids of each face.
    pub subsets: &'a BTreeMap<Face, Subset>,
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
                Item::Frame { area, stroke } => {
                    let corners = rectangle(*area, *stroke, label.size);
                    self.put(&[&points(*stroke), " w ", &corners, " S\n"]);
                }
                Item::Text(run) => {
                    self.run(run, label.size, font != Some((run.face, run.size)));
                    font = Some((run.face, run.size));
                }
                Item::Qr(qr) => self.code(qr, label.size),
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
        let subset = &self.subsets[&run.face];
        for character in run.text.chars() {
            write!(self.text, "{:04X}", subset[&character]).expect("a string takes all text");
        }
        self.put(&["> Tj ET", behind, "\n"]);
    }

    fn code(&mut self, qr: &PlacedQr, size: Size) {
        let modules = qr.modules();
        let side = points(modules.size.width);
        let (x, y) = (points(modules.at.x), points(size.height - modules.bottom()));
        self.put(&["q ", &side, " 0 0 ", &side, " ", &x, " ", &y, " cm "]);
        let width = qr.matrix.width().to_string();
        self.put(&[
            "BI /W ",
            &width,
            " /H ",
            &width,
            " /IM true /D [1 0] /F /AHx ID ",
        ]);
        for byte in qr.matrix.bytes() {
            write!(self.text, "{byte:02X}").expect("a string takes all text");
        }
        self.put(&["> EI Q\n"]);
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
