//! What all benches stand on: the settings of the farms they measure, and a farm from its sheets.

use std::collections::BTreeMap;

use castlot::farm::{
    Farm, Moment, PackKind, Product, ProductSetting, QrForm, Quantity, Recording, Settings, Unit,
};
use castlot::sheets::{AlreadyThere, Importing, read_folder};

/// The zone of both farms.
pub const ZONE: &str = "Europe/London";

/// Files by their names, as `castlot import` reads a folder.
pub type Files = BTreeMap<String, Vec<u8>>;

/// The settings of both farms; `write_farms` writes the same as castlot.toml.
pub fn settings() -> Settings {
    let product = Product {
        key: "bag5".into(),
        name: "Worm castings".into(),
        kind: PackKind::Bag,
        net: Quantity::new(5000, Unit::Millilitres),
        gtin: None,
        best_by_days: None,
        best_by_month_end: false,
    };
    let setting = ProductSetting {
        labels: vec!["bag-small".to_owned()],
        sheet: Some("a4-2x4-99x67".to_owned()),
        ..ProductSetting::of(product)
    };
    let zone = jiff::tz::TimeZone::get(ZONE).expect("the zones are built in");
    Settings {
        address: vec!["1 Nowhere Lane".to_owned(), "Marlhythe".to_owned()],
        phone: Some("01632 960123".to_owned()),
        form: QrForm::Web,
        base: Some("https://lots.marlhythe.example".to_owned()),
        products: BTreeMap::from([("bag5".to_owned(), setting)]),
        ..Settings::of("Big Shed", "GB", zone)
    }
}

/// Reads and judges sheets on top of a farm.
pub fn record(farm: &Farm, files: &Files, settings: &Settings) -> Recording {
    let written: jiff::Timestamp = "2026-10-31T12:00:00Z".parse().expect("it is an instant");
    let with = Importing {
        settings,
        farm,
        now: Moment::minute_of(settings.zone.to_datetime(written)),
        already: AlreadyThere::Refuse,
    };
    let import = read_folder(files, with).expect("the sheets read");
    farm.record(import.drafts, written)
        .expect("the rows keep every rule")
}
