//! Tests of pictures: what is read, what is refused, and what stands in the PDF.

use std::sync::Arc;

use image::{ExtendedColorType, ImageEncoder, codecs::jpeg::JpegEncoder, codecs::png::PngEncoder};
use lopdf::{
    Document, EncryptionState, EncryptionVersion, Object, Permissions, Stream, dictionary,
};

use super::artwork::Artwork;
use super::item::Item;
use super::length::{Length, Size};
use super::picture::{Art, Picture, PictureError};
use super::print::tests::{heading, shown};
use super::sample::content;
use super::sheet::Sheet;
use super::template::Template;
use super::{Layout, Places, lay_out, print};

const FILE: &str = "artwork/mark.png";

fn png(width: u32, height: u32, kind: ExtendedColorType, pixels: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new(&mut bytes);
    encoder.write_image(pixels, width, height, kind).unwrap();
    bytes
}

fn jpeg(kind: ExtendedColorType, samples: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = JpegEncoder::new(&mut bytes);
    let pixels = vec![90; 16 * 8 * samples];
    encoder.write_image(&pixels, 16, 8, kind).unwrap();
    bytes
}

/// A page of 200 by 100 points, with words on it and in a form that it draws.
fn page(turn: i64) -> Document {
    let mut document = Document::with_version("1.5");
    let font = document.add_object(dictionary! {
        "Type" => "Font", "Subtype" => "Type1", "BaseFont" => "Courier", "Encoding" => "WinAnsiEncoding",
    });
    let fonts = dictionary! { "Font" => dictionary! { "F" => font } };
    let form = document.add_object(Stream::new(
        dictionary! {
            "Type" => "XObject", "Subtype" => "Form", "BBox" => vec![0.into(), 0.into(), 200.into(), 100.into()],
            "Resources" => fonts.clone(),
        },
        b"BT /F 12 Tf 10 20 Td (peat-free) Tj ET".to_vec(),
    ));
    let text = b"0.5 g 0 0 20 100 re f 0 g BT /F 12 Tf 30 60 Td (Quay mix) Tj ET /X Do".to_vec();
    let text = document.add_object(Stream::new(dictionary! {}, text));
    let mut resources = fonts;
    resources.set("XObject", dictionary! { "X" => form });
    let list = document.new_object_id();
    let page =
        document.add_object(dictionary! { "Type" => "Page", "Parent" => list, "Contents" => text });
    // Edges, turn and resources are the list's, which a page inherits.
    let list_of = dictionary! {
        "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1, "Rotate" => turn,
        "MediaBox" => vec![0.into(), 0.into(), 200.into(), 100.into()], "Resources" => resources,
    };
    document.objects.insert(list, list_of.into());
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => list });
    document.trailer.set("Root", catalog);
    document
}

