//! Pictures of pages, in a printer's own dots: what comes out of it, to look at before it prints.
//!
//! The same items as in the PDF are drawn. A thermal printer's picture has one bit a dot and its codes are whole dots; a
//! sheet printer's is grey. A page is drawn in bands, so that a fine printer takes no more room than a coarse one.

use std::sync::Arc;

use png::{BitDepth, ColorType, Encoder, PixelDimensions, Unit};

use crate::farm::{Dpi, Printer};

use super::error::LabelError;
use super::length::Size;
use super::picture::Picture;
use super::preview_ink::{Band, Grid};
use super::preview_letters::Outlines;
use super::preview_picture::Shrunk;
use super::print::AimedPage;

/// So many dots of a page are drawn at a time.
const DOTS_AT_ONCE: u32 = 4_000_000;

/// Grey darker than the middle is a black dot.
const MIDDLE: u8 = 128;

/// What sells as 203 dots to the inch has eight to the millimetre (common practice, no source).
const EIGHT_TO_THE_MM: f32 = 203.2;

/// Draws pages for one printer, and keeps what they have in common.
pub struct Preview {
    thermal: bool,
    dots_to_the_inch: f32,
    outlines: Outlines,
    pictures: Vec<(Arc<Picture>, Shrunk)>,
}

impl Preview {
    /// Draws for a printer; for an ordinary sheet printer where castlot.toml names none.
    pub fn new(printer: Option<&Printer>) -> Self {
        let usual = Printer::default();
        let printer = printer.unwrap_or(&usual);
        Self {
            thermal: printer.method.is_thermal(),
            dots_to_the_inch: dots_to_the_inch(printer.dpi),
            outlines: Outlines::default(),
            pictures: Vec::new(),
        }
    }

    /// Draws a page as a PNG.
    pub fn page(&mut self, page: &AimedPage<'_>) -> Result<Vec<u8>, LabelError> {
        let grid = Grid::new(self.dots_to_the_inch, self.thermal);
        let Size { width, height } = page.size;
        let (width, height) = (grid.whole(width), grid.whole(height));
        let step = (DOTS_AT_ONCE / width).max(1);
        let mut rows = Vec::new();
        for top in (0..height).step_by(step as usize) {
            let high = step.min(height - top);
            let mut band = Band::new(grid, (width, high), top);
            for (corner, label) in &page.labels {
                let parts = (&mut self.outlines, &mut self.pictures);
                band.label(*corner, label, page.scale, parts)?;
            }
            let grey = band.grey();
            match self.thermal {
                true => rows.extend(bits(&grey, width)),
                false => rows.extend(grey),
            }
        }
        Ok(self.encoded(width, height, &rows))
    }

    fn encoded(&self, width: u32, height: u32, rows: &[u8]) -> Vec<u8> {
        let to_the_metre = (self.dots_to_the_inch / 0.0254).round();
        let mut bytes = Vec::new();
        let mut encoder = Encoder::new(&mut bytes, width, height);
        encoder.set_color(ColorType::Grayscale);
        encoder.set_depth(match self.thermal {
            true => BitDepth::One,
            false => BitDepth::Eight,
        });
        encoder.set_pixel_dims(Some(PixelDimensions {
            // A printer's dots fit by far.
            xppu: to_the_metre as u32,
            yppu: to_the_metre as u32,
            unit: Unit::Meter,
        }));
        let mut writer = encoder
            .write_header()
            .expect("memory takes a header of a size above nought");
        writer
            .write_image_data(rows)
            .expect("the rows are as many as the header says");
        writer.finish().expect("memory takes the end");
        bytes
    }
}

fn dots_to_the_inch(dpi: Dpi) -> f32 {
    match dpi.dots() {
        203 => EIGHT_TO_THE_MM,
        dots => f32::from(dots),
    }
}

/// Packs grey rows into one bit a dot, the leftmost in the highest, a light dot being 1.
fn bits(grey: &[u8], width: u32) -> Vec<u8> {
    let packed = |dots: &[u8]| {
        let light = dots.iter().enumerate();
        light.fold(0, |byte, (at, grey)| {
            byte | u8::from(*grey >= MIDDLE) << (7 - at)
        })
    };
    let rows = grey.chunks(width as usize);
    rows.flat_map(|row| row.chunks(8).map(packed)).collect()
}
