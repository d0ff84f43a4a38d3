//! `castlot label`, as the packer at the bench uses it: files, exit codes, and what is said.

use std::fs;
use std::path::Path;
use std::process::Command;

use castlot::diary::{Book, Pen};
use castlot::farm::{
    Amount, BatchKind, BedName, BinFacts, Clears, DeliveryFacts, DeliveryKind, Draft, Draw, Event,
    HoldStep, LotName, Measures, Moment, NewLot, PackKind, Product, Quantity, Reach, Sieved,
    TestFacts, Typed, Word,
};
use jiff::civil::date;
use tempfile::TempDir;

const SETTINGS: &str = r#"
[farm]
name = "Marlhythe Wormery"
address = ["The Old Drying Shed", "Quay Lane", "Marlhythe"]
country = "GB"
timezone = "Europe/London"
phone = "01632 960123"

[qr]
form = "web"
base = "https://lots.marlhythe.example"

[product.bag5]
name = "Worm-worked compost"
kind = "bag"
net = "5L"
label = ["bag-small"]
sheet = "a4-2x4-99x67"

[product.bag20]
name = "Worm-worked compost"
kind = "bag"
net = "20L"
"#;

/// A farm in a folder: straw and manure in a bed, castings of it in two runs; `run-2` is made of a held batch.
struct LabelFarm {
    folder: TempDir,
}

impl LabelFarm {
    fn new() -> Self {
        let folder = TempDir::new().expect("a folder for the farm");
        fs::write(folder.path().join("castlot.toml"), SETTINGS).expect("settings");
        let mut book = Book::create(&folder.path().join("diary.db")).expect("a new diary");
        let drafts = rows().into_iter().zip(1..).map(|(event, day)| Draft {
            when: Moment::day_only(date(2026, 4, day)),
            by: None,
            note: None,
            event,
        });
        let drafts: Vec<Draft> = drafts.collect();
        let written = "2026-05-01T12:00:00Z".parse().expect("an instant");
        let mut pen = Pen::with_salts("Europe/London", || [7; 16]);
        book.record(&mut pen, |farm| farm.record(drafts, written))
            .expect("the rows fit");
        Self { folder }
    }

    fn path(&self, file: &str) -> std::path::PathBuf {
        self.folder.path().join(file)
    }

    /// Runs `castlot label`; what it said on both streams, but for the map of the first sheet (`printers.rs` has that),
    /// and its exit code.
    fn label(&self, arguments: &str) -> String {
        let output = Command::new(env!("CARGO_BIN_EXE_castlot"))
            .arg("label")
            .args(arguments.split(' '))
            .current_dir(self.folder.path())
            .env_remove("CASTLOT_FARM")
            .output()
            .expect("castlot runs");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
        let code = output.status.code().expect("an exit code");
        let (out, err) = (text(output.stdout), text(output.stderr));
        let of_map = [
            "first sheet of ",
            "|",
            "-- used",
            "xx skipped",
            ". left",
            "then ",
        ];
        let err: String = err
            .lines()
            .filter(|line| !of_map.iter().any(|start| line.starts_with(start)))
            .map(|line| format!("{line}\n"))
            .collect();
        format!("{out}{err}--- exit {code} ---")
    }

    fn pdfs(&self) -> Vec<String> {
        let names = fs::read_dir(self.folder.path()).expect("the farm's folder");
        let names = names.map(|entry| entry.expect("a file").file_name());
        let mut pdfs: Vec<String> = names
            .map(|name| name.to_string_lossy().into_owned())
            .filter(|name| name.contains(".pdf"))
            .collect();
        pdfs.sort();
        pdfs
    }
}

