//! Writes PDFs of what a template can hold, and what must be found in them, for an outside judge.

use std::borrow::Cow;
use std::fs;
use std::path::Path;

use castlot::label::{
    Area, Artwork, Content, Field, Heading, Item, Layout, Places, Sheet, Template, lay_out, print,
};
use image::{ExtendedColorType, ImageEncoder, codecs::jpeg::JpegEncoder, codecs::png::PngEncoder};
use lopdf::{Document, Object, Stream, dictionary};
use serde_json::{Value, json};

/// In the example range 952, and two short ones whose check digits are right.
const GTINS: [&str; 8] = [
    "09520123456788",
    "09520123456795",
    "09520123456801",
    "09520123456818",
    "09520123456825",
    "09521234543213",
    "02345673",
    "12345670",
];

/// Red, green, blue and black: top left, top right, bottom left, bottom right.
const CORNERS: [[u8; 3]; 4] = [[255, 0, 0], [0, 255, 0], [0, 0, 255], [0, 0, 0]];

/// Writes the files, and `wanted.json` beside them.
pub fn write(folder: &Path) {
    let mut bars = Vec::new();
    for module in ["0.264", "0.33", "0.375", "0.5", "0.66"] {
        bars.push(bars_of(folder, module));
    }
    let wanted = json!({
        "bars": bars,
        "letters": letters(folder),
        "pictures": pictures(folder),
    });
    fs::write(folder.join("wanted.json"), wanted.to_string()).expect("it can be written");
}

fn template(text: &str, artwork: &Artwork) -> Template {
    Template::parse("judged", "judged.toml", text, artwork).expect("it is a template")
}

fn save(folder: &Path, name: &str, sheet: Sheet, labels: &[Layout]) {
    let heading = Heading {
        title: "What a template can hold".to_owned(),
        date: jiff::civil::date(2026, 4, 25),
    };
    let bytes = print(
        &Places::all(sheet),
        labels.iter().map(Cow::Borrowed),
        &heading,
    )
    .expect("there are labels");
    fs::write(folder.join(name), bytes).expect("it can be written");
}

fn bars_of(folder: &Path, module: &str) -> Value {
    let sheet: Sheet = "a4-2x4-99x67".parse().expect("it is a sheet");
    let text = format!(
        "[[size]]\nwidth = 99\nheight = 67\n[[size.bars]]\nmodule = {module}\n\
         at = {{ left = 5, right = 5, top = 5, bottom = 5 }}\nalign = 'centre'\nstand = 'middle'\n"
    );
    let template = template(&text, &Artwork::default());
    let label = |gtin: &&str| {
        let words = Content {
            gtin: Some(gtin.parse().expect("it is a GTIN")),
            ..Content::default()
        };
        lay_out(&template, &words, sheet.cell()).expect("it fits")
    };
    let labels: Vec<_> = GTINS.iter().map(label).collect();
    let name = format!("bars-{module}.pdf");
    save(folder, &name, sheet, &labels);
    let digits = |gtin: &&str| {
        gtin.strip_prefix("09")
            .map_or((*gtin).to_owned(), |rest| format!("9{rest}"))
    };
    json!({"file": name, "codes": GTINS.iter().map(digits).collect::<Vec<_>>()})
}

/// Every letter of Latin-1 and Latin Extended-A, in each face.
fn letters(folder: &Path) -> Value {
    let sheet: Sheet = "a4-2x2-99x139".parse().expect("it is a sheet");
    // A space that does not break and a hyphen that does not show have nothing to be seen.
    let unseen = ['\u{A0}', '\u{AD}'];
    let latin = (0x21..0x7F).chain(0xA1..0x180).filter_map(char::from_u32);
    let letters: Vec<char> = latin
        .filter(|c| !unseen.contains(c))
        .chain("℮•".chars())
        .collect();
    let lines: Vec<String> = letters
        .chunks(12)
        .map(|line| line.iter().collect())
        .collect();
    let label = |face: &(&str, &str)| {
        let text = format!(
            "[[size]]\nwidth = 99\nheight = 139\n[[size.text]]\n\
             at = {{ left = 5, right = 5, top = 5, bottom = 5 }}\n\
             lines = [{{ text = '{{use}}', size = 9, face = '{}', weight = '{}' }}]\n",
            face.0, face.1
        );
        let mut words = Content::default();
        words.fields.insert(Field::Use, lines.join("\n"));
        lay_out(&template(&text, &Artwork::default()), &words, sheet.cell()).expect("it fits")
    };
    let faces = [
        ("next", "regular"),
        ("next", "bold"),
        ("condensed", "regular"),
        ("condensed", "bold"),
    ];
    let labels: Vec<_> = faces.iter().map(label).collect();
    save(folder, "letters.pdf", sheet, &labels);
    json!({"file": "letters.pdf", "letters": letters, "times": faces.len()})
}

