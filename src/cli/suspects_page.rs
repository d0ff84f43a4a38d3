//! The page of `castlot suspects`: the calls, the table of suspects, why the first is first, and what to test.

use crate::desk::{called, called_in_list};
use crate::farm::{Farm, LotId};
use crate::trace::Suspect;

use super::call_page::{about, behind};
use super::phrase::{at, count, listed, paragraph, per_cent};
use super::suspects::Inquiry;
use super::suspects_verdict::{test, verdict, verdict_of_test};
use super::table::{Set, Table};

/// What stands over the table.
const WHAT: &str = "What it can have started with, the likeliest first; of the packs sold with it and without it, those complained of; p, how often chance alone does as much; days from it to the calls:";
/// Suspects that are printed without `--all`.
const SHOWN: usize = 10;
/// Suspects of which it is told in words why they rank where they do.
const TOLD: usize = 3;
/// Names in a list; more are counted.
const LISTED: usize = 6;

/// Writes it.
pub fn text(inquiry: &Inquiry) -> String {
    let mut text = head(inquiry);
    let starters: Vec<&Suspect> = inquiry.lineup.starters().collect();
    if !starters.is_empty() {
        text += "\n";
        text += &paragraph(WHAT, 0);
        text += &table(inquiry, &starters);
        text.push('\n');
        for (place, suspect) in starters.iter().take(TOLD).enumerate() {
            let why = why(inquiry, suspect);
            text += &paragraph(&format!("{}. {why}", place + 1), 0);
        }
    }
    text += &format!("\n{}", paragraph(&verdict(inquiry), 0));
    text += &test(inquiry);
    text += &passed_on(inquiry);
    text
}

fn head(inquiry: &Inquiry) -> String {
    let (farm, lineup) = (inquiry.farm, &inquiry.lineup);
    let calls = count(inquiry.calls.len() as u64, "complaint", "complaints");
    let sign = inquiry.sign.map(|sign| format!(" of {}", sign.name));
    let mut text = format!("{calls}{}:\n", sign.unwrap_or_default());
    for call in &inquiry.calls {
        let (name, when, sign) = (&call.name, at(call.entry.when), &call.facts.sign);
        text += &paragraph(&format!("{name}, {when}, {}: {sign}", about(farm, call)), 2);
    }
    let signs: Vec<_> = inquiry.sign.into_iter().collect();
    text += &paragraph(&behind(&signs), 0);
    if let Some(lag) = inquiry.sign.and_then(|sign| sign.lag) {
        let usual = format!(
            "It usually shows {} to {} days after it went in; days in brackets lie outside that.",
            lag.least, lag.most
        );
        text += &paragraph(&usual, 0);
    }
    let sold = count(lineup.sold, "pack", "packs");
    let mut told = format!("{sold} sold, complaints of {} of them", lineup.complained);
    if lineup.perhaps > 0 {
        let calls = count(lineup.perhaps as u64, "call", "calls");
        told += &format!("; {calls} more of which the run is not known, and so not counted");
    }
    text += &paragraph(&format!("{told}."), 0);
    if !inquiry.left_out.is_empty() {
        let names: Vec<String> = inquiry
            .left_out
            .iter()
            .map(|call| call.name.to_string())
            .collect();
        let line = format!("Open, and about something else: {}.", listed(&names));
        text += &paragraph(&line, 0);
    }
    text
}

fn table(inquiry: &Inquiry, suspects: &[&Suspect]) -> String {
    let columns = [
        ("", Set::Number),
        ("lot", Set::Text),
        ("with it", Set::Number),
        ("without", Set::Number),
        ("p", Set::Number),
        ("days", Set::Number),
        ("code", Set::Whole),
    ];
    let mut table = Table::new(&columns);
    let shown = if inquiry.all { suspects.len() } else { SHOWN };
    for (place, suspect) in suspects.iter().take(shown).enumerate() {
        let odds = suspect.odds;
        table.row(vec![
            (place + 1).to_string(),
            called(inquiry.farm, suspect.lot),
            format!("{} of {}", odds.exposed_complained, odds.exposed()),
            format!("{} of {}", odds.unexposed_complained, odds.unexposed()),
            chance(suspect.p),
            days(suspect),
            inquiry.farm.lot(suspect.lot).code.to_string(),
        ]);
    }
    let mut text = table.to_string();
    let more = suspects.len().saturating_sub(shown);
    if more > 0 {
        text += &format!("  and {more} more, with `--all`\n");
    }
    text
}

