//! Tests of what is no photo of a label, and of two codes in one; labels as castlot prints them stand in `tests/shed_photos.rs`.

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, GrayImage, ImageEncoder, Luma};

use super::{MOST_PIXELS, PhotoError, code_in_photo};
use crate::label::Matrix;

/// Draws a code of so many pixels a module, with its upper left corner there.
fn draw(on: &mut GrayImage, text: &str, (left, top): (u32, u32)) {
    let code = Matrix::of(text).expect("it is short");
    for y in 0..code.width() {
        for x in 0..code.width() {
            for at in 0..36 {
                let (x, y) = (u32::from(x) * 6 + at % 6, u32::from(y) * 6 + at / 6);
                let ink = if code.is_dark((x / 6) as u16, (y / 6) as u16) {
                    30
                } else {
                    220
                };
                on.put_pixel(left + x, top + y, Luma([ink]));
            }
        }
    }
}

/// Returns a photo of a code that says so.
pub fn label_of(text: &str) -> Vec<u8> {
    let mut photo = GrayImage::from_pixel(600, 500, Luma([220]));
    draw(&mut photo, text, (120, 90));
    png(&photo)
}

fn png(photo: &GrayImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new(&mut bytes);
    let (width, height) = photo.dimensions();
    encoder
        .write_image(photo, width, height, ExtendedColorType::L8)
        .expect("it is written into memory");
    bytes
}

#[test]
fn of_two_codes_the_one_in_the_middle_is_meant() {
    let mut photo = GrayImage::from_pixel(900, 700, Luma([220]));
    draw(&mut photo, "A02", (40, 40));
    draw(&mut photo, "A07", (400, 300));
    assert_eq!(code_in_photo(&png(&photo)).as_deref(), Ok("A07"));
    let mut bytes = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut bytes, 40);
    encoder
        .write_image(&photo, 900, 700, ExtendedColorType::L8)
        .expect("it is written into memory");
    assert_eq!(code_in_photo(&bytes).as_deref(), Ok("A07"));
}

#[test]
fn what_is_no_photo_of_a_code_is_told_apart() {
    let blank = png(&GrayImage::from_pixel(400, 300, Luma([180])));
    assert_eq!(code_in_photo(&blank), Err(PhotoError::NoCode));
    assert_eq!(code_in_photo(b""), Err(PhotoError::None));
    assert_eq!(code_in_photo(b"GIF89a, and so on"), Err(PhotoError::Kind));
    assert_eq!(code_in_photo(&blank[..40]), Err(PhotoError::Broken));
    assert_eq!(
        code_in_photo(&[0xff, 0xd8, 0xff, 0xe0, 1, 2]),
        Err(PhotoError::Broken)
    );
    let one = png(&GrayImage::from_pixel(1, 1, Luma([180])));
    assert_eq!(code_in_photo(&one), Err(PhotoError::NoCode));
}

#[test]
fn a_file_that_claims_to_be_huge_is_not_unpacked() {
    // The head of a PNG that says 60,000 by 60,000.
    let mut bomb = png(&GrayImage::from_pixel(8, 8, Luma([0])));
    bomb[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
    bomb[20..24].copy_from_slice(&60_000_u32.to_be_bytes());
    let crc = crc_of(&bomb[12..29]);
    bomb[29..33].copy_from_slice(&crc.to_be_bytes());
    assert!(u64::from(60_000_u32).pow(2) > MOST_PIXELS);
    assert_eq!(code_in_photo(&bomb), Err(PhotoError::Large));
}

/// The check value of a PNG's chunk (PNG specification, annex D).
fn crc_of(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0, |crc: u32, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            let low = crc & 1;
            (crc >> 1) ^ if low == 1 { 0xedb8_8320 } else { 0 }
        })
    })
}
