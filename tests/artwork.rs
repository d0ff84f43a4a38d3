//! A farm's own artwork over the whole of a label: codes stand on white, the proof lets it through, and a picture of the
//! page shows what the PDF does.

use std::io::Cursor;

use castlot::label::Bars;
use lopdf::{Document, Object, Stream, dictionary};

use crate::dsl::{DEMO_END, TestFarm};

/// The demo farm's 5 L bag, over a picture that fills the label.
const OVER_ARTWORK: &str = r#"
[[size]]
width = 100
height = 150
[[size.picture]]
at = { left = 0, right = 0, top = 0, bottom = 0 }
file = "artwork/field.KIND"
[[size.text]]
at = { left = 8, right = 8, top = 8, bottom = 60 }
gap = 2
lines = [
  { text = "{statement}", size = 12, face = "next", weight = "bold" },
  { text = "{product}", size = 24, face = "next", weight = "bold" },
  { text = "{net}", size = 36, face = "next", weight = "bold" },
  { text = "Made from: {made_from}", size = 9 },
  { text = "{cautions}", size = 9, weight = "bold", run_in = true },
  { text = "Packed by {farm}, {address}", size = 9 },
]
[[size.text]]
at = { left = 8, right = 50, bottom = 8, height = 12 }
gap = 2
lines = [{ text = "{code}", size = 12 }, { text = "Packed {packed}", size = 9 }]
[[size.bars]]
at = { left = 6, bottom = 25, width = 43, height = 22 }
[[size.qr]]
at = { right = 8, bottom = 8, width = 30, height = 30 }
"#;

/// The grey of the artwork at the top and at the bottom of a label.
const TOP: u8 = 230;
const BOTTOM: u8 = 170;

/// Two fields of grey, one above the other, in the proportions of the label.
fn field_png() -> Vec<u8> {
    let grey = |row: u32| if row < 75 { TOP } else { BOTTOM };
    let rows: Vec<u8> = (0..150).flat_map(|row| vec![grey(row); 100]).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 100, 150);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().expect("memory takes it");
    writer
        .write_image_data(&rows)
        .expect("as many as were said");
    writer.finish().expect("memory takes it");
    bytes
}

/// The same as page 1 of a PDF, 100 by 150 points.
fn field_pdf() -> Vec<u8> {
    let mut document = Document::with_version("1.5");
    let grey = |value: u8| f64::from(value) / 255.0;
    let drawing = format!(
        "{} g 0 75 100 75 re f {} g 0 0 100 75 re f",
        grey(TOP),
        grey(BOTTOM)
    );
    let content = document.add_object(Stream::new(dictionary! {}, drawing.into_bytes()));
    let pages = document.new_object_id();
    let page = document.add_object(dictionary! {
        "Type" => "Page", "Parent" => pages, "Contents" => content,
        "MediaBox" => vec![0.into(), 0.into(), 100.into(), 150.into()],
        "Resources" => dictionary! {},
    });
    let all = dictionary! { "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1 };
    document.objects.insert(pages, Object::Dictionary(all));
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).expect("memory takes it");
    bytes
}

/// The demo farm with its own template for small bags, over artwork of a kind.
pub fn farm_with_artwork(kind: &str) -> TestFarm {
    let farm = TestFarm::demo();
    farm.put(
        "templates/bag-small.toml",
        OVER_ARTWORK.replace("KIND", kind),
    );
    let bytes = match kind {
        "png" => field_png(),
        _ => field_pdf(),
    };
    farm.put(&format!("artwork/field.{kind}"), bytes);
    farm
}

/// A picture's grey, with its width in dots.
struct Grey {
    width: usize,
    dots: Vec<u8>,
}

impl Grey {
    fn read(farm: &TestFarm, file: &str) -> Self {
        let bytes = std::fs::read(farm.path(file)).expect("a picture");
        let mut decoder = png::Decoder::new(Cursor::new(bytes));
        decoder.set_transformations(png::Transformations::EXPAND);
        let mut reader = decoder.read_info().expect("a PNG");
        let mut dots = vec![0; reader.output_buffer_size().expect("it fits")];
        let frame = reader.next_frame(&mut dots).expect("pixels");
        Self {
            width: frame.width as usize,
            dots,
        }
    }