fn rows() -> Vec<Event<Typed>> {
    let mut manure = DeliveryFacts::of(DeliveryKind::Manure, "horse manure, strawy", "a yard");
    manure.animal = Some("horse".into());
    let straw = DeliveryFacts::of(DeliveryKind::Bedding, "barley straw", "a farm");
    vec![
        Event::Bin {
            bin: "A07".parse().expect("a bin"),
            place: "R1/S1/P1".parse().expect("a place"),
            facts: Box::new(BinFacts::default()),
        },
        delivery("straw-1", straw),
        delivery("manure-1", manure),
        Event::Bed {
            lot: new("bed-1"),
            bin: "A07".parse().expect("a bin"),
            takes: vec![draw("straw-1", "3kg"), draw("manure-1", "1kg")],
            species: Some("Eisenia fetida".into()),
        },
        sieving("cast-1"),
        sieving("cast-2"),
        pack("run-1", "bag5", 12, "cast-1"),
        pack("run-2", "bag5", 3, "cast-2"),
        pack("run-3", "bag20", 2, "cast-1"),
        Event::Hold {
            lot: lot("cast-2"),
            step: HoldStep::Hold(Reach::Parts),
            reason: Word::of("smells sour").expect("a reason"),
        },
        density("cast-1"),
        density("cast-2"),
    ]
}

fn delivery(mark: &str, facts: DeliveryFacts) -> Event<Typed> {
    Event::Delivery {
        lot: new(mark),
        amount: amount("50kg"),
        facts: Box::new(facts),
    }
}

fn sieving(mark: &str) -> Event<Typed> {
    Event::Sieving {
        lot: new(mark),
        kind: BatchKind::Castings,
        from: vec![Sieved {
            bed: BedName::Bin("A07".parse().expect("a bin")),
            amount: Some(amount("1kg")),
        }],
        whole: None,
        clears: Clears::Named(Vec::new()),
    }
}

fn pack(mark: &str, key: &str, count: u32, from: &str) -> Event<Typed> {
    let net = if key == "bag5" { "5L" } else { "20L" };
    Event::Pack {
        lot: new(mark),
        product: Box::new(Product {
            key: key.into(),
            name: "Worm-worked compost".into(),
            kind: PackKind::Bag,
            net: Quantity::read(net, &Measures::new()).expect("a quantity"),
            gtin: None,
            best_by_days: None,
            best_by_month_end: false,
        }),
        count,
        from: vec![draw(from, "400g")],
        best_by: None,
        despite: None,
    }
}

fn new(mark: &str) -> NewLot<Typed> {
    NewLot {
        code: None,
        mark: mark.parse().ok(),
    }
}

fn density(mark: &str) -> Event<Typed> {
    Event::Test {
        lot: lot(mark),
        facts: Box::new(TestFacts {
            test: "density".into(),
            value: "600".into(),
            unit: Some("g/L".into()),
            method: None,
            lab: None,
            result: None,
        }),
    }
}

fn lot(mark: &str) -> LotName {
    LotName::Mark(mark.parse().expect("a mark"))
}

fn draw(mark: &str, text: &str) -> Draw<Typed> {
    Draw {
        lot: lot(mark),
        packs: None,
        amount: amount(text),
    }
}

fn amount(text: &str) -> Amount {
    Amount::read(text, &Measures::new()).expect("an amount")
}

fn pages(path: &Path) -> usize {
    let document = lopdf::Document::load(path).expect("a PDF that can be read");
    document.get_pages().len()
}

fn words(path: &Path) -> String {
    let document = lopdf::Document::load(path).expect("a PDF that can be read");
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    document
        .extract_text(&pages)
        .expect("text that can be read")
}

#[test]
fn a_run_has_a_label_for_each_pack_on_its_own_sheet() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("run-1"), @"
    12 labels on 2 pages: run-1.bag-small.a4-2x4-99x67.pdf
    --- exit 0 ---
    ");
    assert_eq!(farm.pdfs(), ["run-1.bag-small.a4-2x4-99x67.pdf"]);
    let text = words(&farm.path("run-1.bag-small.a4-2x4-99x67.pdf"));
    let text: String = text.split_whitespace().collect();
    for serial in 1..=12 {
        assert!(
            text.contains(&format!("/{serial:04}")),
            "{serial} in {text}"
        );
    }
    assert!(text.contains("Barleystraw,75"), "{text}");
    assert!(text.contains("horsemanure,25"), "{text}");
    assert!(!text.contains("ayard"), "no supplier: {text}");
}

