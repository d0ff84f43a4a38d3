//! Tests of what codes hold: against GS1's own engine, against another encoder's sizes, and read back.

use proptest::prelude::*;

use super::example::{delivery, draw, farm_of, grams, id, new, settings};
use super::qr::{Level, Matrix};
use super::scan_text::{digital_link, escaped, of_bin, of_lot, of_rack};
use crate::farm::{
    BatchKind, BedName, Clears, Event, Farm, Gtin, Named, PackCode, PackKind, Product, QrForm,
    Quantity, Serial, Settings, Sieved, Unit,
};

/// Rows of a table of `tests/reference/`, whose last columns name the source of each.
fn rows(text: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.records().map(Result::unwrap).collect()
}

/// Each row was built by GS1's syntax engine 1.4.1.
#[test]
fn a_digital_link_is_what_gs1s_own_engine_builds() {
    let rows = rows(include_str!(
        "../../tests/reference/digital_link_examples.csv"
    ));
    let mut compared = 0;
    for row in rows
        .iter()
        .filter(|row| &row[0] == "build" && row[5].starts_with("https://"))
    {
        let Some((gtin, lot, serial)) = parts(&row[1]) else {
            continue;
        };
        gtin.parse::<Gtin>().unwrap();
        // Our serials have four digits; the table has two rows that have others.
        let built = match serial.filter(|text| text.len() != 4) {
            Some(serial) => {
                format!(
                    "{}/21/{}",
                    digital_link(&row[2], gtin, &lot, None),
                    escaped(serial)
                )
            }
            None => digital_link(
                &row[2],
                gtin,
                &lot,
                serial.map(|s| Serial::read(s).unwrap()),
            ),
        };
        let wanted = row[5].split('?').next().unwrap();
        // A question mark within a lot stands escaped, so the first one begins the query.
        assert_eq!(built, wanted, "{}", &row[1]);
        compared += 1;
    }
    assert!(compared > 15, "{compared}");
}

/// Takes an element string apart, where it is a GTIN with a lot and perhaps a serial at its head.
fn parts(text: &str) -> Option<(&str, String, Option<&str>)> {
    let (gtin, rest) = text.strip_prefix("(01)")?.split_once("(10)")?;
    let mut lot = String::new();
    let mut rest = rest;
    while let Some(c) = rest.chars().next().filter(|c| *c != '(') {
        let length = if rest.starts_with("\\(") {
            2
        } else {
            c.len_utf8()
        };
        lot.push_str(rest[..length].trim_start_matches('\\'));
        rest = &rest[length..];
    }
    let serial = rest.strip_prefix("(21)");
    Some((
        gtin,
        lot,
        serial.map(|rest| rest.split('(').next().unwrap()),
    ))
}

/// GS1's syntax engine: which of the 82 characters of a lot stand in a path as they are.
#[test]
fn each_character_of_a_lot_is_written_as_gs1s_engine_writes_it() {
    let rows = rows(include_str!(
        "../../tests/reference/cset82_percent_encoding.csv"
    ));
    let single: Vec<_> = rows.iter().filter(|row| row[0].len() == 1).collect();
    assert!(single.len() > 15, "{}", single.len());
    for row in single {
        assert_eq!(escaped(&row[0]), row[2]);
    }
}

/// Letters and digits of the 82, which stand for themselves.
#[test]
fn letters_and_digits_stand_for_themselves() {
    let plain: String = ('A'..='Z').chain('a'..='z').chain('0'..='9').collect();
    assert_eq!(escaped(&plain), plain);
}

/// Returns the level that a table's letter names.
fn level(letter: &str) -> Level {
    let named = |level: &Level| format!("{level:?}") == letter;
    Level::ALL.into_iter().find(named).unwrap()
}

