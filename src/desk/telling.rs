//! One entry told in one line, as a grower would say it. The code of a lot it made stands last.

use crate::farm::{
    BedName, CheckFacts, Clears, Draw, Entry, EntryNumber, Event, Farm, Found, LotCode, Meant,
    NewLot, PackPick, SaleTo, TipTo, Word,
};

use crate::trade::Bean;

use crate::farm::phrase::{count, listed};

/// Tells what an entry says, without its number, its moment and who wrote it.
pub fn told(farm: &Farm, entry: &Entry) -> String {
    let teller = Teller {
        farm,
        entry: entry.number,
    };
    let mut text = match (&entry.event, &entry.strikes) {
        (Some(event), Some(strike)) => {
            format!(
                "in place of entry {}: {}",
                strike.entry,
                teller.event(event)
            )
        }
        (Some(event), None) => teller.event(event),
        (None, Some(strike)) => format!("entry {} struck out: {}", strike.entry, strike.why),
        (None, None) => "nothing".to_owned(),
    };
    if let (Some(_), Some(strike)) = (&entry.event, &entry.strikes) {
        text = with(text, "corrected", Some(&strike.why));
    }
    let note = entry.note.as_ref();
    let note = note.map(|note| format!(" [{note}]")).unwrap_or_default();
    match entry.made() {
        // The code stays last on the line, so that it can be double-clicked.
        Some(code) => format!("{text}{note}: {code}"),
        None => text + &note,
    }
}

/// Tells entries of one farm.
pub struct Teller<'a> {
    pub farm: &'a Farm,
    /// The number of the entry that is told.
    pub entry: EntryNumber,
}

impl Teller<'_> {
    fn event(&self, event: &Event<Meant>) -> String {
        match event {
            Event::Bin { bin, place, facts } => {
                let text = format!("bin {bin} set up at {place}");
                with(text, "for", facts.species.as_ref())
            }
            Event::Delivery { lot, amount, facts } => {
                let (kind, name, from) = (facts.kind, &facts.name, &facts.supplier);
                format!(
                    "{amount} of {name} ({kind}) came from {from}{}",
                    marked(lot)
                )
            }
            Event::Bed {
                lot, bin, takes, ..
            } => {
                let from = self.from(takes);
                format!("{bin} bedded up{from}{}", marked(lot))
            }
            Event::Feed { bed, takes } => {
                format!("{} fed {}", self.bed(bed), self.draws(takes))
            }
            Event::Skip { bed, why } => format!("{} not fed: {why}", self.bed(bed)),
            Event::Check { bed, facts } => {
                format!("{} looked at: {}", self.bed(bed), seen(facts))
            }
            Event::Split {
                bed,
                share,
                to,
                lot,
            } => {
                let bed = self.bed(bed);
                format!("{share} of {bed} split off into {to}{}", marked(lot))
            }
            Event::Tip { bed, to } => {
                let bed = self.bed(bed);
                match to {
                    TipTo::Typed(bin) => format!("{bed} tipped into {bin}"),
                    TipTo::Empty(bin) => format!("{bed} tipped into {bin}, which was empty"),
                    TipTo::Into(into) => format!("{bed} tipped in with {}", self.bed(into)),
                }
            }
            Event::Move { bin, place } => format!("bin {bin} moved to {place}"),
            Event::Sieving { .. } | Event::Blend { .. } | Event::Pack { .. } => self.made(event),
            Event::Test { .. } | Event::Weighing { .. } | Event::Count { .. } => self.found(event),
            Event::Sale { .. }
            | Event::Return { .. }
            | Event::Thrown { .. }
            | Event::Complaint { .. }
            | Event::Settlement { .. } => self.left(event),
            Event::Hold { .. } | Event::Recall { .. } | Event::Print { .. } => self.care(event),
        }
    }

    /// Tells of batches and pack runs.
    fn made(&self, event: &Event<Meant>) -> String {
        match event {
            Event::Sieving {
                lot,
                kind,
                from,
                whole,
                clears,
            } => {
                let beds: Vec<String> = from
                    .iter()
                    .map(|sieved| match sieved.amount {
                        Some(amount) => format!("{} {amount}", self.bed(&sieved.bed)),
                        None => self.bed(&sieved.bed),
                    })
                    .collect();
                let whole = whole.map_or_else(String::new, |amount| format!("{amount} of "));
                let cleared = match clears {
                    Clears::All => ", all cleared".to_owned(),
                    Clears::Named(beds) if beds.is_empty() => String::new(),
                    Clears::Named(beds) if beds.len() == from.len() => ", all cleared".to_owned(),
                    Clears::Named(beds) => {
                        let beds: Vec<String> = beds.iter().map(|bed| self.bed(bed)).collect();
                        format!(", {} cleared", listed(&beds))
                    }
                };
                let beds = listed(&beds);
                format!("{whole}{kind} taken from {beds}{cleared}{}", marked(lot))
            }
            Event::Blend { lot, kind, from } => {
                format!("{kind} mixed{}{}", self.from(from), marked(lot))
            }
            Event::Pack {
                lot,
                product,
                count: number,
                from,
                best_by,
                despite,
            } => {
                let packs = count(*number, product.kind.word(), &format!("{}s", product.kind));
                let (name, net) = (&product.name, product.net);
                let from = self.from(from);
                let text = format!("{packs} of {name} {net} packed{from}{}", marked(lot));
                let text = with(text, "best by", best_by.as_ref());
                with(text, "despite a hold:", despite.as_ref())
            }
            _ => String::new(),
        }
    }

    /// Tells of what was measured.
    fn found(&self, event: &Event<Meant>) -> String {
        match event {
            Event::Test { lot, facts } => {
                let lot = self.lot(*lot);
                let found = match Bean::of(facts) {
                    Some(bean) => bean.to_string(),
                    None => format!(
                        "{} {}",
                        facts.value,
                        facts.unit.as_deref().unwrap_or_default()
                    ),
                };
                let text = format!("{lot} tested: {} {found}", facts.test);
                let result = facts
                    .result
                    .as_ref()
                    .filter(|result| **result != facts.value);
                let text = with(text.trim_end().to_owned(), "result", result);
                let text = with(text, "by", facts.method.as_ref());
                with(text, "at", facts.lab.as_ref())
            }
            Event::Weighing { run, values, tare } => {
                let values: Vec<String> = values.iter().map(ToString::to_string).collect();
                let text = format!("{} measured: {}", self.lot(*run), values.join(", "));
                with(text, "tare", tare.as_ref())
            }
            Event::Count { lot, found, why } => {
                let lot = self.lot(*lot);
                match found {
                    Found::Nothing => format!("{lot} counted: nothing left ({why})"),
                    Found::Some(amount) => format!("{lot} counted: {amount} left ({why})"),
                }
            }
            _ => String::new(),
        }
    }

    /// Writes a lot's mark, or its code where it has none.
    pub fn lot(&self, code: LotCode) -> String {
        let lot = self.farm.lot_of(code).map(|id| self.farm.lot(id));
        lot.and_then(|lot| lot.mark.as_ref())
            .map_or_else(|| code.to_string(), ToString::to_string)
    }

    pub fn bed(&self, bed: &BedName<LotCode>) -> String {
        match bed {
            BedName::Bin(bin) | BedName::Found { bin, .. } => bin.to_string(),
            BedName::Bed(code) => {
                let bin = self
                    .farm
                    .lot_of(*code)
                    .and_then(|id| self.farm.lot(id).bin());
                let bed = self.lot(*code);
                bin.map_or_else(
                    || format!("bed {bed}"),
                    |bin| format!("bed {bed} (in {bin})"),
                )
            }
        }
    }

    pub fn draw(&self, draw: &Draw<Meant>) -> String {
        let lot = self.lot(draw.lot);
        match draw.packs {
            Some(packs) => format!("{lot} #{packs} {}", draw.amount),
            None => format!("{lot} {}", draw.amount),
        }
    }

    fn draws(&self, draws: &[Draw<Meant>]) -> String {
        let draws: Vec<String> = draws.iter().map(|draw| self.draw(draw)).collect();
        draws.join(", ")
    }

    fn from(&self, draws: &[Draw<Meant>]) -> String {
        if draws.is_empty() {
            String::new()
        } else {
            format!(" from {}", self.draws(draws))
        }
    }

    pub fn packs(&self, packs: &[PackPick<Meant>]) -> String {
        let picks: Vec<String> = packs
            .iter()
            .map(|pick| format!("{} {}", self.lot(pick.run), pick.which))
            .collect();
        picks.join(", ")
    }
}