#[test]
fn a_product_with_two_labels_has_a_file_of_each() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("run-3"), @"
    2 labels on 1 page: run-3.bag-front.a4-2x2-99x139.pdf
    2 labels on 1 page: run-3.bag-back.a4-2x2-99x139.pdf
    --- exit 0 ---
    ");
}

#[test]
fn the_same_farm_gives_the_same_bytes() {
    let (one, other) = (LabelFarm::new(), LabelFarm::new());
    for farm in [&one, &other] {
        farm.label("run-1 --bins all --racks all --out all.pdf --sheet a4-2x4-99x67");
    }
    let bytes = |farm: &LabelFarm| fs::read(farm.path("all.pdf")).expect("a file");
    assert!(bytes(&one).starts_with(b"%PDF"));
    assert_eq!(bytes(&one), bytes(&other));
}

#[test]
fn a_part_used_sheet_is_begun_at_its_first_free_place() {
    let farm = LabelFarm::new();
    // Three places are free on the first page, eight on each after it.
    farm.label("run-1 --first-free 4 --skip 6,8 --out free.pdf");
    farm.label("run-1 --out whole.pdf");
    assert_eq!(pages(&farm.path("free.pdf")), 3);
    assert_eq!(pages(&farm.path("whole.pdf")), 2);
    insta::assert_snapshot!(farm.label("run-1 --skip 9"), @"
    error: `a4-2x4-99x67` has places 1 to 8, counted across, then down; there is no 9
    --- exit 2 ---
    ");
}

#[test]
fn some_packs_of_a_run_can_be_printed_alone() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("run-1/3-5"), @"
    3 labels on 1 page: run-1_3-5.bag-small.a4-2x4-99x67.pdf
    --- exit 0 ---
    ");
    insta::assert_snapshot!(farm.label("run-1/12-13"), @"
    error: P26097-01-V has packs 1 to 12; there is no 13
    --- exit 2 ---
    ");
}

#[test]
fn what_is_named_twice_or_backwards_is_refused() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("run-1/2-5 run-1/4-8"), @"
        error: run-1/4-5 is named twice
        hint: name it once; for two labels of each, say `--copies 2`
        --- exit 2 ---
        ");
    insta::assert_snapshot!(farm.label("run-1/3 run-1"), @"
        error: run-1/3 is named twice
        hint: name it once; for two labels of each, say `--copies 2`
        --- exit 2 ---
        ");
    insta::assert_snapshot!(farm.label("--bins A07 all"), @"
        error: A07 is named twice
        hint: name it once; for two labels of each, say `--copies 2`
        --- exit 2 ---
        ");
    insta::assert_snapshot!(farm.label("run-1/5-2"), @"
        error: `run-1/5-2` runs backwards
        hint: write it as in `castlot label run-1/2-5`
        --- exit 2 ---
        ");
    assert!(farm.pdfs().is_empty());
    let side_by_side = farm.label("run-1/2-3 run-1/4-8 --out all.pdf");
    assert!(side_by_side.contains("7 labels on"), "{side_by_side}");
}

#[test]
fn a_sheet_that_a_template_is_not_for_is_refused_with_those_it_is_for() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("run-1 --template bag-small --sheet roll-57x32 --proof"), @"
        refused: label `P26097-01-V/0001 to P26097-01-V/0012`: template `bag-small` is for labels of 63 × 72 mm to 80 × 92 mm, or 99 × 67 mm to 120 × 92 mm, or 99 × 93 mm to 130 × 120 mm, or 99 × 139 mm to 130 × 180 mm; this is 57 × 32 mm
        no label could be laid out: 1 refused, 0 warned of
        hint: `bag-small` goes on a4-3x4-63x72, a4-2x4-99x67, a4-2x3-99x93, a4-2x2-99x139, roll-100x150: name one with `--sheet`
        --- exit 1 ---
        ");
}

#[test]
fn a_text_that_does_not_fit_is_named_once_and_nothing_is_written() {
    let farm = LabelFarm::new();
    fs::create_dir(farm.path("templates")).expect("a folder for templates");
    let template = r#"
[[size]]
width = 38
height = 21
[[size.text]]
at = { left = 3, width = 30, top = 3, height = 5 }
lines = [{ text = "{product} of the north and the south rack", size = 9 }]
"#;
    fs::write(farm.path("templates/bag-small.toml"), template).expect("a template");
    insta::assert_snapshot!(farm.label("run-1 straw-1"), @"
    error: label `P26097-01-V/0001 to P26097-01-V/0012`: `product` does not fit on `bag-small` at 99.1 × 67.7 mm: `Worm-worked compost of the north and the south rack`
    --- exit 1 ---
    ");
    assert!(farm.pdfs().is_empty());
}

#[test]
fn a_fault_in_a_farms_own_template_is_told_with_its_line() {
    let farm = LabelFarm::new();
    fs::create_dir(farm.path("templates")).expect("a folder for templates");
    let template = "[[size]]\nwidth = 38\nheigth = 21\n";
    fs::write(farm.path("templates/bin.toml"), template).expect("a template");
    insta::assert_snapshot!(farm.label("--bins A07"), @"
    error: templates/bin.toml, line 3: unknown field `heigth`, expected one of `width`, `height`, `widest`, `tallest`, `text`, `qr`, `bars`, `picture`, `cautions`, `rule`, `box`
    --- exit 2 ---
    ");
}

/// A template for bins with a picture, and words that every printer has.
const WITH_PICTURE: &str = r#"
[[size]]
width = 90
height = 30
[[size.picture]]
at = { left = 4, top = 4, width = 20, height = 20 }
file = "artwork/mark.png"
[[size.text]]
at = { left = 30, right = 4, top = 6, height = 20 }
lines = [{ text = "{bin}", size = 30 }]
"#;

#[test]
fn a_picture_on_a_farms_own_template_comes_from_its_artwork_and_from_nowhere_else() {
    let farm = LabelFarm::new();
    for folder in ["templates", "artwork"] {
        fs::create_dir_all(farm.path(folder)).expect("a folder");
    }
    let template = farm.path("templates/bin.toml");
    fs::write(&template, WITH_PICTURE).expect("a template");
    insta::assert_snapshot!(farm.label("--bins A07"), @"
    error: templates/bin.toml, line 7: there is no picture `artwork/mark.png`
    --- exit 2 ---
    ");
    fs::write(farm.path("artwork/mark.png"), "a scan, to come").expect("a file");
    insta::assert_snapshot!(farm.label("--bins A07"), @"
    error: templates/bin.toml, line 7: `artwork/mark.png` is no PNG, JPEG or PDF
    --- exit 2 ---
    ");
    let away = WITH_PICTURE.replace("artwork/mark.png", "artwork/../diary.db");
    fs::write(&template, away).expect("a template");
    insta::assert_snapshot!(farm.label("--bins A07"), @"
    error: templates/bin.toml, line 7: `artwork/../diary.db` is not a name of a picture, which is like `artwork/logo.png`
    --- exit 2 ---
    ");
    assert!(farm.pdfs().is_empty());
    let picture = include_bytes!("../demo-lots/pictures/bag-label.png");
    fs::write(farm.path("artwork/mark.png"), picture).expect("a picture");
    fs::write(&template, WITH_PICTURE).expect("a template");
    insta::assert_snapshot!(farm.label("--bins A07"), @"
    1 label on 1 page: A07.bin.a4-2x7-99x38.pdf
    --- exit 0 ---
    ");
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_a_picture_out_of_the_farms_folder_is_refused() {
    let farm = LabelFarm::new();
    for folder in ["templates", "artwork"] {
        fs::create_dir_all(farm.path(folder)).expect("a folder");
    }
    fs::write(farm.path("templates/bin.toml"), WITH_PICTURE).expect("a template");
    let outside = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-lots/pictures/bag-label.png");
    std::os::unix::fs::symlink(outside, farm.path("artwork/mark.png")).expect("a link");
    let said = farm.label("--bins A07");
    assert!(
        said.contains("artwork/mark.png` is a link that leads out of the farm's folder"),
        "{said}"
    );
    assert!(farm.pdfs().is_empty());
}

#[test]
fn a_held_run_has_no_label_to_be_sold_with_but_a_hold_tag() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("run-1 run-2"), @"
    error: P26098-01-N: no label to sell it with: ON HOLD since 2026-04-10, for H26096-01-4 (smells sour)
    hint: to hang a tag on it: `castlot label --hold P26098-01-N`
    --- exit 1 ---
    ");
    assert!(farm.pdfs().is_empty());
    insta::assert_snapshot!(farm.label("--hold run-2 cast-2"), @"
    2 labels on 1 page: holds.hold.a4-2x2-99x139.pdf
    --- exit 0 ---
    ");
    insta::assert_snapshot!(farm.label("--hold run-1"), @"
    error: P26097-01-V is not on hold
    hint: hold it with `castlot hold P26097-01-V --why …`
    --- exit 2 ---
    ");
}

#[test]
fn tags_bins_and_racks_print_in_one_go() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("straw-1 manure-1 cast-2 --bins A07.. --racks r1"), @"
    2 labels on 1 page: deliveries.delivery.a4-2x4-99x67.pdf
    1 label on 1 page: cast-2.batch.a4-2x4-99x67.pdf
    1 label on 1 page: A07.bin.a4-2x7-99x38.pdf
    1 label on 1 page: R1.rack.a4-2x2-99x139.pdf
    --- exit 0 ---
    ");
    let tags = words(&farm.path("deliveries.delivery.a4-2x4-99x67.pdf"));
    assert!(tags.contains("Horse manure, strawy"), "{tags}");
    let held = words(&farm.path("cast-2.batch.a4-2x4-99x67.pdf"));
    assert!(held.contains("ON HOLD since 2026-04-10"), "{held}");
}

#[test]
fn a_wrong_name_is_refused_with_what_there_is() {
    let farm = LabelFarm::new();
    insta::assert_snapshot!(farm.label("run-9"), @"
    error: no lot, bin or rack is called `run-9`
    hint: Worm-worked compost 5L (run-1): `castlot label P26097-01-V`
    hint: Worm-worked compost 5L (run-2): `castlot label P26098-01-N`
    hint: Worm-worked compost 20L (run-3): `castlot label P26099-01-F`
    --- exit 2 ---
    ");
    insta::assert_snapshot!(farm.label("run-1 --template sack"), @"
    error: `sack` is not a label template; there are bag-front, bag-back, bag-small, tub, tub-lid, bottle, bin, rack, delivery, batch, hold
    --- exit 2 ---
    ");
    insta::assert_snapshot!(farm.label("--bins B01"), @"
    error: no lot, bin or rack is called `B01`
    hint: see every bin with `castlot beds`
    --- exit 2 ---
    ");
    insta::assert_snapshot!(farm.label("straw-1 run-3 --out one.pdf"), @"
    error: these labels go on different sheets (a4-2x2-99x139, a4-2x4-99x67), which one file cannot hold
    hint: leave `--out` away, or name one sheet for all with `--sheet NAME`
    --- exit 2 ---
    ");
}