/// segno 1.6.6 chose version and mode.
#[test]
fn addresses_take_the_version_that_another_encoder_takes() {
    let rows = rows(include_str!("../../tests/reference/qr_uri_versions.csv"));
    let mut compared = 0;
    for row in &rows {
        let (modules, level): (u16, _) = (row[5].parse().unwrap(), level(&row[3]));
        let code = Matrix::at_level(&row[0], level).unwrap();
        // The crate changes mode within a text, as segno does not; that can spare a version, and never costs one.
        match level {
            Level::M => assert_eq!(code.width(), modules, "{}", &row[0]),
            Level::L | Level::Q | Level::H => assert!(code.width() <= modules, "{}", &row[0]),
        }
        compared += 1;
    }
    assert!(compared >= 5, "{compared}");
}

/// segno 1.6.6, capacities of ISO/IEC 18004.
#[test]
fn a_code_holds_as_much_as_the_standard_says_and_no_more() {
    let rows = rows(include_str!("../../tests/reference/qr_capacity.csv"));
    let mut compared = 0;
    for row in &rows {
        let modules: u16 = row[1].parse().unwrap();
        let level = level(&row[2]);
        for (column, letter) in [(3, "7"), (4, "A"), (5, "a")] {
            let capacity: usize = row[column].parse().unwrap();
            let width =
                |length: usize| Matrix::at_level(&letter.repeat(length), level).map(|m| m.width());
            assert_eq!(width(capacity), Ok(modules), "{row:?}");
            assert_ne!(width(capacity + 1), Ok(modules), "{row:?}");
            compared += 1;
        }
    }
    assert_eq!(compared, 3 * 40);
}

/// A farm with a delivery, a bed, a batch and a run of five bags.
fn farm(product: &str, gtin: Option<&str>) -> Farm {
    let rows = [
        delivery("straw-1", "barley straw"),
        Event::Bed {
            lot: new("bed-1"),
            bin: "A07".parse().unwrap(),
            takes: vec![draw("straw-1", 4000)],
            species: None,
        },
        Event::Sieving {
            lot: new("cast-1"),
            kind: BatchKind::Castings,
            from: vec![Sieved {
                bed: BedName::Bin("A07".parse().unwrap()),
                amount: Some(grams(2000)),
            }],
            whole: None,
            clears: Clears::All,
        },
        Event::Pack {
            lot: new("run-1"),
            product: Box::new(Product {
                key: "bag".into(),
                name: product.into(),
                kind: PackKind::Bag,
                net: Quantity::new(5000, Unit::Millilitres),
                gtin: gtin.map(|gtin| gtin.parse().unwrap()),
                best_by_days: None,
                best_by_month_end: false,
            }),
            count: 5,
            from: vec![draw("cast-1", 1500)],
            best_by: None,
            despite: None,
        },
    ];
    farm_of(rows)
}

const BASE: Option<&str> = Some("https://lots.marlhythe.example");
const GTIN: Option<&str> = Some("09520123456788");

#[test]
fn each_form_is_as_the_format_says() {
    let farm = farm("Worm-worked compost", GTIN);
    let code = |mark: &str| farm.lot(id(&farm, mark)).code.to_string();
    let (run, batch) = (code("run-1"), code("cast-1"));
    let read = |mark: &str, serial: Option<u32>, form| {
        let serial = serial.and_then(Serial::new);
        of_lot(&farm, id(&farm, mark), serial, &settings(form, BASE, None))
    };
    assert_eq!(
        read("run-1", Some(3), QrForm::Text),
        format!(
            "{run}/0003 Worm-worked compost 5 L, packed 2026-04-23, Marlhythe Wormery 01632 960123"
        )
    );
    assert_eq!(
        read("run-1", Some(3), QrForm::Web),
        format!("HTTPS://LOTS.MARLHYTHE.EXAMPLE/{run}?0003")
    );
    assert_eq!(
        read("run-1", None, QrForm::Web),
        format!("HTTPS://LOTS.MARLHYTHE.EXAMPLE/{run}")
    );
    assert_eq!(
        read("run-1", Some(3), QrForm::Gs1),
        format!("HTTPS://LOTS.MARLHYTHE.EXAMPLE/01/09520123456788/10/{run}/21/0003")
    );
    assert_eq!(
        read("cast-1", None, QrForm::Gs1),
        format!("HTTPS://LOTS.MARLHYTHE.EXAMPLE/{batch}")
    );
    assert_eq!(
        read("cast-1", None, QrForm::Text),
        format!("{batch} castings 2 kg, made 2026-04-22, Marlhythe Wormery 01632 960123")
    );
}