fn saved(mut document: Document) -> Vec<u8> {
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

fn locked(user: &str) -> Vec<u8> {
    let mut document = page(0);
    let id = Object::string_literal("0123456789abcdef");
    document.trailer.set("ID", vec![id.clone(), id]);
    let version = EncryptionVersion::V2 {
        document: &document,
        owner_password: "the owner",
        user_password: user,
        key_length: 128,
        permissions: Permissions::all(),
    };
    let state = EncryptionState::try_from(version).unwrap();
    document.encrypt(&state).unwrap();
    saved(document)
}

fn read(bytes: Vec<u8>) -> Result<Picture, PictureError> {
    Picture::read(FILE, bytes)
}

fn page_of(picture: &Picture) -> (Size, Document) {
    match &picture.art {
        Art::Page { bytes, size } => (*size, Document::load_mem(bytes).unwrap()),
        Art::Pixels(_) | Art::Jpeg { .. } => panic!("{picture:?} is no page"),
    }
}

#[test]
fn what_shines_through_is_laid_on_white() {
    let red_then_clear_then_half_black = [255, 0, 0, 255, 0, 0, 0, 0, 0, 0, 0, 128];
    let bytes = png(
        3,
        1,
        ExtendedColorType::Rgba8,
        &red_then_clear_then_half_black,
    );
    let picture = read(bytes).unwrap();
    let Art::Pixels(pixels) = &picture.art else {
        panic!("{picture:?}")
    };
    assert_eq!((pixels.width, pixels.height, pixels.samples), (3, 1, 3));
    assert_eq!(pixels.bytes, [255, 0, 0, 255, 255, 255, 127, 127, 127]);
    assert_eq!(picture.words, None);
}

#[test]
fn a_picture_without_colour_takes_a_third_of_the_room() {
    let bytes = png(2, 1, ExtendedColorType::Rgb8, &[9, 9, 9, 200, 200, 200]);
    let Art::Pixels(pixels) = read(bytes).unwrap().art else {
        panic!("it has pixels")
    };
    assert_eq!((pixels.samples, pixels.bytes), (1, vec![9, 200]));
}

#[test]
fn a_plain_jpeg_is_kept_as_it_is() {
    for (kind, samples) in [(ExtendedColorType::L8, 1), (ExtendedColorType::Rgb8, 3)] {
        let bytes = jpeg(kind, samples);
        let picture = read(bytes.clone()).unwrap();
        let grey_in_three = samples == 3;
        match picture.art {
            Art::Jpeg { bytes: kept, .. } => assert!(kept == bytes && !grey_in_three),
            // Grey pixels in three colours are said in one.
            Art::Pixels(pixels) => assert!(grey_in_three && pixels.samples == 1),
            Art::Page { .. } => panic!("no page"),
        }
    }
}

#[test]
fn a_file_cut_short_is_refused_with_the_reason() {
    let whole = png(40, 40, ExtendedColorType::L8, &[7; 1600]);
    for bytes in [
        whole[..60].to_vec(),
        jpeg(ExtendedColorType::L8, 1)[..40].to_vec(),
    ] {
        let error = read(bytes).unwrap_err().to_string();
        assert!(
            error.starts_with("`artwork/mark.png` cannot be read: "),
            "{error}"
        );
    }
    let error = read(saved(page(0))[..90].to_vec()).unwrap_err().to_string();
    assert!(error.starts_with("`artwork/mark.png` "), "{error}");
}

#[test]
fn a_page_has_its_size_and_all_its_words() {
    let picture = read(saved(page(0))).unwrap();
    let (size, alone) = page_of(&picture);
    assert_eq!(size.width, Length::of_micrometres(70_556));
    assert_eq!(size.height, Length::of_micrometres(35_278));
    assert_eq!(picture.words.as_deref(), Some("Quay mix peat-free"));
    assert_eq!(alone.get_pages().len(), 1);
}

#[test]
fn a_page_that_is_turned_is_measured_as_it_is_seen() {
    for (turn, wide) in [(90, false), (180, true), (270, false), (-90, false)] {
        let (size, _) = page_of(&read(saved(page(turn))).unwrap());
        assert_eq!(size.width > size.height, wide, "{turn}");
    }
}

#[test]
fn object_streams_are_read() {
    let mut bytes = Vec::new();
    page(0).save_modern(&mut bytes).unwrap();
    let picture = read(bytes).unwrap();
    assert_eq!(picture.words.as_deref(), Some("Quay mix peat-free"));
}

#[test]
fn a_lock_without_a_password_opens_and_one_with_is_refused() {
    let picture = read(locked("")).unwrap();
    assert_eq!(picture.words.as_deref(), Some("Quay mix peat-free"));
    let (_, alone) = page_of(&picture);
    assert!(!alone.is_encrypted());
    let file = FILE.to_owned();
    assert_eq!(read(locked("secret")), Err(PictureError::Locked { file }));
}

#[test]
fn a_pdf_without_pages_or_without_edges_is_refused() {
    let file = FILE.to_owned();
    let mut none = page(0);
    let list = none
        .catalog()
        .unwrap()
        .get(b"Pages")
        .unwrap()
        .as_reference()
        .unwrap();
    let pages = none.get_dictionary_mut(list).unwrap();
    pages.set("Kids", Vec::<Object>::new());
    pages.set("Count", 0);
    assert_eq!(
        read(saved(none)),
        Err(PictureError::NoPage { file: file.clone() })
    );
    let mut flat = page(0);
    let pages = flat.get_dictionary_mut(list).unwrap();
    pages.set("MediaBox", vec![0.into(), 0.into(), 0.into(), 100.into()]);
    assert_eq!(read(saved(flat)), Err(PictureError::NoBox { file }));
}

const TEMPLATE: &str = "
[[size]]
width = 63
height = 38
[[size.picture]]
at = { left = 3, width = 40, top = 3, bottom = 3 }
file = 'artwork/mark.png'
align = 'centre'
stand = 'bottom'
";

fn template(bytes: Vec<u8>) -> Template {
    let mut artwork = Artwork::default();
    artwork.add("mark.png", bytes);
    Template::parse("tag", "templates/tag.toml", TEMPLATE, &artwork).unwrap()
}

fn labels(bytes: Vec<u8>, count: usize) -> (Sheet, Vec<Layout>) {
    let sheet: Sheet = "a4-3x7-63x38".parse().unwrap();
    let label = lay_out(&template(bytes), &content("tub"), sheet.cell()).unwrap();
    (sheet, vec![label; count])
}

#[test]
fn a_picture_keeps_its_proportions_and_stands_where_it_is_told() {
    let (_, labels) = labels(saved(page(0)), 1);
    let [Item::Picture(placed)] = &labels[0].items[..] else {
        panic!("{labels:?}")
    };
    let area = placed.area;
    assert_eq!(area.size.width, Length::of_mm(40));
    assert_eq!(area.size.height.micrometres() / 10, 2000);
    assert_eq!(area.bottom(), labels[0].size.height - Length::of_mm(3));
    let tall = self::labels(png(1, 4, ExtendedColorType::L8, &[0; 4]), 1).1;
    let area = tall[0].items[0].area();
    assert_eq!(area.size.height, labels[0].size.height - Length::of_mm(6));
    assert_eq!(
        area.at.x,
        Length::of_mm(3) + (Length::of_mm(40) - area.size.width) / 2
    );
}

#[test]
fn a_picture_is_stored_once_however_many_labels_show_it() {
    let noise: Vec<u8> = (0..120_u32 * 120)
        .map(|at| (at.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    for bytes in [
        saved(page(90)),
        jpeg(ExtendedColorType::L8, 1),
        png(120, 120, ExtendedColorType::L8, &noise),
    ] {
        let (sheet, one) = labels(bytes.clone(), 1);
        let size = |labels: &[Layout]| {
            let bytes = print(&Places::all(sheet), shown(labels), &heading()).unwrap();
            let document = Document::load_mem(&bytes).unwrap();
            let streams = document.objects.values().filter(|o| o.as_stream().is_ok());
            let about = |o: &&Object| {
                let stream = o.as_stream().unwrap();
                stream
                    .dict
                    .get(b"Subtype")
                    .and_then(Object::as_name)
                    .is_ok_and(|n| n == b"Form" || n == b"Image")
            };
            (bytes.len(), streams.filter(about).count())
        };
        let (few, drawn) = size(&one);
        let (many, drawn_again) = size(&vec![one[0].clone(); 63]);
        assert_eq!(drawn, drawn_again);
        assert!(many < few + 3 * 1000, "{few} {many}");
    }
}

#[test]
fn a_picture_that_is_not_there_is_refused_with_file_and_line() {
    let none = Artwork::default();
    let error = Template::parse("tag", "templates/tag.toml", TEMPLATE, &none).unwrap_err();
    let said = "templates/tag.toml, line 7: there is no picture `artwork/mark.png`";
    assert_eq!(error.to_string(), said);
    let away = TEMPLATE.replace("artwork/mark.png", "artwork/../castlot.toml");
    let error = Template::parse("tag", "templates/tag.toml", &away, &none).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("templates/tag.toml, line 7: `artwork/../castlot.toml` is not")
    );
}

#[test]
fn the_same_picture_is_read_once() {
    let mut artwork = Artwork::default();
    artwork.add("mark.png", png(1, 1, ExtendedColorType::L8, &[0]));
    let (first, again) = (artwork.find(FILE).unwrap(), artwork.find(FILE).unwrap());
    assert!(Arc::ptr_eq(&first, &again));
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]

    #[test]
    fn no_bytes_make_the_reader_panic(at in 0..2000_usize, value: u8, cut in 0..2000_usize) {
        for mut bytes in [saved(page(0)), jpeg(ExtendedColorType::L8, 1), png(2, 2, ExtendedColorType::L8, &[5; 4])] {
            let place = at % bytes.len();
            bytes[place] = value;
            let _ = read(bytes.clone());
            bytes.truncate(cut % bytes.len());
            let _ = read(bytes);
        }
    }
}
