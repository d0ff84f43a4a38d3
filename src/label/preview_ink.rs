//! Draws a label's items in dots: text from the fonts' outlines, rules and codes as rectangles.

use std::sync::Arc;

use tiny_skia::{Color, FillRule, Paint, Pixmap, PremultipliedColorU8, Rect, Transform};

use super::aim::Scale;
use super::bars::{Bars, PlacedBars};
use super::error::LabelError;
use super::item::{Ink, Item, Layout, PlacedPicture, PlacedQr, TextRun};
use super::length::{Area, Length, Point};
use super::picture::Picture;
use super::preview_letters::Outlines;
use super::preview_picture::{Shrunk, shrink};

/// A micrometre is so much of an inch.
const INCH: f32 = 25_400.0;

/// A module that is whole dots but for the rounding of micrometres is as many dots.
const NEARLY: f32 = 0.02;

/// How lengths become dots.
#[derive(Clone, Copy)]
pub struct Grid {
    dots_to_the_inch: f32,
    /// Codes and rules are whole dots.
    whole_dots: bool,
}

impl Grid {
    /// Makes a grid of so many dots to the inch.
    pub fn new(dots_to_the_inch: f32, whole_dots: bool) -> Self {
        Self {
            dots_to_the_inch,
            whole_dots,
        }
    }

    /// Returns the whole dots of a length, at least one.
    pub fn whole(self, length: Length) -> u32 {
        // A page is a few thousand dots.
        (self.dots(length) + 0.5).max(1.0) as u32
    }

    /// Returns the dots of a length. Lengths on a page are far below what an f32 holds to the micrometre.
    fn dots(self, length: Length) -> f32 {
        length.micrometres() as f32 * self.dots_to_the_inch / INCH
    }
}

/// What labels have in common: letters, and pictures at the size they are shown.
pub type Parts<'a> = (&'a mut Outlines, &'a mut Vec<(Arc<Picture>, Shrunk)>);

/// Some rows of a page.
pub struct Band {
    grid: Grid,
    paper: Pixmap,
    /// The page's row that is this band's first.
    top: u32,
}

/// Where a label's corner is, in dots, and how a label's lengths become dots.
#[derive(Clone, Copy)]
struct Place {
    grid: Grid,
    corner: (f32, f32),
    scale: (f32, f32),
}

impl Place {
    fn x(self, at: Length) -> f32 {
        self.corner.0 + self.grid.dots(at) * self.scale.0
    }

    fn y(self, at: Length) -> f32 {
        self.corner.1 + self.grid.dots(at) * self.scale.1
    }
}

impl Band {
    /// A white band.
    pub fn new(grid: Grid, (width, height): (u32, u32), top: u32) -> Self {
        let mut paper = Pixmap::new(width, height).expect("a band is some dots wide and high");
        paper.fill(Color::WHITE);
        Self { grid, paper, top }
    }

    /// Draws what of a label lies in the band.
    pub fn label(
        &mut self,
        corner: Point,
        label: &Layout,
        scale: Scale,
        (outlines, pictures): Parts<'_>,
    ) -> Result<(), LabelError> {
        let factor = |parts: i64| parts as f32 / Scale::ONE as f32;
        let place = Place {
            grid: self.grid,
            corner: (
                self.grid.dots(corner.x),
                self.grid.dots(corner.y) - self.top as f32,
            ),
            scale: (factor(scale.x), factor(scale.y)),
        };
        for item in &label.items {
            if self.misses(place, item.area()) {
                continue;
            }
            match item {
                Item::Fill(area) => self.fill(place, *area, Ink::Black),
                Item::Ground(area) => self.fill(place, *area, Ink::White),
                Item::Frame { area, stroke } => self.frame(place, *area, *stroke),
                Item::Text(run) => self.text(place, run, outlines),
                Item::Qr(qr) => self.code(place, qr),
                Item::Bars(bars) => self.bars(place, bars, outlines),
                Item::Picture(shown) => self.picture(place, shown, pictures)?,
            }
        }
        Ok(())
    }

