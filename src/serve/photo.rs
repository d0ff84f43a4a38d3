//! Reads the code in a photo that a phone took of a label. The photo is looked at in memory and never kept.

use std::io::Cursor;

use image::imageops::thumbnail;
use image::{DynamicImage, GrayImage, ImageDecoder, ImageFormat, ImageReader, Limits};
use rqrr::{Point, PreparedImage};

/// The most pixels of a photo: twice what phones take unless told otherwise. A file of a few kilobytes can claim to hold
/// more than any memory has, so this is asked before anything is unpacked.
const MOST_PIXELS: u64 = 25_000_000;

/// The most room that it may take while it is unpacked: four bytes a pixel.
const MOST_BYTES: u64 = 4 * MOST_PIXELS;

/// The longest sides, in pixels, at which a code is looked for: a small code in a sharp photo needs many, and one in a
/// photo that was shaken or taken in the dark is found the better the fewer there are. Tried with labels of castlot's own.
const SIDES: [u32; 3] = [1600, 800, 3200];

/// Why a photo leads nowhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PhotoError {
    /// Nothing was sent.
    #[error("no photo came with it; choose one first")]
    None,
    /// It is no PNG or JPEG.
    #[error("it is no photo that can be read here; PNG and JPEG can")]
    Kind,
    /// It has more pixels than are looked at.
    #[error("the photo is too large; have the camera take a smaller one")]
    Large,
    /// It breaks off or is no picture at all.
    #[error("the photo cannot be read; take it again")]
    Broken,
    /// There is no code in it.
    #[error(
        "no code was found in the photo; go nearer until the code fills about a third of it, hold still, \
         and mind shadows and folds. Or type what stands beside the code"
    )]
    NoCode,
}

/// Returns what the code in a photo says; of several, the one nearest to the middle.
///
/// # Errors
/// Says what is wrong with the photo.
pub fn code_in_photo(bytes: &[u8]) -> Result<String, PhotoError> {
    let photo = unpacked(bytes)?;
    let long = photo.width().max(photo.height());
    let mut before = 0;
    for side in SIDES {
        let side = side.min(long);
        if side == before {
            continue;
        }
        before = side;
        if let Some(text) = nearest_to_the_middle(smaller(&photo, side)) {
            return Ok(text);
        }
    }
    Err(PhotoError::NoCode)
}

fn unpacked(bytes: &[u8]) -> Result<GrayImage, PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::None);
    }
    let format = match image::guess_format(bytes) {
        Ok(format @ (ImageFormat::Png | ImageFormat::Jpeg)) => format,
        Ok(_) | Err(_) => return Err(PhotoError::Kind),
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(|_| PhotoError::Broken)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS || decoder.total_bytes() > MOST_BYTES {
        return Err(PhotoError::Large);
    }
    let photo = DynamicImage::from_decoder(decoder).map_err(|_| PhotoError::Broken)?;
    Ok(photo.into_luma8())
}

/// Makes a photo smaller, so that its longer side is as long as said; never larger.
fn smaller(photo: &GrayImage, side: u32) -> GrayImage {
    let (width, height) = photo.dimensions();
    let long = u64::from(width.max(height));
    let part = |length: u32| {
        let length = u64::from(length) * u64::from(side) / long;
        u32::try_from(length).unwrap_or(side).max(1)
    };
    if u64::from(side) >= long {
        return photo.clone();
    }
    thumbnail(photo, part(width), part(height))
}

fn nearest_to_the_middle(photo: GrayImage) -> Option<String> {
    let (width, height) = (photo.width(), photo.height());
    let grey = |x: usize, y: usize| photo.as_raw()[y * width as usize + x];
    let mut prepared = PreparedImage::prepare_from_greyscale(width as usize, height as usize, grey);
    let found = prepared.detect_grids().into_iter().filter_map(|grid| {
        let (_, text) = grid.decode().ok()?;
        Some((off_middle(&grid.bounds, (width, height)), text))
    });
    found.min_by_key(|(off, _)| *off).map(|(_, text)| text)
}

/// Returns how far four corners are from the middle, squared and in quarters of a pixel.
fn off_middle(corners: &[Point; 4], (width, height): (u32, u32)) -> i64 {
    let sum = |of: fn(&Point) -> i32| {
        corners
            .iter()
            .map(|corner| i64::from(of(corner)))
            .sum::<i64>()
    };
    let (x, y) = (sum(|corner| corner.x), sum(|corner| corner.y));
    let (x, y) = (x - 2 * i64::from(width), y - 2 * i64::from(height));
    x * x + y * y
}

#[cfg(test)]
#[path = "photo_test.rs"]
pub mod photo_test;