#[test]
fn no_text_names_a_supplier() {
    let farm = farm("Worm-worked compost", None);
    for (lot, _) in farm.lots() {
        let text = of_lot(&farm, lot, None, &settings(QrForm::Text, None, None));
        assert!(!text.contains("secret"), "{text}");
    }
}

#[test]
fn bins_and_racks_go_to_the_shed_else_the_base_else_stand_alone() {
    let bin = "A07".parse().unwrap();
    let shed = settings(QrForm::Text, BASE, Some("http://192.168.1.20:8080"));
    assert_eq!(of_bin(bin, &shed), "HTTP://192.168.1.20:8080/BIN/A07");
    assert_eq!(of_rack("R1", &shed), "HTTP://192.168.1.20:8080/RACK/R1");
    let base = settings(QrForm::Text, BASE, None);
    assert_eq!(of_bin(bin, &base), "HTTPS://LOTS.MARLHYTHE.EXAMPLE/BIN/A07");
    let bare = settings(QrForm::Text, None, None);
    assert_eq!(
        (of_bin(bin, &bare).as_str(), of_rack("R1", &bare).as_str()),
        ("A07", "RACK/R1")
    );
}

fn any_settings() -> impl Strategy<Value = Settings> {
    let form = prop::sample::select(vec![QrForm::Text, QrForm::Web, QrForm::Gs1]);
    let address =
        "https?://[a-z0-9]{1,8}(\\.[a-z]{2,7}){0,2}(:[0-9]{2,4})?(/[A-Z0-9-]{1,6}){0,2}/?";
    let addresses = (prop::option::of(address), prop::option::of(address));
    (form, addresses, "[A-Za-zÉ][A-Za-z0-9é #/&-]{0,30}").prop_map(|(form, (base, shed), name)| {
        let mut settings = settings(form, base.as_deref(), shed.as_deref());
        settings.name = name;
        settings
    })
}

proptest! {
    #[test]
    fn whatever_a_code_holds_reads_back_as_what_it_is_on(
        settings in any_settings(),
        product in "[A-Za-z0-9é][A-Za-z0-9é #/&-]{0,30}",
        with_gtin: bool,
        serial in prop::option::of(1..=123_456_u32),
        bin in "[A-Z][A-Z0-9]{0,3}(-[A-Z0-9]{1,4})?",
        rack in "[A-Z0-9-]{1,6}",
    ) {
        let bases = settings.bases();
        let farm = farm(&product, GTIN.filter(|_| with_gtin));
        for (id, lot) in farm.lots() {
            let read = Named::read(&of_lot(&farm, id, None, &settings), &bases);
            prop_assert_eq!(read, Ok(Named::Lot(lot.code)));
        }
        if let Some(serial) = serial.and_then(Serial::new) {
            let run = id(&farm, "run-1");
            let read = Named::read(&of_lot(&farm, run, Some(serial), &settings), &bases);
            prop_assert_eq!(read, Ok(Named::Pack(PackCode { run: farm.lot(run).code, serial })));
        }
        if let Ok(bin) = bin.parse() {
            prop_assert_eq!(Named::read(&of_bin(bin, &settings), &bases), Ok(Named::Bin(bin)));
        }
        prop_assert_eq!(Named::read(&of_rack(&rack, &settings), &bases), Ok(Named::Rack(rack)));
    }
}

#[test]
fn a_bin_that_looks_like_a_code_with_a_slip_reads_back_on_a_farm_without_an_address() {
    let settings = settings(QrForm::Text, None, None);
    let bin = "G000-0O0A".parse().unwrap();
    let read = Named::read(&of_bin(bin, &settings), &settings.bases());
    assert_eq!(read, Ok(Named::Bin(bin)));
}
