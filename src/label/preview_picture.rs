//! Pictures in dots: pixels made fewer, and pages of a PDF drawn by hayro.

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{PixmapSettings, RenderCache, RenderSettings, render};
use image::GrayImage;
use image::imageops::{FilterType, resize};

use super::error::LabelError;
use super::picture::{Art, Picture, Pixels};

/// A picture as large as it is shown, in grey.
pub struct Shrunk {
    /// Dots across and down.
    pub size: (u32, u32),
    /// The grey of each, row by row.
    pub grey: Vec<u8>,
}

/// Draws a picture so many dots wide and high.
pub fn shrink(picture: &Picture, size: (u32, u32)) -> Result<Shrunk, LabelError> {
    let whole = match &picture.art {
        Art::Pixels(pixels) | Art::Jpeg { pixels, .. } => grey(pixels),
        Art::Page { bytes, .. } => page(bytes, size).ok_or_else(|| LabelError::NoPreview {
            file: picture.file.clone(),
        })?,
    };
    let shrunk = match whole.dimensions() == size {
        true => whole,
        false => resize(&whole, size.0, size.1, FilterType::Triangle),
    };
    Ok(Shrunk {
        size,
        grey: shrunk.into_raw(),
    })
}

/// Brightness as an eye weighs the colours (Rec. ITU-R BT.601, in thousandths).
fn brightness(red: u8, green: u8, blue: u8) -> u8 {
    let sum = 299 * u32::from(red) + 587 * u32::from(green) + 114 * u32::from(blue);
    u8::try_from((sum + 500) / 1000).expect("a mean of bytes is a byte")
}

fn grey(pixels: &Pixels) -> GrayImage {
    let bytes = match pixels.samples {
        1 => pixels.bytes.clone(),
        _ => {
            let colours = pixels.bytes.chunks_exact(3);
            colours.map(|c| brightness(c[0], c[1], c[2])).collect()
        }
    };
    GrayImage::from_raw(pixels.width, pixels.height, bytes)
        .expect("a picture has a byte or three for each of its pixels")
}

/// Draws page 1 of a PDF on white, about as large as it is wanted; `None` where hayro cannot read it.
fn page(bytes: &[u8], (wide, high): (u32, u32)) -> Option<GrayImage> {
    let pdf = Pdf::new(bytes.to_vec()).ok()?;
    let page = pdf.pages().first()?;
    let (width, height) = page.render_dimensions();
    let pixmap = render(
        page,
        &RenderCache::new(),
        &InterpreterSettings::default(),
        &RenderSettings::default(),
        &PixmapSettings {
            // A hair more, because hayro cuts a part of a dot off.
            x_scale: (wide as f32 + 0.01) / width,
            y_scale: (high as f32 + 0.01) / height,
            bg_color: WHITE,
        },
    );
    let dots = pixmap.data().iter();
    let grey = dots.map(|dot| brightness(dot.r, dot.g, dot.b)).collect();
    GrayImage::from_raw(u32::from(pixmap.width()), u32::from(pixmap.height()), grey)
}