    fn at(&self, x: usize, y: usize) -> u8 {
        self.dots[y * self.width + x]
    }

    fn codes(&self) -> Vec<String> {
        let height = self.dots.len() / self.width;
        let mut image =
            rqrr::PreparedImage::prepare_from_greyscale(self.width, height, |x, y| self.at(x, y));
        let grids = image.detect_grids();
        grids
            .iter()
            .filter_map(|grid| Some(grid.decode().ok()?.1))
            .collect()
    }
}

/// How far right and below the demo farm's office printer prints, in millimetres: castlot draws the other way.
const OFFICE: (f64, f64) = (0.4, -0.3);

/// The dot of the office printer, 300 to the inch, that a point lies in.
fn office_dot(mm: f64) -> usize {
    (mm * 300.0 / 25.4) as usize
}

/// The label as a picture on the roll's printer (eight dots to the millimetre, one bit) and on a sheet printer.
fn pictures(farm: &TestFarm) -> (Grey, Grey) {
    let label = "label run-94/1 --sheet roll-100x150 --png";
    farm.did(DEMO_END, &format!("{label} --out thermal.png"));
    farm.did(
        DEMO_END,
        &format!("{label} --printer office --out grey.png"),
    );
    (
        Grey::read(farm, "thermal-1.png"),
        Grey::read(farm, "grey-1.png"),
    )
}

#[test]
fn artwork_over_the_whole_label_is_let_through_by_the_proof() {
    for kind in ["png", "pdf"] {
        let farm = farm_with_artwork(kind);
        farm.did(DEMO_END, "label run-94/1 --sheet roll-100x150 --proof");
        farm.did(
            DEMO_END,
            "label run-94/1 --sheet roll-100x150 --out bag.pdf",
        );
        let pdf = std::fs::read(farm.path("bag.pdf")).expect("a file");
        assert!(pdf.starts_with(b"%PDF"));
    }
}

#[test]
fn a_picture_of_the_page_shows_the_artwork_and_white_under_the_codes() {
    for kind in ["png", "pdf"] {
        let (thermal, grey) = pictures(&farm_with_artwork(kind));
        assert_eq!((thermal.width, grey.width), (800, 1181), "{kind}");
        assert_eq!(
            (thermal.codes().len(), grey.codes().len()),
            (1, 1),
            "{kind}"
        );
        assert_eq!(thermal.codes(), grey.codes(), "{kind}");
        let mm = |x: f64, y: f64| grey.at(office_dot(x - OFFICE.0), office_dot(y - OFFICE.1));
        // Between the texts and at the edges is the artwork; in a corner of each quiet zone is none of it.
        assert_eq!((mm(2.0, 2.0), mm(98.0, 148.0)), (TOP, BOTTOM), "{kind}");
        assert_eq!((mm(62.5, 112.5), mm(48.0, 105.0)), (255, 255), "{kind}");
        // In one bit, what is lighter than the middle is white.
        assert_eq!(thermal.at(16, 16), 255, "{kind}");
    }
}

#[test]
fn a_picture_of_the_page_has_bars_of_whole_dots() {
    let farm = farm_with_artwork("png");
    let (thermal, grey) = pictures(&farm);
    let bars = Bars::of(&"09520123456795".parse().expect("a GTIN")).expect("one for tills");
    let wanted: Vec<bool> = (0..bars.width()).map(|x| bars.is_bar(x)).collect();
    // Three dots of an eighth of a millimetre to each module; the room begins 6 mm from the left, and eleven modules are white.
    let row = (150 - 25 - 15) * 8;
    let first = 6 * 8 + 11 * 3;
    let dots = |module: usize| (0..3).map(move |dot| first + module * 3 + dot);
    for (module, bar) in wanted.iter().enumerate() {
        for x in dots(module) {
            assert_eq!(thermal.at(x, row) == 0, *bar, "module {module}");
        }
    }
    // On a finer printer's picture the same modules are there, each as wide as the dots let it be.
    for (module, bar) in wanted.iter().enumerate() {
        let middle = 6.0 + (11.0 + module as f64 + 0.5) * 0.375;
        let dark = grey.at(office_dot(middle - OFFICE.0), office_dot(110.0)) == 0;
        assert_eq!(dark, *bar, "module {module}");
    }
}
