//! The same farm gives the same bytes, and a bed topped up again and again dilutes by the closed form.

use std::borrow::Cow;
use std::collections::BTreeMap;

use castlot::diary::{Book, Pen};
use castlot::farm::{Farm, Recording};
use castlot::label::{Conditions, Heading, Order, Places, Subject, Templates, print};
use castlot::sheets::export;
use castlot::site::{Foot, Press};
use castlot::trace::Side;
use proptest::prelude::*;
use tempfile::TempDir;

use super::random_farm::{ask, farms, mark, record_folder, settings};

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(16) })]

    #[test]
    fn the_same_farm_has_the_same_labels_pages_and_sheets_byte_for_byte(grown in farms(30)) {
        let first = all_bytes(&grown.farm, "seal");
        prop_assert!(first.len() > 5 && first.keys().any(|name| name.ends_with(".pdf")));
        let again = grown.farm.clone();
        prop_assert!(first == all_bytes(&again, "seal"));
        // Read from two diaries that were written with the same salts.
        let (one, two) = (kept(&grown.farm), kept(&grown.farm));
        prop_assert_eq!(&one.seal, &two.seal);
        prop_assert!(one.file == two.file, "two diaries of one farm differ");
        prop_assert!(all_bytes(&one.farm, &one.seal) == all_bytes(&two.farm, &two.seal));
        prop_assert!(first == all_bytes(&one.farm, "seal"), "the diary gives back another farm");
    }
}

/// A farm in `diary.db`: the farm read from it, its seal, the bytes of the file.
struct Kept {
    farm: Farm,
    seal: String,
    file: Vec<u8>,
}

fn kept(farm: &Farm) -> Kept {
    let folder = TempDir::new().expect("the system has room for a folder");
    let path = folder.path().join("diary.db");
    let mut book = Book::create(&path).expect("the folder is empty");
    let mut salt = 0_u8;
    let mut pen = Pen::with_salts("Europe/London", move || {
        salt = salt.wrapping_add(1);
        [salt; 16]
    });
    let recording = Recording {
        farm: farm.clone(),
        before: 0,
    };
    let whole = |_: &Farm| Ok::<_, std::convert::Infallible>(recording);
    book.record(&mut pen, whole)
        .expect("what was recorded can be written");
    let (farm, seal) = (
        book.farm().expect("it was just written"),
        book.seal().expect("it has entries"),
    );
    drop(book);
    let file = std::fs::read(path).expect("it was just written");
    Kept {
        farm,
        seal: seal.to_string(),
        file,
    }
}

/// Everything the farm can be made into, by name.
fn all_bytes(farm: &Farm, seal: &str) -> BTreeMap<String, Vec<u8>> {
    let settings = settings();
    let mut files = export(farm);
    let press = Press::of(farm, &settings);
    let last = u32::try_from(farm.entries().len()).expect("a small farm");
    let foot = Foot::of(farm, &settings, last, seal).expect("the foot is filled");
    for job in press.jobs() {
        let pages = press.print(&job).expect("the templates are filled");
        files.extend(
            pages
                .into_iter()
                .map(|page| (page.path.clone(), page.with(&foot))),
        );
    }
    let lots = farm.lots().map(|(id, lot)| match lot.shelf {
        Some(_) => Subject::Packs(id, None),
        None => Subject::Lot(id),
    });
    for (number, subject) in lots.enumerate() {
        let order = Order {
            subjects: vec![subject],
            template: None,
            sheet: None,
        };
        let today = Conditions::on(jiff::civil::date(2027, 1, 1));
        let proofed = order.proof(farm, &settings, &Templates::default(), &today);
        let Ok(proofed) = proofed else {
            continue;
        };
        let found = format!("{:?}", proofed.proof());
        files.insert(format!("{number}.proof"), found.into_bytes());
        // Labels that the proof refuses are looked at all the same: they too are the same bytes.
        for sheaf in proofed.to_look_at() {
            let heading = Heading {
                title: "Labels".to_owned(),
                date: sheaf.date,
            };
            let pdf = print(
                &Places::all(sheaf.sheet),
                sheaf.labels.iter().map(Cow::Owned),
                &heading,
            )
            .expect("it was laid out for the sheet");
            files.insert(format!("{number}-{}.pdf", sheaf.template), pdf);
        }
    }
    files
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    /// Through real rows: of a bed of 10 kg, `percent` is sieved off and as much fed, again and again; each batch has
    /// what the bed had before. Closed form: common practice, no source.
    #[test]
    fn a_bed_topped_up_n_times_with_a_fraction_f_keeps_1_minus_f_to_the_n(percent in 1_u32..100, times in 1_u8..12) {
        let (mut feeds, mut sievings) = ("when,bin,takes\n".to_owned(), "when,kind,from,amount,ref\n".to_owned());
        for turn in 1..=times {
            sievings += &format!("2026-03-{turn:02}T09:00,castings,A01,{}g,sift-{turn}\n", percent * 100);
            feeds += &format!("2026-03-{turn:02}T10:00,A01,manure-1 {}g\n", percent * 100);
        }
        let deliveries = "when,kind,name,supplier,amount,ref\n2026-02-28,bedding,straw,a farm,10kg,straw-1\n\
                          2026-02-28,manure,horse manure,a yard,200kg,manure-1\n";
        let beds = "when,bin,takes,ref\n2026-02-28,A01,straw-1 10kg,bed-1\n";
        let files = [("deliveries.csv", deliveries), ("beds.csv", beds), ("feeds.csv", &feeds), ("sievings.csv", &sievings)];
        let files = files.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()));
        let farm = record_folder(&Farm::default(), &files.into()).expect("sound sheets");
        let kept = 1.0 - f64::from(percent) / 100.0;
        for (lot, turns) in (1..=times).map(|turn| (format!("sift-{turn}"), turn - 1)).chain([("bed-1".to_owned(), times)]) {
            let wanted = kept.powi(i32::from(turns));
            let share = straw_in(&farm, &lot);
            prop_assert!((share - wanted).abs() < 1e-9, "{lot}: {share}, and not {wanted}");
        }
    }
}

/// Returns the share of the straw in the lot with that mark.
fn straw_in(farm: &Farm, lot: &str) -> f64 {
    let lot = farm
        .marked(&lot.parse().expect("a mark"))
        .expect("it was recorded");
    let sources = ask(farm, lot, Side::Back, None).back.unwrap_or_default();
    let straw = sources
        .iter()
        .find(|source| mark(farm, source.reached.lot) == "straw-1");
    straw
        .and_then(|source| source.share)
        .expect("all amounts are known")
}
