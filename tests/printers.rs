//! Labels and the printers they go to: where they are put, the ruler, pictures, and what came out, counted.

use std::io::Cursor;

use castlot::label::Sheet;
use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm, refused};

const PRINTERS: &str = r#"
[printer.laser]
dpi = 300
offset_x = 2
offset_y = -1
stretch_x = -3
stretch_y = -3
sheets = ["a4-2x4-99x67"]

[printer.roll]
method = "transfer"
offset_x = 1.5
sheets = ["roll-100x150", "roll-57x32"]
"#;

/// The demo farm with printers of these tables in place of its own, which stand last in its settings.
fn farm_with(printers: &str) -> TestFarm {
    let farm = TestFarm::demo();
    let path = farm.path("castlot.toml");
    let settings = std::fs::read_to_string(path).expect("the demo farm has settings");
    let (others, _) = settings
        .split_once("[printer.")
        .expect("the demo farm has printers");
    farm.put("castlot.toml", format!("{others}{printers}"));
    farm
}

/// The demo farm with a sheet printer and a roll printer.
fn farm() -> TestFarm {
    farm_with(PRINTERS)
}

/// How each label of the first page is placed: the six numbers before `cm` (ISO 32000-1, 8.3.4).
fn matrices(farm: &TestFarm, file: &str) -> Vec<[f64; 6]> {
    let document = lopdf::Document::load(farm.path(file)).expect("a PDF that can be read");
    let page = document.get_pages()[&1];
    let content = document.get_page_content(page);
    let text = String::from_utf8_lossy(&content).into_owned();
    let lines = text
        .lines()
        .filter(|line| line.starts_with("q ") && line.ends_with(" cm"));
    let numbers = lines.map(|line| {
        let words: Vec<f64> = line
            .split(' ')
            .filter_map(|word| word.parse().ok())
            .collect();
        words.try_into().expect("six numbers")
    });
    numbers.collect()
}

/// Where the printer of that table prints the top left corners of labels, and how wide, in millimetres.
fn printed(matrix: [f64; 6], cell: (f64, f64), offset: (f64, f64), stretch: f64) -> [f64; 4] {
    let mm = |points: f64| points * 25.4 / 72.0;
    let [across, _, _, along, x, y] = matrix;
    let top = 297.0 - mm(y) - cell.1 * along;
    [
        mm(x) * stretch + offset.0,
        top * stretch + offset.1,
        cell.0 * across * stretch,
        cell.1 * along * stretch,
    ]
}

#[test]
fn a_printers_faults_are_drawn_the_other_way() {
    let farm = farm();
    farm.did(DEMO_END, "label run-94 --out laser.pdf");
    let sheet: Sheet = "a4-2x4-99x67".parse().expect("a sheet");
    let matrices = matrices(&farm, "laser.pdf");
    assert_eq!(matrices.len(), 8);
    let mm = |length: castlot::label::Length| length.micrometres() as f64 / 1000.0;
    let size = (mm(sheet.cell().width), mm(sheet.cell().height));
    for (cell, matrix) in (0..).zip(matrices) {
        let [x, y, width, height] = printed(matrix, size, (2.0, -1.0), 0.97);
        let corner = sheet.corner(cell);
        let wanted = [mm(corner.x), mm(corner.y), size.0, size.1];
        for (is, should) in [x, y, width, height].into_iter().zip(wanted) {
            assert!((is - should).abs() < 0.005, "{cell}: {is} is not {should}");
        }
    }
}

#[test]
fn a_roll_printers_labels_are_moved_and_never_scaled() {
    let farm = farm();
    farm.did(DEMO_END, "label run-94 --sheet roll-100x150 --out roll.pdf");
    let [matrix] = matrices(&farm, "roll.pdf")[..] else {
        panic!("one label a page");
    };
    assert_eq!(matrix[..4], [1.0, 0.0, 0.0, 1.0]);
    assert!((matrix[4] + 1.5 * 72.0 / 25.4).abs() < 0.001, "{matrix:?}");
}

