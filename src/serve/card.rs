//! A bed as one sees it at the rack: what it is, what it had, what is due, and the one tap that says it was fed.

use jiff::civil::Date;

use crate::desk::telling::told;
use crate::farm::{BinCode, Entry, Event, Farm, LotId, Quantity};
use crate::trade::{Due, FeedWhy, Floor, Stop, lot_name, short_species};

use super::in_use::{Feed, InUse};
use super::today::Rack;

/// A bed, in words.
pub struct Card {
    /// The bin it is in.
    pub bin: String,
    /// Its code.
    pub code: String,
    /// Its species, in short.
    pub species: String,
    /// How old it is.
    pub age: String,
    /// How densely it is stocked, where that is known.
    pub stocking: Option<&'static str>,
    /// What is to be done.
    pub to_do: String,
    /// Why.
    pub why: String,
    /// Whether that is now.
    pub is_due: bool,
    /// Holds and recalls that reach it.
    pub alerts: Vec<String>,
    /// Readings out of range.
    pub looks: Vec<String>,
    /// Its last feeds, the newest first.
    pub feeds: Vec<FeedLine>,
    /// What was found of the last.
    pub left: Option<String>,
    /// What was written of it today.
    pub today: Vec<String>,
    /// What it would be fed from.
    pub lot: Option<Feed>,
    /// What one tap says.
    pub tap: Option<Tap>,
    /// An amount to begin with, where another is given.
    pub amount: String,
}

/// A feed that was given.
pub struct FeedLine {
    /// How long ago.
    pub ago: String,
    /// How much.
    pub amount: String,
    /// Of what.
    pub of: String,
}

/// A feed that one tap says was given.
pub struct Tap {
    /// As it is written down.
    pub takes: String,
    /// As it is read.
    pub words: String,
}

impl Card {
    /// Says what there is to say of a bed.
    pub fn of(rack: Rack<'_>, stop: &Stop, in_use: &InUse) -> Self {
        let (farm, day) = (rack.farm, rack.today.day);
        let lot = in_use.lot.or(stop.give.lot);
        let amount = stop.give.amount;
        let tap = lot
            .zip(amount)
            .filter(|(lot, amount)| fits(farm, *lot, *amount));
        Self {
            bin: stop.bin.to_string(),
            code: farm.lot(stop.bed).code.to_string(),
            species: short_species(stop.species.as_deref().unwrap_or("worms")),
            age: days(stop.days),
            stocking: stocking(rack, stop),
            to_do: apart(&stop.to_do(farm)),
            why: why(stop, day),
            is_due: stop.is_due(),
            alerts: rack.today.alerts(stop.bed).to_vec(),
            looks: super::looks::of(farm, stop),
            feeds: feeds(farm, stop, day),
            left: stop
                .left
                .map(|(left, on)| format!("Food left: {left}, looked {}", ago(on, day))),
            today: rack
                .visits(stop)
                .into_iter()
                .map(|place| line(farm, place, stop.bin))
                .collect(),
            lot: lot.map(|lot| Feed::of(farm, lot)),
            tap: tap.map(|(lot, amount)| Tap::of(farm, lot, amount)),
            amount: amount.map(spaced).unwrap_or_default(),
        }
    }
}

impl Tap {
    fn of(farm: &Farm, lot: LotId, amount: Quantity) -> Self {
        Self {
            takes: format!("{} {amount}", farm.lot(lot).code),
            words: format!("{} of {}", spaced(amount), lot_name(farm, lot)),
        }
    }
}

/// Tells whether an amount is in the unit in which a lot is counted; an amount from another feed may not be.
fn fits(farm: &Farm, lot: LotId, amount: Quantity) -> bool {
    let unit = farm.lot(lot).stock.unit;
    unit.is_none_or(|unit| unit == amount.unit())
}

/// Writes an amount as it is read: `300 g`.
fn spaced(amount: Quantity) -> String {
    let text = amount.to_string();
    let unit = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
    let (number, unit) = text.split_at(unit);
    format!("{number} {unit}").trim_end().to_owned()
}

fn stocking(rack: Rack<'_>, stop: &Stop) -> Option<&'static str> {
    let standing = rack.farm.bins().get(&stop.bin)?.standing.as_ref()?;
    let floor = Floor {
        length_mm: standing.facts.length_mm?,
        width_mm: standing.facts.width_mm?,
        depth_mm: standing.facts.depth_mm,
    };
    let word = floor.stocking(rack.today.worms(stop.bed)?)?.word();
    Some(match word {
        "usual" => return None,
        word => word,
    })
}

fn feeds(farm: &Farm, stop: &Stop, day: Date) -> Vec<FeedLine> {
    let feeds = stop.feeds(farm).into_iter();
    feeds
        .map(|fed| FeedLine {
            ago: ago(fed.day, day),
            amount: apart(&fed.amount),
            of: fed.of.join(", "),
        })
        .collect()
}

/// Writes what was written of a bed, and under which number.
fn line(farm: &Farm, place: usize, bin: BinCode) -> String {
    let entry = &farm.entries()[place];
    format!("{}, entry {}", said_at(farm, entry, bin), entry.number)
}

/// Tells an entry to whoever stands at its bin, and needs not be told which bed that is.
pub fn said_at(farm: &Farm, entry: &Entry, bin: BinCode) -> String {
    if let Some(Event::Skip { why, .. }) = &entry.event {
        return format!("skipped: {why}");
    }
    let said = told(farm, entry);
    let here = format!("(in {bin}) ");
    let rest = said
        .split_once(&here)
        .filter(|(bed, _)| bed.starts_with("bed "));
    apart(rest.map_or(&*said, |(_, rest)| rest))
}

/// Says why something is due, to whoever has the last feeds before their eyes.
fn why(stop: &Stop, day: Date) -> String {
    match &stop.due {
        Due::Feed {
            because: FeedWhy::Interval { days: 1, .. },
        } => "due daily".to_owned(),
        Due::Feed {
            because: FeedWhy::Interval { days, .. },
        } => format!("due every {days} days"),
        Due::Feed {
            because: FeedWhy::New { .. },
        } => "a new bed".to_owned(),
        Due::Feed {
            because: FeedWhy::Cleared { .. },
        }
        | Due::Look { .. }
        | Due::NotYet { .. } => stop.why_in_days(day),
    }
}

/// Sets a space between number and unit wherever one is missing: `730g` reads as one word in bad light.
pub fn apart(text: &str) -> String {
    let words = text.split(' ').map(|word| {
        let number = word.trim_start_matches('~');
        let unit = number.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
        let bare = unit.trim_end_matches([';', ',', '.']);
        let is_amount = unit.len() < number.len() && ["g", "kg", "mL", "L"].contains(&bare);
        match is_amount {
            true => format!("{} {unit}", &word[..word.len() - unit.len()]),
            false => word.to_owned(),
        }
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Writes how long ago a day was.
pub fn ago(then: Date, day: Date) -> String {
    match (day - then).get_days() {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        days => format!("{days} days ago"),
    }
}

fn days(days: i32) -> String {
    match days {
        1 => "1 day old".to_owned(),
        days => format!("{days} days old"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_set_apart_and_marks_are_left_alone() {
        let text = "feed ~730g mix-110 of 2.805kg; 20L, 5mL, 40, R2/S1/P3, 12kgs";
        let apart_text = "feed ~730 g mix-110 of 2.805 kg; 20 L, 5 mL, 40, R2/S1/P3, 12kgs";
        assert_eq!(apart(text), apart_text);
        assert_eq!(apart(apart_text), apart_text);
    }
}
