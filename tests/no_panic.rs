//! No input panics: whatever is typed, scanned, saved as a setting or found in place of a diary is read or refused.
//!
//! Sheets have their own such tests in `sheets/properties.rs`, templates in `label/read.rs`.

use std::fs;

use castlot::diary::Book;
use castlot::farm::{
    Amount, BinCode, DateOrder, Gtin, LotCode, LotName, Mark, Measures, Moment, Named, Place,
    Portion, Quantity, Serial,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use tempfile::TempDir;

use super::dsl::{DEMO_END, TestFarm, demo_lots};
use super::random_farm::settings;

/// Scraps that codes, amounts and moments are made of, and some that they should not be.
const SCRAPS: [&str; 40] = [
    "P26115-07-S",
    "G26061",
    "-01-F",
    "p26115",
    "A07",
    "R1/S1/P1",
    "run-7",
    "#",
    "/",
    "?",
    "~",
    "-",
    " ",
    "0",
    "1",
    "12",
    "4294967295",
    "18446744073709551616",
    ".",
    ",",
    "kg",
    "g",
    "mL",
    "L",
    "%",
    " of ",
    "2026-03-29",
    "2026-02-29",
    "T01:30",
    "24:00",
    "01/02/",
    "é",
    "ß",
    "\u{0}",
    "\u{FEFF}",
    "👩‍🌾",
    "BIN/",
    "HTTPS://LOTS.MARLHYTHE.EXAMPLE/",
    "01/",
    "٣",
];

fn texts() -> impl Strategy<Value = String> {
    let scraps = vec(select(&SCRAPS[..]), 0..6).prop_map(|scraps| scraps.concat());
    prop_oneof![4 => scraps, 1 => "\\PC{0,40}", 1 => any::<String>()]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(4_000) })]

    /// And what is read says itself back in a form that reads the same.
    #[test]
    fn nothing_typed_panics_and_what_is_read_is_read_again_from_what_it_says(text in texts()) {
        if let Ok(code) = LotCode::read(&text) {
            prop_assert_eq!(LotCode::read(&code.to_string()), Ok(code));
            prop_assert_eq!(code.to_string().parse(), Ok(code));
        }
        if let Ok(serial) = Serial::read(&text) {
            prop_assert_eq!(Serial::read(&serial.to_string()), Ok(serial));
        }
        if let Ok(portion) = text.parse::<Portion>() {
            prop_assert_eq!(portion.to_string().parse(), Ok(portion));
            prop_assert!(portion.parts() > 0 && portion.parts() < portion.of());
        }
        if let Ok(amount) = Amount::read(&text, &Measures::new()) {
            prop_assert_eq!(Amount::read(&amount.to_string(), &Measures::new()), Ok(amount));
        }
        if let Ok(quantity) = Quantity::read(&text, &Measures::new()) {
            prop_assert_eq!(Quantity::read(&quantity.to_string(), &Measures::new()), Ok(quantity));
        }
        let zone = settings().zone;
        for order in [DateOrder::YearMonthDay, DateOrder::DayMonthYear] {
            if let Ok(moment) = Moment::read(&text, order, &zone) {
                prop_assert_eq!(Moment::read(&moment.to_string(), DateOrder::YearMonthDay, &zone), Ok(moment));
                prop_assert!(moment.earliest() <= moment.latest());
            }
        }
        if let Ok(bin) = text.parse::<BinCode>() {
            prop_assert_eq!(bin.to_string().parse(), Ok(bin));
        }
        if let Ok(place) = text.parse::<Place>() {
            prop_assert_eq!(place.to_string().parse(), Ok(place));
        }
        if let Ok(mark) = text.parse::<Mark>() {
            prop_assert_eq!(mark.to_string().parse(), Ok(mark));
        }
        if let Ok(gtin) = text.parse::<Gtin>() {
            prop_assert_eq!(gtin.digits().parse(), Ok(gtin));
        }
        if let Ok(name) = LotName::read(&text) {
            let again = match &name {
                LotName::Code(code) => code.to_string(),
                LotName::Mark(mark) => mark.to_string(),
            };
            prop_assert_eq!(LotName::read(&again), Ok(name));
        }
        let bases = settings().bases();
        if let Ok(Named::Pack(pack)) = Named::read(&text, &bases) {
            prop_assert_eq!(Named::read(&pack.to_string(), &bases), Ok(Named::Pack(pack)));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(128) })]

    #[test]
    fn no_bytes_in_place_of_a_diary_panic(bytes in vec(any::<u8>(), 0..4_000), headed in any::<bool>()) {
        let head: &[u8] = if headed { b"SQLite format 3\0" } else { b"" };
        let read = open(&[head, &bytes].concat());
        prop_assert!(read.is_err(), "a file of any bytes is no diary");
    }

    /// Any page of a sound diary overwritten: it opens and reads as something, or is refused.
    #[test]
    fn no_bytes_within_a_diary_panic(at in any::<prop::sample::Index>(), bytes in vec(any::<u8>(), 1..64), cut in any::<bool>()) {
        let mut diary = sound_diary().to_vec();
        let at = at.index(diary.len());
        if cut {
            diary.truncate(at);
        }
        for (place, byte) in (at..diary.len()).zip(bytes) {
            diary[place] = byte;
        }
        let _: Result<usize, _> = open(&diary);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(96) })]

    /// Through the program: it does what it is asked, or refuses the file with its name, and leaves as the formats say.
    #[test]
    fn no_settings_panic(at in any::<prop::sample::Index>(), gone in 0_usize..30, put in texts()) {
        let farm = TestFarm::nowhere();
        let text = fs::read_to_string(demo_lots().join("castlot.toml")).expect("the demo farm has settings");
        let mut characters: Vec<char> = text.chars().collect();
        let at = at.index(characters.len());
        let end = (at + gone).min(characters.len());
        characters.splice(at..end, put.chars());
        farm.put("castlot.toml", characters.into_iter().collect::<String>());
        farm.put("diary.db", sound_diary());
        let done = farm.castlot(DEMO_END, &["stock", "--json"]);
        let said = String::from_utf8_lossy(&done.stderr);
        prop_assert!(matches!(done.status.code(), Some(0 | 2)), "{}: {said}", done.status);
        prop_assert!(done.status.success() || said.contains("castlot.toml"), "{said}");
    }
}

/// Opens bytes as a diary, reads and verifies them; tells how many entries there are.
fn open(bytes: &[u8]) -> Result<usize, castlot::diary::DiaryError> {
    let folder = TempDir::new().expect("the system has room for a folder");
    let path = folder.path().join("diary.db");
    fs::write(&path, bytes).expect("the folder is ours");
    let book = Book::open(&path)?;
    let entries = book.entries()?.len();
    book.verify()?;
    Ok(entries)
}

/// The diary of a farm with a few entries.
fn sound_diary() -> &'static [u8] {
    static DIARY: std::sync::OnceLock<Vec<u8>> = std::sync::OnceLock::new();
    DIARY.get_or_init(|| {
        let farm = TestFarm::with(&[
            "2026-02-01 record delivery --kind bedding --name straw --supplier 'a farm' --amount 40kg --ref straw-1",
            "2026-02-02 record bed --bin A01 --takes 'straw-1 4kg'",
            "2026-02-03 record feed --bin A01 --takes 'straw-1 300g'",
        ]);
        let diary = farm.diary();
        assert!(open(&diary).is_ok_and(|entries| entries == 3));
        diary
    })
}