/// Writes the days from what went in to the calls; in brackets where that is not a usual time.
fn days(suspect: &Suspect) -> String {
    let Some((least, most)) = suspect.days else {
        return String::new();
    };
    let days = if least == most {
        least.to_string()
    } else {
        format!("{least}-{most}")
    };
    if suspect.is_in_time() {
        days
    } else {
        format!("({days})")
    }
}

/// Writes a chance to two places that say something.
pub(super) fn chance(p: f64) -> String {
    if p < 0.000_1 {
        "<0.0001".to_owned()
    } else if p < 0.001 {
        format!("{p:.4}")
    } else if p < 0.1 {
        format!("{p:.3}")
    } else {
        format!("{p:.2}")
    }
}

/// Tells in words why a suspect ranks where it does.
pub fn why(inquiry: &Inquiry, suspect: &Suspect) -> String {
    let odds = suspect.odds;
    let mut parts = vec![met(inquiry, suspect)];
    if odds.exposed_complained > 0 {
        let rate = |rate: Option<f64>| rate.map_or_else(|| "none there are".to_owned(), per_cent);
        parts.push(format!(
            "complaints of {} of the packs with it and {} of those without",
            rate(odds.rate_exposed()),
            rate(odds.rate_unexposed())
        ));
        parts.push(format!("p {}", chance(suspect.p)));
    }
    parts.extend(went_in(inquiry, suspect));
    let (whichever, some) = suspect.perhaps;
    if some > 0 {
        let calls = count(some as u64, "call", "calls");
        parts.push(format!(
            "perhaps behind {calls} more ({whichever} of them whichever run was meant)"
        ));
    }
    if let Some(found) = verdict_of_test(inquiry, suspect.lot) {
        parts.push(found);
    }
    let same: Vec<LotId> = inquiry
        .lineup
        .same_as(suspect)
        .map(|other| other.lot)
        .collect();
    if !same.is_empty() {
        let names = some_names(inquiry.farm, &same);
        parts.push(format!("in just the same packs as {names}"));
    }
    format!(
        "{}: {}.",
        called(inquiry.farm, suspect.lot),
        parts.join("; ")
    )
}

/// Tells how long before the calls it went in, and whether that is usual.
fn went_in(inquiry: &Inquiry, suspect: &Suspect) -> Option<String> {
    let (least, most) = suspect.days?;
    let days = if least == most {
        count(u64::try_from(least).unwrap_or_default(), "day", "days")
    } else {
        format!("{least} to {most} days")
    };
    let usual = match (inquiry.sign.and_then(|sign| sign.lag), suspect.is_in_time()) {
        (None, _) => "and any time will do",
        (Some(_), true) => "within the usual time",
        (Some(_), false) => "not within the usual time",
    };
    Some(format!("went in {days} before the calls, {usual}"))
}

/// Tells how many of the packs complained of have it.
fn met(inquiry: &Inquiry, suspect: &Suspect) -> String {
    let (met, all) = (suspect.odds.exposed_complained, inquiry.lineup.complained);
    match (met, all) {
        (_, 0) => "no pack is known that was complained of".to_owned(),
        (1, 1) => "it reached the pack complained of".to_owned(),
        (2, 2) => "it reached both packs complained of".to_owned(),
        (met, all) if met == all => format!("it reached all {all} packs complained of"),
        (met, all) => format!("it reached {met} of {all} packs complained of"),
    }
}

pub(super) fn some_names(farm: &Farm, lots: &[LotId]) -> String {
    let more = lots.len().saturating_sub(LISTED);
    let shown = if more == 1 { lots.len() } else { LISTED };
    let mut names: Vec<String> = lots
        .iter()
        .take(shown)
        .map(|lot| called_in_list(farm, *lot))
        .collect();
    if more > 1 {
        names.push(format!("{more} more"));
    }
    listed(&names)
}

/// Tells of beds and batches that can only have passed it on.
fn passed_on(inquiry: &Inquiry) -> String {
    let others = inquiry.lineup.suspects.iter().filter(|one| !one.can_start);
    let others: Vec<&Suspect> = others.collect();
    if others.is_empty() {
        return String::new();
    }
    let number = count(others.len() as u64, "lot", "lots");
    if inquiry.all {
        let table = table(inquiry, &others);
        return format!("\n{number} upstream that can only have passed it on:\n{table}");
    }
    let line = format!(
        "{number} more upstream, beds, batches and other deliveries, can only have passed it on; see them with `--all`."
    );
    format!("\n{}", paragraph(&line, 0))
}
