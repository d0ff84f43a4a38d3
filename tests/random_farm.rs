//! Random small farms for the properties: rows as a grower's sheets have them, recorded one by one through the sheets'
//! reader and the farm's own rules; what the rules refuse is passed over.

use std::collections::BTreeMap;
use std::fmt;

use castlot::farm::{
    DateOrder, Farm, LotId, Moment, Noun, PackKind, Product, ProductSetting, QrForm, Quantity,
    Settings, Unit,
};
use castlot::sheets::{AlreadyThere, Importing, columns, read_folder};
use castlot::trace::{Question, Side, Trace, trace};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use proptest::collection::vec;
use proptest::prelude::*;

use super::grower::KINDS;

/// Columns and what stands in them.
pub type Cells = Vec<(&'static str, String)>;

/// One row of one sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetRow {
    pub noun: Noun,
    /// The day of March on which it happened; 0 is the day before.
    pub day: u8,
    /// The minute of that day, where somebody noted it.
    pub minute: Option<u16>,
    pub cells: Cells,
}

impl SheetRow {
    fn when(&self) -> String {
        let day = match self.day {
            0 => "2026-02-28".to_owned(),
            day => format!("2026-03-{day:02}"),
        };
        match self.minute {
            None => day,
            Some(minute) => format!("{day}T{:02}:{:02}", minute / 60, minute % 60),
        }
    }

    /// Returns the row as a file with its header.
    fn file(&self) -> (String, Vec<u8>) {
        let mut sheet = csv::Writer::from_writer(Vec::new());
        let names: Vec<&str> = columns(self.noun)
            .iter()
            .map(|column| column.name)
            .collect();
        let cells = names.iter().map(|name| match *name {
            "when" => self.when(),
            name => {
                let found = self.cells.iter().find(|(column, _)| *column == name);
                found.map(|(_, text)| text.clone()).unwrap_or_default()
            }
        });
        let cells: Vec<String> = cells.collect();
        sheet.write_record(&names).expect("memory takes it");
        sheet.write_record(&cells).expect("memory takes it");
        let bytes = sheet.into_inner().expect("memory takes it");
        (format!("{}.csv", self.noun.sheet()), bytes)
    }
}

/// A farm, and the rows that made it, in the order of recording.
#[derive(Clone, Default)]
pub struct Grown {
    pub farm: Farm,
    pub rows: Vec<SheetRow>,
}

impl fmt::Debug for Grown {
    /// Writes the rows as a person would, because a failing property shows them.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for row in &self.rows {
            let (name, bytes) = row.file();
            let text = String::from_utf8_lossy(&bytes);
            let cells = text.lines().nth(1).unwrap_or_default();
            writeln!(f, "{name}: {}", cells.trim_end_matches(','))?;
        }
        Ok(())
    }
}

/// How the rows of a farm are dated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Dating {
    Times,
    Days,
    Mixed,
}

/// What is done next, as numbers: which kind of row, how many days late, and four choices within it.
pub type Step = (u8, u8, [u8; 4]);

/// Farms of up to so many steps.
pub fn farms(steps: usize) -> impl Strategy<Value = Grown> {
    let dating = prop_oneof![Just(Dating::Times), Just(Dating::Days), Just(Dating::Mixed)];
    let step = (0..KINDS, 0_u8..8, any::<[u8; 4]>());
    (dating, vec(step, 4..=steps)).prop_map(|(dating, steps)| Grown::of(dating, &steps))
}

/// Records one row, or tells that it is refused.
pub fn record(farm: &Farm, row: &SheetRow) -> Option<Farm> {
    record_folder(farm, &[row.file()].into())
}

/// Records a folder, or tells that it is refused.
pub fn record_folder(farm: &Farm, files: &BTreeMap<String, Vec<u8>>) -> Option<Farm> {
    let settings = settings();
    let with = Importing {
        settings: &settings,
        farm,
        now: moment("2026-10-31T12:00"),
        already: AlreadyThere::Refuse,
    };
    let import = read_folder(files, with).ok()?;
    let recording = farm.record(import.drafts, Timestamp::UNIX_EPOCH).ok()?;
    Some(recording.farm)
}

/// Returns a moment.
pub fn moment(text: &str) -> Moment {
    Moment::read(text, DateOrder::YearMonthDay, &settings().zone).expect("a moment")
}

/// What the random farms have in their castlot.toml.
pub fn settings() -> Settings {
    let product = Product {
        key: "bag20".into(),
        name: "Worm-worked compost".into(),
        kind: PackKind::Bag,
        net: Quantity::new(20_000, Unit::Millilitres),
        gtin: Some("09520123456788".parse().expect("a GTIN of GS1's examples")),
        best_by_days: Some(365),
        best_by_month_end: false,
    };
    let zone = TimeZone::get("Europe/London").expect("the zone is bundled");
    Settings {
        address: vec!["The Old Drying Shed".to_owned()],
        phone: Some("01632 960123".to_owned()),
        form: QrForm::Web,
        base: Some("https://lots.marlhythe.example".to_owned()),
        products: [("bag20".to_owned(), ProductSetting::of(product))].into(),
        ..Settings::of("Marlhythe Wormery", "GB", zone)
    }
}

/// Asks for one side of a lot, as it is known in the end.
pub fn ask(farm: &Farm, lot: LotId, side: Side, when: Option<Moment>) -> Trace<'_> {
    trace(
        farm,
        Question {
            lot,
            serial: None,
            when,
            side,
        },
    )
}

/// Returns the mark by which a lot is known whatever the order of recording.
pub fn mark(farm: &Farm, lot: LotId) -> String {
    let lot = farm.lot(lot);
    lot.mark
        .as_ref()
        .map_or_else(|| lot.code.to_string(), ToString::to_string)
}