fn pictures(folder: &Path) -> Value {
    let sheet: Sheet = "a4-3x7-63x38".parse().expect("it is a sheet");
    let [red, green, blue, black] = CORNERS;
    let files = [
        ("flat.png", png(), CORNERS),
        ("flat.jpg", jpeg(), CORNERS),
        ("page.pdf", page(0), CORNERS),
        // Turned clockwise, the bottom left comes to the top left.
        ("right.pdf", page(90), [blue, red, black, green]),
        ("over.pdf", page(180), [black, blue, green, red]),
        ("left.pdf", page(270), [green, black, red, blue]),
    ];
    let mut artwork = Artwork::default();
    for (name, bytes, _) in &files {
        artwork.add(name, bytes.clone());
    }
    let label = |name: &str| {
        let text = format!(
            "[[size]]\nwidth = 63\nheight = 38\n[[size.picture]]\nfile = 'artwork/{name}'\n\
             at = {{ left = 3, right = 3, top = 3, bottom = 3 }}\nalign = 'centre'\n"
        );
        lay_out(
            &template(&text, &artwork),
            &Content::default(),
            sheet.cell(),
        )
        .expect("it fits")
    };
    let labels: Vec<_> = files.iter().map(|(name, ..)| label(name)).collect();
    let mut points = Vec::new();
    for ((cell, label), (name, _, colours)) in (0..).zip(&labels).zip(&files) {
        let Some(Item::Picture(placed)) = label.items.first() else {
            panic!("`{name}` is not on its label")
        };
        let corner = sheet.corner(cell);
        let mm = |micrometres: i64| micrometres as f64 / 1000.0;
        let Area { at, size } = placed.area;
        for (quarter, colour) in colours.iter().enumerate() {
            let across = 1 + 2 * (quarter as i64 % 2);
            let down = 1 + 2 * (quarter as i64 / 2);
            let x = corner.x + at.x + size.width * across / 4;
            let y = corner.y + at.y + size.height * down / 4;
            points.push(json!([
                name,
                mm(x.micrometres()),
                mm(y.micrometres()),
                colour
            ]));
        }
    }
    save(folder, "pictures.pdf", sheet, &labels);
    json!({"file": "pictures.pdf", "points": points})
}

/// Sixty-four by thirty-two pixels in four quarters.
fn quarters() -> Vec<u8> {
    let pixel = |y: usize, x: usize| CORNERS[usize::from(y >= 16) * 2 + usize::from(x >= 32)];
    let rows = (0..32).flat_map(|y| (0..64).map(move |x| (y, x)));
    rows.flat_map(|(y, x)| pixel(y, x)).collect()
}

fn png() -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new(&mut bytes);
    encoder
        .write_image(&quarters(), 64, 32, ExtendedColorType::Rgb8)
        .expect("it can be encoded");
    bytes
}

fn jpeg() -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut bytes, 95);
    encoder
        .write_image(&quarters(), 64, 32, ExtendedColorType::Rgb8)
        .expect("it can be encoded");
    bytes
}

/// A page of 200 by 100 points, off the origin, in four quarters.
fn page(turn: i64) -> Vec<u8> {
    let drawn = "1 0 0 rg -50 60 100 50 re f 0 1 0 rg 50 60 100 50 re f \
                 0 0 1 rg -50 10 100 50 re f 0 g 50 10 100 50 re f";
    let mut document = Document::with_version("1.5");
    let content = document.add_object(Stream::new(dictionary! {}, drawn.as_bytes().to_vec()));
    let list = document.new_object_id();
    let edges: Vec<Object> = [-50, 10, 150, 110].map(Object::from).to_vec();
    let page = document.add_object(dictionary! {
        "Type" => "Page", "Parent" => list, "MediaBox" => edges, "Rotate" => turn, "Contents" => content,
    });
    let pages = dictionary! { "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1 };
    document.objects.insert(list, pages.into());
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => list });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).expect("memory takes it");
    bytes
}
