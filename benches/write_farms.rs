//! Writes what `against_peers.sh` measures into a folder: the sheets of farms of 100,000 rows and of 10,000 lots, and of ones with runs
//! of 1,000, 10,000 and 100,000 packs, their castlot.toml, and the labels of the first two as plain words and places
//! for a peer to draw.
//!
//! `cargo bench --bench write_farms -- FOLDER`

mod big_farm;
mod large_run;
mod shed;

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use castlot::farm::{Farm, LotId, Serial, Settings};
use castlot::label::{
    Area, Conditions, Face, Ink, Item, Layout, Length, Order, Subject, Templates, scan_text,
};
use serde_json::{Value, json};

const ROWS: usize = 100_000;

/// So many rows make ten thousand lots.
const ROWS_TO_PUBLISH: usize = 72_000;

/// More labels than this take the peers minutes.
const MOST_FOR_A_PEER: usize = 10_000;

/// The same as `shed::settings`.
const SETTINGS: &str = r#"[farm]
name = "Big Shed"
address = ["1 Nowhere Lane", "Marlhythe"]
country = "GB"
timezone = "Europe/London"
phone = "01632 960123"

[qr]
form = "web"
base = "https://lots.marlhythe.example"

[product.bag5]
name = "Worm castings"
kind = "bag"
net = "5L"
label = ["bag-small"]
sheet = "a4-2x4-99x67"
"#;

fn main() -> Result<(), Box<dyn Error>> {
    // Cargo adds a flag of its own.
    let typed = std::env::args().skip(1).find(|arg| !arg.starts_with("--"));
    let folder = PathBuf::from(typed.ok_or("name the folder to write to")?);
    fs::create_dir_all(&folder)?;
    fs::write(folder.join("castlot.toml"), SETTINGS)?;
    let (season, last) = big_farm::sheets(ROWS);
    write(&folder.join("season"), &season)?;
    fs::write(folder.join("last-run"), last)?;
    let (lots, _) = big_farm::sheets(ROWS_TO_PUBLISH);
    write(&folder.join("lots"), &lots)?;
    for packs in [1000, 10_000, 100_000] {
        let sheets = large_run::sheets(packs);
        write(&folder.join(format!("packs-{packs}")), &sheets)?;
        if packs <= MOST_FOR_A_PEER {
            let labels = labels(&sheets, packs, &shed::settings())?;
            let file = folder.join(format!("labels-{packs}.json"));
            fs::write(file, serde_json::to_vec(&labels)?)?;
        }
    }
    Ok(())
}

fn write(folder: &Path, files: &shed::Files) -> Result<(), std::io::Error> {
    fs::create_dir_all(folder)?;
    for (name, bytes) in files {
        fs::write(folder.join(name), bytes)?;
    }
    Ok(())
}

/// The labels of the run, laid out: a peer that draws these has nothing to measure or to break into lines.
fn labels(files: &shed::Files, packs: usize, settings: &Settings) -> Result<Value, Box<dyn Error>> {
    let recording = shed::record(&Farm::of(Vec::new()), files, settings);
    let farm = &recording.farm;
    let run = farm
        .marked(&large_run::RUN.parse()?)
        .ok_or("there is no such run")?;
    let order = Order {
        subjects: vec![Subject::Packs(run, None)],
        ..Order::default()
    };
    let today = Conditions::on(jiff::civil::Date::MAX);
    let proofed = order.proof(farm, settings, &Templates::default(), &today)?;
    let sheaves = proofed.to_print()?;
    let [sheaf] = &sheaves[..] else {
        return Err("a small bag has one label".into());
    };
    if sheaf.labels.len() != packs {
        return Err("there is not a label for each pack".into());
    }
    let sheet = sheaf.sheet;
    let cells: Vec<Value> = (0..sheet.places())
        .map(|cell| sheet.corner(cell))
        .map(|corner| json!([mm(corner.x), mm(corner.y)]))
        .collect();
    let labels: Vec<Value> = (1..)
        .zip(sheaf.labels.iter())
        .map(|(serial, label)| label_of(farm, run, serial, (&label, settings)))
        .collect();
    let fonts: Vec<&str> = Face::ALL.iter().map(|face| face.name()).collect();
    Ok(json!({"cells": cells, "fonts": fonts, "labels": labels}))
}

fn label_of(
    farm: &Farm,
    run: LotId,
    serial: u32,
    (label, settings): (&Layout, &Settings),
) -> Value {
    let qr = scan_text::of_lot(farm, run, Serial::new(serial), settings);
    let items: Vec<Value> = label.items.iter().map(|item| drawn(item, &qr)).collect();
    Value::Array(items)
}

/// Items as `[kind, …]`, in millimetres from the top left corner of the label, and points of type.
fn drawn(item: &Item, qr: &str) -> Value {
    match item {
        Item::Fill(area) => json!(["fill", sides(*area)]),
        Item::Frame { area, stroke } => json!(["frame", sides(*area), mm(*stroke)]),
        Item::Text(run) => {
            let white = run.ink == Ink::White;
            let size = hundredths(run.size.hundredths());
            let (x, y) = (mm(run.origin.x), mm(run.origin.y));
            json!(["text", x, y, run.face.name(), size, white, run.text])
        }
        Item::Qr(placed) => {
            let corner = placed.modules().at;
            json!(["qr", mm(corner.x), mm(corner.y), mm(placed.module), qr])
        }
        Item::Bars(_) | Item::Ground(_) | Item::Picture(_) => {
            unreachable!("a small bag without a GTIN shows none of these")
        }
    }
}

fn sides(area: Area) -> [f64; 4] {
    let (at, size) = (area.at, area.size);
    [mm(at.x), mm(at.y), mm(size.width), mm(size.height)]
}

fn mm(length: Length) -> f64 {
    hundredths(length.micrometres()) / 10.0
}

fn hundredths(number: i64) -> f64 {
    f64::from(i32::try_from(number).expect("labels are smaller than that")) / 100.0
}
