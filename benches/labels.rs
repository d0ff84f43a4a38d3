//! A thousand labels that differ: laid out, written as a PDF, and their QR codes alone against the qrcode crate's way.

mod large_run;
mod shed;

use std::borrow::Cow;
use std::hint::black_box;

use castlot::farm::{Farm, Serial};
use castlot::label::{
    Conditions, Heading, Matrix, Order, Places, Sheaf, Subject, Templates, print, scan_text,
};
use criterion::{Criterion, criterion_group, criterion_main};
use qrcode::{Color, EcLevel, QrCode};

const PACKS: usize = 1000;

fn labels(bench: &mut Criterion) {
    let settings = shed::settings();
    let recording = shed::record(&Farm::of(Vec::new()), &large_run::sheets(PACKS), &settings);
    let farm = &recording.farm;
    let mark = large_run::RUN.parse().expect("it is a mark");
    let run = farm.marked(&mark).expect("the run is there");
    let order = Order {
        subjects: vec![Subject::Packs(run, None)],
        ..Order::default()
    };
    let templates = Templates::default();
    let lay_out = || {
        let today = Conditions::on(jiff::civil::Date::MAX);
        let proofed = order.proof(farm, &settings, &templates, &today);
        let proofed = proofed.expect("every label fits");
        let mut sheaves = proofed.to_print().expect("the proof refuses nothing");
        sheaves.pop().expect("a bag has one label")
    };
    let sheaf = lay_out();
    let bytes = pdf(&sheaf).len();
    println!(
        "1,000 labels: {bytes} bytes of PDF, {} a label",
        bytes / PACKS
    );

    let mut group = bench.benchmark_group("1,000 labels");
    group.sample_size(20);
    group.bench_function("lay out", |bench| bench.iter_with_large_drop(lay_out));
    group.bench_function("write the PDF", |bench| bench.iter(|| pdf(&sheaf)));
    group.bench_function("lay out and write the PDF", |bench| {
        bench.iter(|| pdf(&lay_out()));
    });
    group.finish();

    let text = |serial| scan_text::of_lot(farm, run, Serial::new(serial), &settings);
    let texts: Vec<String> = (1..=1000).map(text).collect();
    qr_codes(bench, &texts);
}

/// Measures both ways to the same codes.
fn qr_codes(bench: &mut Criterion, texts: &[String]) {
    for text in texts {
        assert_eq!(ours(text), crates_own(text), "{text}");
    }
    let mut group = bench.benchmark_group("1,000 QR codes");
    group.sample_size(10);
    group.bench_function("our choice of mask", |bench| {
        bench.iter(|| {
            texts
                .iter()
                .for_each(|text| drop(black_box(Matrix::of(text))))
        });
    });
    group.bench_function("the qrcode crate's own", |bench| {
        bench.iter(|| {
            texts.iter().for_each(|text| {
                drop(black_box(QrCode::with_error_correction_level(
                    text,
                    EcLevel::M,
                )));
            });
        });
    });
    group.finish();
}

fn pdf(sheaf: &Sheaf) -> Vec<u8> {
    let heading = Heading {
        title: "Labels of a large run".to_owned(),
        date: sheaf.date,
    };
    print(
        &Places::all(sheaf.sheet),
        sheaf.labels.iter().map(Cow::Owned),
        &heading,
    )
    .expect("there are labels to print")
}

/// The modules of our code, row by row.
fn ours(text: &str) -> Vec<bool> {
    let matrix = Matrix::of(text).expect("an address is short");
    let side = matrix.width();
    let places = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
    places.map(|(x, y)| matrix.is_dark(x, y)).collect()
}

/// The modules of the crate's own code, row by row.
fn crates_own(text: &str) -> Vec<bool> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).expect("an address is short");
    let dark = |color| color == Color::Dark;
    code.into_colors().into_iter().map(dark).collect()
}

criterion_group!(benches, labels);
criterion_main!(benches);
