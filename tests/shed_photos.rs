//! Photos of labels as castlot prints them, through the reader of the shed's find page: turned, small, shaken, in half light.

use castlot::serve::code_in_photo;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::{FilterType, blur, overlay, resize, rotate90, rotate180};
use image::{ExtendedColorType, GrayImage, ImageEncoder, Luma};

use super::dsl::TestFarm;

/// Prints a label as a PNG, and returns its first page.
fn label(farm: &TestFarm, asks: &str) -> GrayImage {
    farm.did("2026-11-01", &format!("label {asks} --png --out photo.png"));
    let bytes = std::fs::read(farm.path("photo-1.png")).expect("a page was drawn");
    image::load_from_memory(&bytes)
        .expect("it is a PNG")
        .into_luma8()
}

/// Takes a photo of a page: laid on a dark bench, smaller, a little shaken, in light that falls off to one side, as a JPEG.
fn photo_of(page: &GrayImage, side: u32) -> Vec<u8> {
    let (width, height) = page.dimensions();
    let mut bench = GrayImage::from_pixel(width + 300, height + 300, Luma([70]));
    overlay(&mut bench, page, 150, 150);
    let (width, height) = (side, side * bench.height() / bench.width());
    let mut photo = blur(&resize(&bench, width, height, FilterType::Triangle), 0.8);
    for (x, _, pixel) in photo.enumerate_pixels_mut() {
        let light = 100 - 40 * x / width;
        pixel.0[0] = u8::try_from(u32::from(pixel.0[0]) * light / 100).expect("it is darker");
    }
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 70)
        .write_image(&photo, width, height, ExtendedColorType::L8)
        .expect("it is written into memory");
    bytes
}

#[test]
fn labels_of_the_farm_are_read_from_photos_whichever_way_up() {
    let farm = TestFarm::demo();
    for (asks, says) in [
        ("run-94/7 --sheet roll-100x150", "?0007"),
        ("--bins A07 --sheet roll-100x150", "A07"),
    ] {
        let page = label(&farm, asks);
        let turned = [rotate90(&page), rotate180(&page)].map(|page| (900, page));
        for (side, page) in [(2000, page)].into_iter().chain(turned) {
            let read = code_in_photo(&photo_of(&page, side));
            let text = read.unwrap_or_else(|error| panic!("{asks} at {side}: {error}"));
            assert!(text.contains(says), "{asks} at {side}: {text}");
        }
    }
}
