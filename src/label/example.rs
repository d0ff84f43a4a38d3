//! Rows of small farms for the tests of what labels say.

use jiff::Timestamp;
use jiff::civil::date;
use jiff::tz::TimeZone;

use crate::farm::{
    Amount, DeliveryFacts, DeliveryKind, Draft, Draw, Event, Farm, LotId, LotName, Moment, NewLot,
    QrForm, Quantity, Settings, Typed, Unit,
};

/// A farm of rows, one a day from 2026-04-20 on.
pub fn farm_of(rows: impl IntoIterator<Item = Event<Typed>>) -> Farm {
    let start = date(2026, 4, 20);
    let drafts = rows.into_iter().zip(0..).map(|(event, days)| Draft {
        when: Moment::day_only(start + jiff::Span::new().days(days)),
        by: None,
        note: None,
        event,
    });
    let recording = Farm::default().record(drafts.collect(), Timestamp::UNIX_EPOCH);
    recording.unwrap().farm
}

pub fn delivery(mark: &str, name: &str) -> Event<Typed> {
    Event::Delivery {
        lot: new(mark),
        amount: grams(50_000),
        facts: Box::new(DeliveryFacts::of(
            DeliveryKind::Bedding,
            name,
            "a secret farm",
        )),
    }
}

pub fn new(mark: &str) -> NewLot<Typed> {
    NewLot {
        code: None,
        mark: mark.parse().ok(),
    }
}

pub fn draw(mark: &str, amount: u64) -> Draw<Typed> {
    Draw {
        lot: LotName::Mark(mark.parse().unwrap()),
        packs: None,
        amount: grams(amount),
    }
}

pub fn grams(value: u64) -> Amount {
    Amount::Weighed(Quantity::new(value, Unit::Grams))
}

pub fn settings(form: QrForm, base: Option<&str>, shed: Option<&str>) -> Settings {
    Settings {
        address: vec!["The Old Drying Shed".to_owned(), "Quay Lane".to_owned()],
        phone: Some("01632 960123".to_owned()),
        form,
        base: base.map(str::to_owned),
        shed: shed.map(str::to_owned),
        ..Settings::of("Marlhythe Wormery", "GB", TimeZone::UTC)
    }
}

pub fn id(farm: &Farm, mark: &str) -> LotId {
    farm.marked(&mark.parse().unwrap()).unwrap()
}
