//! A run that does not meet its plan is held in the step that records it, and released when it is weighed again after
//! having been worked over.

use crate::farm::{
    Draft, Entry, Event, Farm, HoldStep, LotCode, LotId, LotName, Meant, Reach, Recording,
    SHORT_FILLS, Settings, Stamp, Word,
};
use crate::trade::{Measuring, Verdict};

use super::called::called_in_list;
use super::fills_check::{Checked, check};
use crate::farm::phrase::{count, listed};

/// What a run's fills ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Next {
    Hold,
    Release,
    Nothing,
}

/// Adds to what is recorded what it asks for: holds and releases of the runs whose weighings it changes.
///
/// Where these would upset what is recorded already they are left out: that a run was found short is never refused.
pub fn beside(alone: Recording, settings: &Settings, stamp: &Stamp) -> Recording {
    let farm = &alone.farm;
    let runs = weighed(farm, alone.entries()).into_iter();
    let drafts: Vec<Draft> = runs
        .filter_map(|run| draft(farm, &check(farm, settings, run, Measuring::Whole)?, stamp))
        .collect();
    let Some(written) = alone.entries().first().map(|entry| entry.written) else {
        return alone;
    };
    if drafts.is_empty() {
        return alone;
    }
    alone.and(drafts, written).unwrap_or(alone)
}

/// Returns what a run's fills ask for now, to be recorded; `None` where they ask for nothing.
pub fn asked(farm: &Farm, settings: &Settings, run: LotId, stamp: &Stamp) -> Option<Draft> {
    let checked = check(farm, settings, run, Measuring::Whole)?;
    draft(farm, &checked, stamp)
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
    let mut runs = weighed(farm, entries);
    runs.extend(let_go(farm, entries));
    let checked = runs
        .into_iter()
        .filter_map(|run| check(farm, settings, run, Measuring::Whole));
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
                let code = farm.lot(checked.run).code;
                format!("it is not held; hold it with `castlot fills {code} --hold`")
            } else {
                "it is held until it is worked over and weighed again".to_owned()
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

/// Returns the runs whose weighings entries add, replace or strike, each once.
fn weighed(farm: &Farm, entries: &[Entry]) -> Vec<LotId> {
    let touched = entries.iter().chain(struck(farm, entries));
    runs_of(farm, touched, |event| {
        if let Event::Weighing { run, .. } = event {
            return Some(*run);
        }
        None
    })
}

/// Returns the runs whose hold for their fills entries strike: somebody meant to, so that it is only told.
fn let_go(farm: &Farm, entries: &[Entry]) -> Vec<LotId> {
    let struck = struck(farm, entries);
    runs_of(farm, struck, |event| {
        if let Event::Hold { lot, reason, .. } = event {
            let why = reason.said()?;
            return why.starts_with(SHORT_FILLS).then_some(*lot);
        }
        None
    })
}

fn runs_of<'a>(
    farm: &'a Farm,
    entries: impl IntoIterator<Item = &'a Entry>,
    of: impl Fn(&Event<Meant>) -> Option<LotCode>,
) -> Vec<LotId> {
    let mut runs = Vec::new();
    for entry in entries {
        let code = entry.event.as_ref().and_then(&of);
        if let Some(run) = code.and_then(|code| farm.lot_of(code))
            && !runs.contains(&run)
        {
            runs.push(run);
        }
    }
    runs
}

/// Returns the entries that others strike.
fn struck<'a>(farm: &'a Farm, entries: &'a [Entry]) -> impl Iterator<Item = &'a Entry> {
    let strikes = entries.iter().filter_map(|entry| entry.strikes.as_ref());
    strikes.filter_map(|strike| farm.entry(strike.entry))
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
