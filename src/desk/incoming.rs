//! What is written beside a row because castlot.toml says so: a hold on what comes in, and its release by the test it
//! waited for. In the same transaction as the row, or not at all.
//!
//! Only rows recorded here have this; an import writes what its sheets say and nothing else.

use jiff::Timestamp;

use crate::farm::{
    Draft, Entry, Event, Farm, HoldSetting, HoldStep, LotId, LotName, Problem, Reach, Recording,
    Typed, Word,
};
use crate::trace::{due, is_held_for_the_test_alone, is_incoming, tested};
use crate::trade::{BEAN, Bean, passed};

use super::called::called;

/// Adds to a recording what the farm's settings say goes with it.
pub fn with_holds(
    recording: Recording,
    setting: &HoldSetting,
    written: Timestamp,
) -> Result<Recording, Vec<Problem>> {
    let farm = &recording.farm;
    let new = recording.entries().iter();
    let drafts: Vec<Draft> = new
        .filter_map(|entry| {
            let event = put_on(farm, entry, setting).or_else(|| let_go(farm, entry, setting))?;
            Some(Draft {
                when: entry.when,
                by: entry.by.clone(),
                note: None,
                event,
            })
        })
        .collect();
    if drafts.is_empty() {
        return Ok(recording);
    }
    recording.and(drafts, written)
}

/// Returns the hold on a delivery that has just come in.
fn put_on(farm: &Farm, entry: &Entry, setting: &HoldSetting) -> Option<Event<Typed>> {
    let Some(Event::Delivery { lot, .. }) = &entry.event else {
        return None;
    };
    let delivery = farm.lot(farm.lot_of(lot.code)?);
    let day = due(delivery, setting);
    let reason = format!("until a {} test is recorded, due {day}", setting.until);
    is_incoming(delivery, setting).then_some(Event::Hold {
        lot: LotName::Code(lot.code),
        step: HoldStep::Hold(Reach::Parts),
        reason: Word::of(&reason)?,
    })
}

/// Returns the release of a delivery that waited for just this test, where the test was passed.
fn let_go(farm: &Farm, entry: &Entry, setting: &HoldSetting) -> Option<Event<Typed>> {
    let Some(Event::Test { lot, facts }) = &entry.event else {
        return None;
    };
    let delivery = farm.lot(farm.lot_of(*lot)?);
    let awaited = facts.test.eq_ignore_ascii_case(&setting.until)
        && is_incoming(delivery, setting)
        && is_held_for_the_test_alone(delivery);
    let reason = match Bean::of(facts) {
        Some(bean) => format!("{BEAN} test recorded: {bean}"),
        None => format!("{} test recorded: passed", facts.test),
    };
    (awaited && passed(facts)?).then_some(Event::Hold {
        lot: LotName::Code(*lot),
        step: HoldStep::Release,
        reason: Word::of(&reason)?,
    })
}

/// Tells of deliveries that an import has written and that nothing holds, though others of their kind wait for a test.
///
/// What is used up is past holding.
pub fn not_held(farm: &Farm, entries: &[Entry], setting: &HoldSetting) -> Option<String> {
    let made = entries.iter().filter_map(Entry::made);
    let lots = made.filter_map(|code| farm.lot_of(code));
    let waits = |id: &LotId| {
        let lot = farm.lot(*id);
        let is_left = lot.stock.left().is_none_or(|left| left.value() > 0);
        is_incoming(lot, setting)
            && is_left
            && !lot.is_held()
            && tested(farm, *id, &setting.until).is_none_or(|found| !found.passed)
    };
    let names: Vec<String> = lots
        .filter(waits)
        .map(|id| farm.lot(id).code.to_string())
        .collect();
    (!names.is_empty()).then(|| {
        format!(
            "castlot.toml holds what comes in until a {} test is recorded; an import holds nothing by itself: `castlot hold {} --why WHY`",
            setting.until,
            names.join(" ")
        )
    })
}

/// Returns what a person is told of it, a line each.
pub fn told(farm: &Farm, entries: &[Entry], setting: &HoldSetting) -> Vec<String> {
    let mut lines = Vec::new();
    for entry in entries {
        match &entry.event {
            Some(Event::Delivery { lot, .. }) => {
                let Some(id) = farm.lot_of(lot.code) else {
                    continue;
                };
                if is_incoming(farm.lot(id), setting) && farm.lot(id).is_held() {
                    let (name, test) = (called(farm, id), &setting.until);
                    let day = due(farm.lot(id), setting);
                    lines.push(format!(
                        "{name} is on hold until a {test} test is recorded: {test} test due {day}"
                    ));
                }
            }
            Some(Event::Test { lot, facts }) if facts.test.eq_ignore_ascii_case(&setting.until) => {
                let Some(id) = farm.lot_of(*lot) else {
                    continue;
                };
                let seen = Bean::of(facts).map(|bean| format!(": {bean}"));
                let seen = seen.unwrap_or_default();
                let name = called(farm, id);
                let lot = farm.lot(id);
                lines.extend(match (lot.is_held(), passed(facts)) {
                    (true, Some(false)) => Some(format!("{name} stays on hold{seen}")),
                    (true, Some(true)) => Some(format!(
                        "{name} stays on hold for another reason{seen}; if it can be let go, `castlot release {} --why WHY`",
                        lot.code
                    )),
                    (false, Some(true)) if !lot.holds.is_empty() => {
                        Some(format!("{name} is released{seen}"))
                    }
                    (_, _) => None,
                });
            }
            _ => {}
        }
    }
    lines
}