/// Writes who bought, or where: `to a nursery`, `at Quay market`.
pub fn buyer(to: &SaleTo) -> String {
    let at = |market: &Word| format!("at {market}");
    match (&to.buyer, &to.market) {
        (Some(buyer), Some(market)) => format!("to {buyer}, at {market}"),
        (Some(buyer), None) => format!("to {buyer}"),
        (None, market) => market.as_ref().map(at).unwrap_or_default(),
    }
}

/// Writes the mark a lot is made with.
fn marked(lot: &NewLot<Meant>) -> String {
    lot.mark
        .as_ref()
        .map(|mark| format!(", as {mark}"))
        .unwrap_or_default()
}

/// Adds `, label value` where there is a value.
pub fn with(text: String, label: &str, value: Option<impl std::fmt::Display>) -> String {
    match value {
        Some(value) => format!("{text}, {label} {value}"),
        None => text,
    }
}

/// Writes what somebody saw in a bed.
fn seen(facts: &CheckFacts) -> String {
    let said = |label: &str, value: Option<&str>| value.map(|value| format!("{label} {value}"));
    let parts = [
        facts
            .feed_left
            .map(|left| format!("{left} of the feed left")),
        facts.squeeze.map(|squeeze| format!("squeeze {squeeze}")),
        facts
            .moisture
            .as_ref()
            .map(|value| format!("moisture {value}%")),
        facts
            .temperature_c
            .as_ref()
            .map(|value| format!("{value} °C")),
        said("pH", facts.ph.as_deref()),
        said("worms", facts.worms.as_deref()),
        said("cocoons", facts.cocoons.as_deref()),
        said("smell", facts.smell.as_deref()),
        said("pests", facts.pests.as_deref()),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    if parts.is_empty() {
        "nothing noted".to_owned()
    } else {
        parts.join(", ")
    }
}
