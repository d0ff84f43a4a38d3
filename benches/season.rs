//! A diary of 100,000 entries inside the library: imported, verified, read and folded, and its last pack traced.
//!
//! The figures of whole processes, the start of the program included, come from `against_peers.sh`.

mod big_farm;
mod shed;

use std::convert::Infallible;
use std::hint::black_box;
use std::path::Path;
use std::time::Duration;

use castlot::diary::{Book, Pen};
use castlot::farm::{Farm, Settings};
use castlot::site::{Job, Press};
use castlot::trace::{Question, Side, trace};
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};

const ROWS: usize = 100_000;

fn season(bench: &mut Criterion) {
    let (files, last) = big_farm::sheets(ROWS);
    let settings = shed::settings();
    let folder = tempfile::tempdir().expect("there is room for a folder");
    let path = folder.path().join("diary.db");
    import(&path, &files, &settings);

    let mut group = bench.benchmark_group("season of 100,000 rows");
    group
        .sample_size(10)
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(5));
    let empty = Farm::of(Vec::new());
    group.bench_function("read and judge the sheets", |bench| {
        bench.iter_with_large_drop(|| shed::record(&empty, &files, &settings));
    });
    let mut fresh = 0;
    group.bench_function("import into a new diary", |bench| {
        let path = || {
            fresh += 1;
            folder.path().join(format!("import-{fresh}.db"))
        };
        bench.iter_batched(
            path,
            |path| import(&path, &files, &settings),
            BatchSize::PerIteration,
        );
    });
    let open = || Book::open(&path).expect("the diary opens");
    group.bench_function("verify", |bench| {
        bench.iter(|| open().verify().expect("the diary is sound"));
    });
    group.bench_function("read and fold", |bench| {
        bench.iter_with_large_drop(|| open().farm().expect("the diary reads"));
    });
    let farm = open().farm().expect("the diary reads");
    let mark = last.parse().expect("it is a mark");
    let question = Question {
        lot: farm.marked(&mark).expect("the last run is there"),
        serial: None,
        when: None,
        side: Side::Back,
    };
    group.bench_function("trace the last pack run back", |bench| {
        bench.iter(|| black_box(trace(&farm, black_box(question))));
    });
    let press = Press::of(&farm, &settings);
    group.bench_function("make the page of the last pack run", |bench| {
        bench.iter(|| {
            press
                .print(&Job::Lot(black_box(question.lot)))
                .expect("the page is made")
        });
    });
    group.finish();
}

fn import(path: &Path, files: &shed::Files, settings: &Settings) {
    let mut book = Book::create(path).expect("there is no diary yet");
    let recorded = book.record(&mut Pen::new(shed::ZONE), |farm| {
        Ok::<_, Infallible>(shed::record(farm, files, settings))
    });
    let entries = recorded
        .expect("the diary takes what was judged")
        .entries()
        .len();
    assert!(entries >= ROWS, "only {entries} entries were recorded");
}

criterion_group!(benches, season);
criterion_main!(benches);