#[test]
fn the_printer_is_named_and_a_part_used_sheet_is_mapped() {
    let farm = farm();
    assert_snapshot!(farm.on(DEMO_END, "label run-94 --first-free 3 --skip 6 --copies 2"), @"
    16 labels on 3 pages for `laser`: run-94.bag-small.a4-2x4-99x67.pdf
    --- stderr ---
    note: copies of a pack's label carry one serial; count the first with `castlot reconcile`, and any other as printed again, with why
    first sheet of run-94.bag-small.a4-2x4-99x67.pdf, counted across, then down:
    | -- | -- |
    |  1 |  2 |
    |  3 | xx |
    |  4 |  5 |
    -- used, xx skipped
    then 2 more sheets, the last with 3 labels
    ");
    assert_snapshot!(farm.on(DEMO_END, "label --bins A01..A03 --sheet a4-2x4-99x67 --printer roll"), @"
    3 labels on 1 page for `roll`: bins.bin.a4-2x4-99x67.pdf
    --- stderr ---
    first sheet of bins.bin.a4-2x4-99x67.pdf, counted across, then down:
    |  1 |  2 |
    |  3 |  . |
    |  . |  . |
    |  . |  . |
    . left free
    ");
    assert_snapshot!(refused(&farm, DEMO_END, "label run-94 --printer lasr"), @"
    --- stderr ---
    error: castlot.toml has no printer `lasr`; there are laser, roll
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, DEMO_END, "label run-94 --copies 501"), @"
    --- stderr ---
    error: invalid value '501' for '--copies <N>': 501 is not in 1..=500

    For more information, try '--help'.
    --- exit 2 ---
    ");
}

#[test]
fn two_printers_for_one_sheet_are_a_question() {
    let farm = farm();
    let settings = std::fs::read_to_string(farm.path("castlot.toml")).expect("settings");
    farm.put(
        "castlot.toml",
        settings + "\n[printer.old]\nsheets = [\"a4-2x4-99x67\"]\n",
    );
    assert_snapshot!(refused(&farm, DEMO_END, "label run-94"), @"
    --- stderr ---
    error: `a4-2x4-99x67` may go to more than one printer: laser, old
    hint: say which with `--printer laser`, or give each printer its `sheets` in castlot.toml
    --- exit 2 ---
    ");
}

#[test]
fn a_ruler_is_printed_and_what_is_measured_on_it_becomes_settings() {
    let farm = farm_with("");
    assert_snapshot!(farm.on(DEMO_END, "label --ruler --sheet a4-3x7-63x38 --printer laser"), @"
    ruler of a4-3x7-63x38 for `laser`: ruler.laser.a4-3x7-63x38.pdf
    --- stderr ---
    note: castlot.toml has no printer `laser` yet
    1. Print this on plain paper at 100 %, never “fit to page”, on A4.
    2. Hold it over a sheet of labels against a window, edges together.
    3. Read, in mm, how far cross A is right of the top left corner of label 1, and how far below it; the same of cross B and the bottom right corner of label 21.
    4. Then give castlot the four figures, A right, A low, B right, B low, with a minus where it is left or high: castlot label --ruler --sheet a4-3x7-63x38 --printer laser --measured 2.9,4,-2.9,-4
    5. It answers with the lines for castlot.toml. Put them in, print this again, and A and B are where they should be.
    ");
    let measured = "label --ruler --sheet a4-3x7-63x38 --printer laser --measured 2.9,4,-2.9,-4";
    let table = farm.on(DEMO_END, measured);
    assert_snapshot!(table, @"
    [printer.laser]
    offset_x = 3.12
    offset_y = 4.45
    stretch_x = -2.97
    stretch_y = -3
    --- stderr ---
    note: castlot.toml has no printer `laser` yet
    ");
    let table = table.split("--- stderr").next().expect("a first part");
    let settings = std::fs::read_to_string(farm.path("castlot.toml")).expect("settings");
    farm.put("castlot.toml", format!("{settings}\n{table}"));
    farm.did(DEMO_END, "label run-94 --out true.pdf");
    let [across, _, _, along, ..] = matrices(&farm, "true.pdf")[0];
    assert!((across * 0.97 - 1.0).abs() < 0.000_5 && (along * 0.97 - 1.0).abs() < 0.000_5);
    // Measured once more, nothing is left to put right.
    let again = farm.on(
        DEMO_END,
        "label --ruler --sheet a4-3x7-63x38 --printer laser --measured 0,0,0,0",
    );
    assert_eq!(again, table);
}

#[test]
fn a_ruler_that_was_measured_wildly_is_not_believed() {
    let farm = farm_with("");
    let ruler = |measured: &str| {
        let line =
            format!("label --ruler --sheet a4-3x7-63x38 --printer laser --measured {measured}");
        farm.on(DEMO_END, &line)
    };
    assert_snapshot!(ruler("2.9,4"), @"
    --- stderr ---
    note: castlot.toml has no printer `laser` yet
    error: `--measured` has 2 figures; it takes 4
    hint: give A right, A low, B right, B low, as in `--measured 2.9,4,-2.9,-4`
    --- exit 2 ---
    ");
    assert_snapshot!(ruler("29,4,1,1"), @"
    --- stderr ---
    note: castlot.toml has no printer `laser` yet
    error: `29` is not so many millimetres as a printer misses by
    hint: give four figures of at most 20, as in `--measured 2.9,4,-2.9,-4`
    --- exit 2 ---
    ");
    assert_snapshot!(ruler("19,0,-19,0"), @"
    --- stderr ---
    note: castlot.toml has no printer `laser` yet
    error: that makes 20.409 mm right, 0 mm low, -19.4373 % too wide and 0 % too long, which is not one printer missing
    hint: print the ruler at 100 %, on paper of the sheet's size, and measure once more
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "label --ruler --sheet a4-3x7-63x38 --printer 'a\"b'"), @r#"
    --- stderr ---
    error: `a"b` is not a name of a printer
    hint: use letters, digits, spaces and hyphens, as in `--printer laser`
    --- exit 2 ---
    "#);
}

/// A picture's width, height, bits, dots to the metre, and its grey.
type Grey = (usize, usize, u8, u32, Vec<u8>);

fn picture(farm: &TestFarm, file: &str) -> Grey {
    let bytes = std::fs::read(farm.path(file)).expect("a picture");
    let mut reader = png::Decoder::new(Cursor::new(bytes));
    reader.set_transformations(png::Transformations::EXPAND);
    let mut reader = reader.read_info().expect("a PNG");
    let info = reader.info();
    let (bits, dims) = (info.bit_depth as u8, info.pixel_dims.expect("a scale"));
    assert!(matches!(dims.unit, png::Unit::Meter));
    let mut grey = vec![0; reader.output_buffer_size().expect("it fits")];
    let frame = reader.next_frame(&mut grey).expect("pixels");
    let (width, height) = (frame.width as usize, frame.height as usize);
    (width, height, bits, dims.xppu, grey)
}

fn codes((width, height, .., grey): &Grey) -> Vec<String> {
    let mut image =
        rqrr::PreparedImage::prepare_from_greyscale(*width, *height, |x, y| grey[y * width + x]);
    let grids = image.detect_grids();
    let texts = grids.iter().filter_map(|grid| Some(grid.decode().ok()?.1));
    let mut texts: Vec<String> = texts.collect();
    texts.sort();
    texts
}

/// A part of a picture.
fn part(whole: &Grey, (left, top): (usize, usize), (width, height): (usize, usize)) -> Grey {
    let rows = whole.4.chunks(whole.0).skip(top).take(height);
    let grey = rows.flat_map(|row| row[left..left + width].to_vec());
    (width, height, whole.2, whole.3, grey.collect())
}

#[test]
fn pictures_are_in_the_printers_dots_and_their_codes_read() {
    let farm = farm();
    assert_snapshot!(farm.on(DEMO_END, "label run-94/1-3 --sheet roll-100x150 --png"), @"
    3 labels on 3 pages for `roll`:
    run-94_1-3.bag-small.roll-100x150-1.png
    run-94_1-3.bag-small.roll-100x150-2.png
    run-94_1-3.bag-small.roll-100x150-3.png
    ");
    let thermal = picture(&farm, "run-94_1-3.bag-small.roll-100x150-2.png");
    assert_eq!(
        (thermal.0, thermal.1, thermal.2, thermal.3),
        (800, 1200, 1, 8000)
    );
    farm.did(DEMO_END, "label run-94 --png");
    let grey = picture(&farm, "run-94.bag-small.a4-2x4-99x67-1.png");
    assert_eq!((grey.0, grey.1, grey.2, grey.3), (2480, 3508, 8, 11811));
    let one = codes(&thermal);
    assert_eq!(one.len(), 1);
    // The second pack is the second label; its code is in the lower right quarter.
    assert_eq!(codes(&part(&grey, (1800, 480), (680, 470))), one);
    assert!(!farm.inside("").iter().any(|name| name.ends_with(".pdf")));
}

#[test]
fn the_same_labels_make_the_same_pictures() {
    let (one, other) = (farm(), farm());
    let bytes = |farm: &TestFarm| {
        farm.did(DEMO_END, "label run-94 --png --out look.png");
        std::fs::read(farm.path("look-1.png")).expect("a picture")
    };
    assert_eq!(bytes(&one), bytes(&other));
}

#[test]
fn labels_printed_are_packs_and_spoiled_ones() {
    let farm = farm_with("");
    farm.did(DEMO_END, "label run-94");
    assert_snapshot!(farm.on(DEMO_END, "reconcile run-94 --printed all --spoiled 3-4"), @"
    entry 4135
    bag-small: 8 labels printed = 6 good + 2 spoiled; 6 of 8 packs have theirs
    --- stderr ---
    error: packs 3-4 of run-94 have no good `bag-small` label
    hint: print them: `castlot label run-94/3-4 --template bag-small`
    --- exit 1 ---
    ");
    assert_snapshot!(refused(&farm, DEMO_END, "label run-94"), @r#"
    --- stderr ---
    error: packs 1-2,5-8 of run-94 have a good `bag-small` label already (entry 4135)
    hint: those without one: `castlot label run-94/3-4 --template bag-small`
    hint: to print them again: `castlot label run-94 --again --why "label rubbed off"`
    --- exit 2 ---
    "#);
    farm.did(DEMO_END, "label run-94/3-4");
    assert_snapshot!(farm.on(DEMO_END, "reconcile run-94 --printed 3-4 --wasted 1"), @"
    entry 4136
    bag-small: 11 labels printed = 8 good + 3 spoiled; all 8 packs have theirs
    ");
    assert_snapshot!(farm.on(DEMO_END, "reconcile run-94 --json"), @r#"
    {
      "code": "P26303-02-J",
      "ref": "run-94",
      "packs": 8,
      "templates": [
        {
          "template": "bag-small",
          "printed": 11,
          "spoiled": 3,
          "good": 8,
          "labelled": 8,
          "without": [],
          "adds_up": true,
          "entries": [
            4135,
            4136
          ]
        }
      ]
    }
    "#);
}

#[test]
fn a_second_label_of_a_pack_says_why() {
    let farm = farm_with("");
    assert_snapshot!(refused(&farm, DEMO_END, "reconcile run-92 --template tub --printed 2"), @r#"
    --- stderr ---
    error: pack 2 of run-92 has a good `tub` label already
    hint: if they were printed once more, say so with `--again --why "label rubbed off"`
    --- exit 2 ---
    "#);
    assert_snapshot!(refused(&farm, DEMO_END, "label run-92 --again"), @"
    --- stderr ---
    error: the following required arguments were not provided:
      --why <WHY>

    Usage: castlot label --again --why <WHY> <CODE>...

    For more information, try '--help'.
    --- exit 2 ---
    ");
    let line = "label run-92/2 --template tub --again --why 'wet through'";
    assert_snapshot!(farm.on(DEMO_END, line), @r#"
    1 label on 1 page: run-92_2.tub.a4-3x4-63x72.pdf
    --- stderr ---
    note: when they are out: `castlot reconcile run-92 --template tub --printed 2 --again --why "wet through"`
    first sheet of run-92_2.tub.a4-3x4-63x72.pdf, counted across, then down:
    |  1 |  . |  . |
    |  . |  . |  . |
    |  . |  . |  . |
    |  . |  . |  . |
    . left free
    "#);
    let line = "reconcile run-92 --template tub --printed 2 --again --why 'wet through'";
    assert_snapshot!(farm.on(DEMO_END, line), @"
    entry 4135
    tub: 11 labels printed = 9 good + 2 spoiled; all 8 packs have theirs, 1 of them twice
    tub-lid: 8 labels printed = 8 good + 0 spoiled; all 8 packs have theirs
    ");
    assert!(farm.on(DEMO_END, "log run-92").contains("wet through"));
}

#[test]
fn what_cannot_be_counted_is_refused_and_nothing_is_recorded() {
    let farm = farm_with("");
    let told = |line: &str| refused(&farm, DEMO_END, line);
    assert_snapshot!(told("reconcile run-94 --printed 7-9"), @"
    --- stderr ---
    error: run-94 has packs 1 to 8; there is no 9
    --- exit 2 ---
    ");
    assert_snapshot!(told("reconcile run-94 --printed 1-3 --spoiled 4"), @"
    --- stderr ---
    error: pack 4 is spoiled and not among those printed
    hint: `--spoiled` names some of the packs that `--printed` names
    --- exit 2 ---
    ");
    assert_snapshot!(told("reconcile run-94 --printed 1,x"), @"
    --- stderr ---
    error: `x` is not a serial or a row of serials
    hint: write them as in `--printed 1-20,25`, or `--printed all`
    --- exit 2 ---
    ");
    assert_snapshot!(told("reconcile run-94 --printed 1-3 --spoiled 1-3"), @"
    --- stderr ---
    error: no pack got a good label, so that there is nothing to count yet
    hint: print them once more, which needs no reason, and count those with `--wasted 3`
    --- exit 2 ---
    ");
    assert_snapshot!(told("reconcile manure-2 --printed all"), @"
    --- stderr ---
    error: G26082-01-C is manure; only labels of packs are counted
    --- exit 2 ---
    ");
    assert_snapshot!(told("reconcile run-12 --printed all --spoiled 1 --again --why x"), @"
    --- stderr ---
    error: these packs have 2 labels each
    hint: say whose were spoiled, one after the other, as in `--template bag-front`
    --- exit 2 ---
    ");
    assert_snapshot!(told("reconcile run-94 --printed all --file nowhere.pdf"), @"
    --- stderr ---
    error: cannot read `nowhere.pdf`: No such file or directory (os error 2)
    --- exit 2 ---
    ");
}

#[test]
fn the_digest_is_that_of_the_file_that_was_printed() {
    use sha2::{Digest, Sha256};
    let farm = farm_with("");
    farm.did(DEMO_END, "label run-94");
    let pdf = std::fs::read(farm.path("run-94.bag-small.a4-2x4-99x67.pdf")).expect("labels");
    farm.did(DEMO_END, "reconcile run-94 --printed all");
    farm.did(DEMO_END, "export --sheets out");
    let prints = std::fs::read_to_string(farm.path("out/prints.csv")).expect("a sheet");
    let digest: String = Sha256::digest(&pdf)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    assert!(
        prints
            .lines()
            .last()
            .is_some_and(|row| row.contains(&digest)),
        "{prints}"
    );
    // A label that was made differently since is another file, and is told to be.
    let farm = farm_with("");
    farm.put("run-94.bag-small.a4-2x4-99x67.pdf", "%PDF of last week");
    assert_snapshot!(farm.on(DEMO_END, "reconcile run-94 --printed all"), @"
    entry 4135
    bag-small: 8 labels printed = 8 good + 0 spoiled; all 8 packs have theirs
    --- stderr ---
    note: `run-94.bag-small.a4-2x4-99x67.pdf` is another file than castlot makes of this now; the digest recorded is that of the file as it is
    ");
}

#[test]
fn rows_that_do_not_add_up_are_named() {
    let farm = farm_with("");
    farm.did(
        DEMO_END,
        "record print --packs 'run-94 #1-8' --template bag-small --printer laser --printed 10 --spoiled 1 --digest 0",
    );
    assert_snapshot!(farm.on(DEMO_END, "reconcile run-94"), @r#"
    bag-small: 10 labels printed is not 8 good + 1 spoiled; all 8 packs have theirs
    --- stderr ---
    error: `bag-small` of run-94: 10 printed less 1 spoiled is not 8, as many as the packs named (entry 4135)
    hint: if a figure is wrong: `castlot correct 4135 --set printed=9 --why "miscounted"`
    --- exit 1 ---
    "#);
}