    /// The grey of each dot, row by row; all that is drawn is grey, so that one colour tells.
    pub fn grey(&self) -> Vec<u8> {
        let dots = self.paper.pixels().iter();
        dots.map(|dot| dot.red()).collect()
    }

    /// Whether nothing of an area lies in the band, by more than rounding moves it.
    fn misses(&self, place: Place, area: Area) -> bool {
        let (top, low) = (place.y(area.at.y), place.y(area.bottom()));
        low < -2.0 || top > self.paper.height() as f32 + 2.0
    }

    fn fill(&mut self, place: Place, area: Area, colour: Ink) {
        let (left, top) = (place.x(area.at.x), place.y(area.at.y));
        let (right, low) = (place.x(area.right()), place.y(area.bottom()));
        self.rectangle((left, top), (right, low), colour);
    }

    /// Fills a rectangle; in whole dots, at least one, where the printer has nothing else.
    fn rectangle(&mut self, (left, top): (f32, f32), (right, low): (f32, f32), colour: Ink) {
        let (x, y) = match self.grid.whole_dots {
            true => (whole(left, right), whole(top, low)),
            false => ((left, right), (top, low)),
        };
        if let Some(rectangle) = Rect::from_ltrb(x.0, y.0, x.1, y.1) {
            self.paper
                .fill_rect(rectangle, &ink(colour), Transform::identity(), None);
        }
    }

    fn frame(&mut self, place: Place, area: Area, stroke: Length) {
        let side = |x: Length, y: Length, right: Length, low: Length| Area {
            at: Point { x, y },
            size: super::length::Size {
                width: right - x,
                height: low - y,
            },
        };
        let (left, top, right, low) = (area.at.x, area.at.y, area.right(), area.bottom());
        for part in [
            side(left, top, right, top + stroke),
            side(left, low - stroke, right, low),
            side(left, top + stroke, left + stroke, low - stroke),
            side(right - stroke, top + stroke, right, low - stroke),
        ] {
            self.fill(place, part, Ink::Black);
        }
    }

    fn text(&mut self, place: Place, run: &TextRun, outlines: &mut Outlines) {
        // A hundredth of a point is 25.4 / 7200 mm.
        let em = run.size.hundredths() as f32 * self.grid.dots_to_the_inch / 7_200.0;
        let (wide, high) = (em * place.scale.0, em * place.scale.1);
        let (mut x, y) = (place.x(run.origin.x), place.y(run.origin.y));
        let paint = ink(run.ink);
        for character in run.text.chars() {
            let letter = outlines.of(run.face, character);
            if let Some(outline) = &letter.outline {
                let there = Transform::from_row(wide, 0.0, 0.0, -high, x, y);
                self.paper
                    .fill_path(outline, &paint, FillRule::Winding, there, None);
            }
            x += letter.advance * wide;
        }
    }

    fn code(&mut self, place: Place, qr: &PlacedQr) {
        let (area, matrix) = (qr.modules(), qr.code.matrix());
        let count = matrix.width();
        let columns = self.edges(place.x(area.at.x), place.x(area.right()), count);
        let rows = self.edges(place.y(area.at.y), place.y(area.bottom()), count);
        for (y, row) in (0..count).zip(rows.windows(2)) {
            for (x, column) in (0..count).zip(columns.windows(2)) {
                if matrix.is_dark(x, y) {
                    self.blacken((column[0], column[1]), (row[0], row[1]));
                }
            }
        }
    }

