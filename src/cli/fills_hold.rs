//! A run that does not meet its plan is held in the step that records it, and released when it is weighed again after
//! having been worked over.

use crate::farm::{
    Draft, Entry, Event, Farm, HoldStep, LotId, LotName, Reach, Recording, SHORT_FILLS, Settings,
    Stamp, Word,
};
use crate::trade::{Measuring, Verdict};

use super::failure::Failure;
use super::fills_check::{Checked, check};
use super::named::called_in_list;
use super::phrase::{count, listed};
use super::shed::Shed;

/// What a run's fills ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Next {
    Hold,
    Release,
    Nothing,
}

/// Returns what is to be recorded beside new entries: holds and releases of the runs they weigh.
pub fn following(recording: &Recording, settings: &Settings, stamp: &Stamp) -> Vec<Draft> {
    let runs = weighed(&recording.farm, recording.entries());
    let drafts = runs.into_iter();
    drafts
        .filter_map(|run| {
            let checked = check(&recording.farm, settings, run, Measuring::Whole)?;
            draft(&recording.farm, &checked, stamp)
        })
        .collect()
}

/// Records the drafts with what follows on them, or without where that would upset what is recorded already: that a run
/// was found short is never refused.
pub fn with(alone: Recording, more: Vec<Draft>) -> Recording {
    let Some(written) = alone.entries().first().map(|entry| entry.written) else {
        return alone;
    };
    alone.and(more, written).unwrap_or(alone)
}

/// Records what a run's fills ask for now, for `castlot fills --hold`; `false` where they ask for nothing.
pub fn now(shed: &Shed, settings: &Settings, run: LotId) -> Result<bool, Failure> {
    let stamp = shed.stamp(settings);
    let mut asked = true;
    let recording = shed.write(settings, |farm| {
        let checked = check(farm, settings, run, Measuring::Whole);
        let draft = checked.and_then(|checked| draft(farm, &checked, &stamp));
        asked = draft.is_some();
        let drafts = draft.into_iter().collect();
        farm.record(drafts, shed.now)
            .map_err(super::write_down::refused)
    })?;
    if asked {
        shed.tell(&recording)?;
    }
    Ok(asked)
}

/// Returns the runs that do not meet their rule, have packs in store, and are not held.
pub fn overlooked<'a, 'f>(farm: &Farm, all: &'a [Checked<'f>]) -> Vec<&'a Checked<'f>> {
    let overlooked = all.iter().filter(|checked| {
        let lot = farm.lot(checked.run);
        let in_store = lot.shelf.as_ref().is_some_and(|shelf| shelf.in_store() > 0);
        checked.verdict() == Verdict::DoesNotMeet && in_store && !lot.is_held()
    });
    overlooked.collect()
}

/// Says that so many runs were overlooked; nothing where none was.
pub fn told_of_overlooked(runs: usize) -> Option<String> {
    match runs {
        0 => None,
        1 => Some("1 run in store does not meet its rule and is not held".to_owned()),
        runs => Some(format!(
            "{runs} runs in store do not meet their rule and are not held"
        )),
    }
}

/// Says how the runs that entries weigh now stand, a line each.
pub fn words(farm: &Farm, entries: &[Entry], settings: &Settings) -> Vec<String> {
    let runs = weighed(farm, entries).into_iter();
    let checked = runs.filter_map(|run| check(farm, settings, run, Measuring::Whole));
    checked
        .flat_map(|checked| [unread(farm, &checked), Some(word(farm, &checked))])
        .flatten()
        .collect()
}

fn unread(farm: &Farm, checked: &Checked<'_>) -> Option<String> {
    let unread = checked.fills.unread;
    (unread > 0).then(|| {
        let (run, net) = (called_in_list(farm, checked.run), checked.product.net);
        let values = count(unread, "value is", "values are");
        format!(
            "warning: {run}: {values} left out, in units that no test turns into those of {net}"
        )
    })
}

fn word(farm: &Farm, checked: &Checked<'_>) -> String {
    let run = called_in_list(farm, checked.run);
    let (plan, measured) = (checked.rule.called(), checked.measured());
    let (short, others) = farm.holds_for_fills(checked.run);
    match checked.verdict() {
        Verdict::Meets if !others.is_empty() => {
            format!("note: {run} meets {plan} ({measured}); it is held for another reason")
        }
        Verdict::Meets => format!("note: {run} meets {plan} ({measured})"),
        Verdict::DoesNotMeet => {
            let wrong = listed(&checked.wrong());
            let held = if short.is_empty() {
                "it could not be held"
            } else {
                "it is held until it is worked over and weighed again"
            };
            format!("warning: {run} does not meet {plan} ({wrong}); {held}")
        }
        Verdict::TooFew { more } => {
            let held = if short.is_empty() { "" } else { " and held" };
            let more = count(more, "pack is", "packs are");
            format!("note: {run}: {measured}{held}; {more} left to measure")
        }
    }
}

/// Returns the runs that entries weigh, each once.
fn weighed(farm: &Farm, entries: &[Entry]) -> Vec<LotId> {
    let mut runs = Vec::new();
    for entry in entries {
        if let Some(Event::Weighing { run, .. }) = &entry.event
            && let Some(run) = farm.lot_of(*run)
            && !runs.contains(&run)
        {
            runs.push(run);
        }
    }
    runs
}

fn next(farm: &Farm, checked: &Checked<'_>) -> Next {
    let (short, others) = farm.holds_for_fills(checked.run);
    match checked.verdict() {
        Verdict::DoesNotMeet if short.is_empty() => Next::Hold,
        // A release ends every hold of the lot, so one for another reason is left to a person.
        Verdict::Meets if !short.is_empty() && others.is_empty() => Next::Release,
        Verdict::Meets | Verdict::DoesNotMeet | Verdict::TooFew { .. } => Next::Nothing,
    }
}

fn draft(farm: &Farm, checked: &Checked<'_>, stamp: &Stamp) -> Option<Draft> {
    let measured = checked.measured();
    let (step, reason) = match next(farm, checked) {
        Next::Nothing => return None,
        Next::Hold => (
            HoldStep::Hold(Reach::Parts),
            format!("{SHORT_FILLS}: {}, {measured}", listed(&checked.wrong())),
        ),
        Next::Release => (
            HoldStep::Release,
            format!(
                "weighed again, and meets {}: {measured}",
                checked.rule.called()
            ),
        ),
    };
    Some(Draft {
        when: stamp.now,
        by: stamp.by.clone(),
        note: None,
        event: Event::Hold {
            lot: LotName::Code(farm.lot(checked.run).code),
            step,
            reason: Word::of(&reason)?,
        },
    })
}
