//! The words of tags that stay in the shed: on deliveries, batches and held lots.

use crate::farm::{
    Amount, BedName, DeliveryFacts, DeliveryKind, Event, Farm, HaySprayed, HeatTreated, LotCode,
    LotId, Meant, Settings, Sieved,
};

use super::field::{Content, Field};
use super::made_from::capital;
use super::quantity::spaced;
use super::scan_text::of_lot;
use super::span::spans;
use super::standing::{Standing, Stop};

/// What growers ask of a manure (common practice, no source). What nobody said yet is a line to write on.
const MANURE_QUESTIONS: [Field; 8] = [
    Field::Animal,
    Field::HayFrom,
    Field::HaySprayed,
    Field::Wormer,
    Field::Age,
    Field::Heated,
    Field::Said,
    Field::Sample,
];

/// Writes the words of a delivery's or a batch's tag.
pub fn of_tag(farm: &Farm, id: LotId, standing: &Standing, settings: &Settings) -> Content {
    let lot = farm.lot(id);
    let mut content = named(farm, id, settings);
    content.say(Field::Kind, Some(capital(lot.sort.word())));
    content.say(Field::Amount, lot.made.map(amount));
    content.say(Field::Hold, standing.stop(id).map(|stop| stop.line));
    match farm.making(id) {
        Event::Delivery { facts, .. } => {
            content.say(Field::Received, Some(lot.when.day()));
            say_delivery(&mut content, facts);
        }
        Event::Sieving { from, .. } => {
            content.say(Field::Made, Some(lot.when.day()));
            content.say(Field::From, Some(beds(farm, from)));
        }
        Event::Blend { from, .. } => {
            content.say(Field::Made, Some(lot.when.day()));
            let lots = from.iter().map(|draw| called(farm, draw.lot)).collect();
            content.say(Field::From, Some(spans(lots)));
        }
        _ => {}
    }
    content
}

/// Writes the words of a hold tag.
pub fn of_hold(farm: &Farm, id: LotId, stop: &Stop, settings: &Settings) -> Content {
    let mut content = named(farm, id, settings);
    content.say(Field::HoldOn, Some(hold_on(farm, id)));
    content.say(Field::HoldSince, Some(stop.since.day()));
    content.say(Field::HoldReason, Some(capital(&stop.reason)));
    content.say(Field::Hold, Some(&stop.line));
    content
}

fn named(farm: &Farm, id: LotId, settings: &Settings) -> Content {
    let lot = farm.lot(id);
    let mut content = Content {
        name: lot.code.to_string(),
        qr: Some(of_lot(farm, id, None, settings)),
        ..Content::default()
    };
    content.say(Field::Lot, Some(lot.code));
    content.say(Field::Code, Some(lot.code));
    content.say(Field::Ref, lot.mark.as_ref());
    content.say_farm(settings);
    content
}

fn hold_on(farm: &Farm, id: LotId) -> String {
    let lot = farm.lot(id);
    match farm.making(id) {
        Event::Delivery { facts, .. } => format!("Delivery: {}", facts.name),
        Event::Pack { product, count, .. } => format!("Packs: {count} of {}", product.name),
        Event::Sieving { from, .. } => {
            format!("{} of {}", capital(lot.sort.word()), beds(farm, from))
        }
        Event::Bed { .. } | Event::Split { .. } => match lot.bin() {
            Some(bin) => format!("Bed in {bin}"),
            None => "Bed".to_owned(),
        },
        _ => {
            let mark = lot.mark.as_ref().map(ToString::to_string);
            let kind = Some(capital(lot.sort.word()));
            joined([kind, mark]).unwrap_or_default()
        }
    }
}

fn say_delivery(content: &mut Content, facts: &DeliveryFacts) {
    content.say(Field::Name, Some(capital(&facts.name)));
    content.say(Field::Animal, facts.animal.as_deref().map(capital));
    content.say(Field::HayFrom, facts.hay_from.as_deref().map(capital));
    content.say(Field::HaySprayed, facts.hay_sprayed.map(HaySprayed::word));
    let wormed = facts.wormed_on.map(|day| day.to_string());
    let wormer = facts.wormer.as_deref().map(capital);
    content.say(Field::Wormer, joined([wormer, wormed]));
    let age = facts.age_days.map(|days| match days {
        1 => "1 day".to_owned(),
        days => format!("{days} days"),
    });
    content.say(Field::Age, age);
    content.say(Field::Heated, facts.heat_treated.map(HeatTreated::word));
    let said = facts.said_by.as_ref().map(|word| word.to_string());
    let day = facts.said_on.map(|day| day.to_string());
    content.say(Field::Said, joined([said, day]));
    content.say(Field::Sample, facts.kept_sample.as_deref().map(capital));
    if facts.kind == DeliveryKind::Manure {
        content.blanks = MANURE_QUESTIONS.into_iter().collect();
    }
}

fn joined(parts: [Option<String>; 2]) -> Option<String> {
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Writes an amount with its doubt: `480 kg`, `about 44.5 kg`, `not weighed`.
fn amount(amount: Amount) -> String {
    match amount {
        Amount::Weighed(quantity) => spaced(quantity),
        Amount::Guess(quantity) => format!("about {}", spaced(quantity)),
        Amount::Unknown => "not weighed".to_owned(),
    }
}

/// Writes the bins of the beds that were sieved.
fn beds(farm: &Farm, from: &[Sieved<Meant>]) -> String {
    let bins = from.iter().map(|sieved| match sieved.bed {
        BedName::Bin(bin) | BedName::Found { bin, .. } => bin.to_string(),
        BedName::Bed(code) => called(farm, code),
    });
    spans(bins.collect())
}

/// Returns what people in the shed call a lot: its mark, else its code.
fn called(farm: &Farm, code: LotCode) -> String {
    let mark = farm.lot_of(code).and_then(|id| farm.lot(id).mark.as_ref());
    mark.map_or_else(|| code.to_string(), |mark| mark.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::QrForm;
    use crate::label::example::{farm_of, grams, id, new, settings};

    fn tag(kind: DeliveryKind, said: impl Fn(&mut DeliveryFacts)) -> Content {
        let mut facts = DeliveryFacts::of(kind, "a load", "a yard");
        said(&mut facts);
        let delivery = Event::Delivery {
            lot: new("load-1"),
            amount: grams(1000),
            facts: Box::new(facts),
        };
        let farm = farm_of([delivery]);
        let settings = settings(QrForm::Text, None, None);
        let standing = Standing::of(&farm);
        of_tag(&farm, id(&farm, "load-1"), &standing, &settings)
    }

    #[test]
    fn what_nobody_said_of_a_manure_is_left_to_be_written_on_its_tag() {
        let content = tag(DeliveryKind::Manure, |facts| {
            facts.hay_from = Some("own meadow".into());
            facts.kept_sample = Some("jar 3".into());
        });
        assert_eq!(content.fields[&Field::HayFrom], "Own meadow");
        assert_eq!(content.fields[&Field::Sample], "Jar 3");
        assert!(!content.fields.contains_key(&Field::Wormer));
        assert!(content.blanks.has(Field::Wormer));
    }

    #[test]
    fn nothing_is_asked_of_a_bale_of_straw() {
        let content = tag(DeliveryKind::Bedding, |_| ());
        assert_eq!(content.blanks.fields().count(), 0);
    }
}