    fn bars(&mut self, place: Place, placed: &PlacedBars, outlines: &mut Outlines) {
        let area = placed.bars_area();
        let columns = self.edges(
            place.x(area.at.x),
            place.x(area.right()),
            placed.bars.width(),
        );
        let low_of = |area: Area| (place.y(area.at.y).round(), place.y(area.bottom()).round());
        let (bars, guards) = (low_of(area), low_of(placed.guards_area()));
        let is_guard = |bars: &Bars, x| bars.is_guard(x);
        for (x, column) in (0..placed.bars.width()).zip(columns.windows(2)) {
            if placed.bars.is_bar(x) {
                let (top, low) = if is_guard(&placed.bars, x) {
                    guards
                } else {
                    bars
                };
                self.blacken((column[0], column[1]), (top as i64, low as i64));
            }
        }
        for run in &placed.digits {
            self.text(place, run, outlines);
        }
    }

    /// The edges between modules, in dots: evenly many to a module where dots are whole, about the same middle; else each
    /// at the nearest dot.
    fn edges(&self, from: f32, to: f32, modules: u16) -> Vec<i64> {
        let count = f32::from(modules);
        let module = (to - from) / count;
        let (from, module) = match self.grid.whole_dots {
            true => {
                let whole = (module + NEARLY).floor().max(1.0);
                (((from + to - whole * count) / 2.0).round(), whole)
            }
            false => (from, module),
        };
        (0..=modules)
            .map(|edge| (from + module * f32::from(edge)).round() as i64)
            .collect()
    }

    /// Blackens whole dots, as far as they lie in the band.
    fn blacken(&mut self, (left, right): (i64, i64), (top, low): (i64, i64)) {
        let black = PremultipliedColorU8::from_rgba(0, 0, 0, 255).expect("black is a colour");
        self.each_dot((left, right), (top, low), |dot, _, _| *dot = black);
    }

    fn picture(
        &mut self,
        place: Place,
        shown: &PlacedPicture,
        pictures: &mut Vec<(Arc<Picture>, Shrunk)>,
    ) -> Result<(), LabelError> {
        let area = shown.area;
        let (left, top) = (place.x(area.at.x).round(), place.y(area.at.y).round());
        let wide = (place.x(area.right()).round() - left).max(1.0) as u32;
        let high = (place.y(area.bottom()).round() - top).max(1.0) as u32;
        let known = |(picture, shrunk): &(Arc<Picture>, Shrunk)| {
            Arc::ptr_eq(picture, &shown.picture) && shrunk.size == (wide, high)
        };
        let at = match pictures.iter().position(known) {
            Some(at) => at,
            None => {
                pictures.push((shown.picture.clone(), shrink(&shown.picture, (wide, high))?));
                pictures.len() - 1
            }
        };
        let grey = &pictures[at].1.grey;
        let (left, top) = (left as i64, top as i64);
        let across = (left, left + i64::from(wide));
        self.each_dot(across, (top, top + i64::from(high)), |dot, x, y| {
            let value = grey[y * wide as usize + x];
            *dot = PremultipliedColorU8::from_rgba(value, value, value, 255)
                .expect("a grey without transparency is a colour");
        });
        Ok(())
    }

    /// Visits the dots of a rectangle that lie in the band, each with its place in the rectangle.
    fn each_dot(
        &mut self,
        (left, right): (i64, i64),
        (top, low): (i64, i64),
        mut set: impl FnMut(&mut PremultipliedColorU8, usize, usize),
    ) {
        let (width, height) = (self.paper.width() as i64, self.paper.height() as i64);
        let dots = self.paper.pixels_mut();
        for y in top.max(0)..low.min(height) {
            for x in left.max(0)..right.min(width) {
                // All four are within the band by now.
                let dot = &mut dots[(y * width + x) as usize];
                set(dot, (x - left) as usize, (y - top) as usize);
            }
        }
    }
}

/// Whole dots, at least one.
fn whole(from: f32, to: f32) -> (f32, f32) {
    let from_dot = from.round();
    (from_dot, to.round().max(from_dot + 1.0))
}

fn ink(colour: Ink) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color(match colour {
        Ink::Black => Color::BLACK,
        Ink::White => Color::WHITE,
    });
    paint.anti_alias = true;
    paint
}
