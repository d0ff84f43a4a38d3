//! A label of a pack that has a good one already: printed again only with a reason.

use crate::desk::mark_or_code;
use crate::farm::{Farm, LotId, Serial, SerialRange, Settings};
use crate::label::{Order, Subject, all_packs, counts, ranges, templates_of_product};

use super::failure::Failure;
use super::voice;

/// Whether a second label of a pack is meant.
#[derive(Debug, clap::Args)]
pub struct Again {
    /// Print labels again of packs that have a good one by `castlot reconcile`; says why.
    #[arg(long, requires = "why")]
    pub again: bool,
    /// Why they are printed again.
    #[arg(long, value_name = "WHY", requires = "again")]
    pub why: Option<String>,
}

/// Packs of a run that have a good label of a template.
struct Confirmed {
    run: LotId,
    template: String,
    packs: Vec<SerialRange>,
    /// Those that were asked for and have none.
    others: Vec<SerialRange>,
    entry: u32,
}

impl Again {
    /// Refuses an order of labels that packs have already, unless it says why; with a reason, says how to count them.
    pub fn judge(
        &self,
        order: &Order,
        farm: &Farm,
        settings: &Settings,
        despite: Option<&str>,
    ) -> Result<(), Failure> {
        let confirmed = confirmed(order, farm, settings);
        let despite = despite.map_or_else(String::new, |why| format!(" --despite {}", quoted(why)));
        let Some(why) = self.why.as_deref().filter(|_| self.again) else {
            refuse(farm, &confirmed)?;
            if !despite.is_empty() {
                say_how_to_count(order, farm, &despite);
            }
            return Ok(());
        };
        for found in &confirmed {
            let (run, packs) = (mark_or_code(farm, found.run), listed(&found.packs));
            let template = &found.template;
            voice::note(format!(
                "note: when they are out: `castlot reconcile {run} --template {template} --printed {packs} --again \
                 --why {}{despite}`",
                quoted(why)
            ));
        }
        Ok(())
    }
}

/// Says how the reason for labelling a stopped run gets into the diary: when its labels are counted.
fn say_how_to_count(order: &Order, farm: &Farm, despite: &str) {
    let template = order.template.as_ref();
    let template = template.map_or_else(String::new, |name| format!(" --template {name}"));
    for subject in &order.subjects {
        if let Subject::Packs(run, range) = subject {
            let packs = range.map_or_else(|| "all".to_owned(), |range| range.to_string());
            let run = mark_or_code(farm, *run);
            voice::note(format!(
                "note: when they are out: `castlot reconcile {run}{template} --printed {packs}{despite}`"
            ));
        }
    }
}

/// Writes a text as it is typed.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "'"))
}

fn refuse(farm: &Farm, confirmed: &[Confirmed]) -> Result<(), Failure> {
    let Some(first) = confirmed.first() else {
        return Ok(());
    };
    let texts = confirmed.iter().map(|found| {
        let (run, (packs, have)) = (mark_or_code(farm, found.run), packs(&found.packs));
        let (template, entry) = (&found.template, found.entry);
        format!("{packs} of {run} {have} a good `{template}` label already (entry {entry})")
    });
    let mut failure = Failure::refused_for(texts);
    let run = mark_or_code(farm, first.run);
    for range in &first.others {
        failure.hint_once(format!(
            "those without one: `castlot label {run}/{range} --template {}`",
            first.template
        ));
    }
    failure.hint_once(format!(
        "to print them again: `castlot label {run} --again --why \"label rubbed off\"`"
    ));
    Err(failure)
}

fn confirmed(order: &Order, farm: &Farm, settings: &Settings) -> Vec<Confirmed> {
    let mut found = Vec::new();
    for subject in &order.subjects {
        let Subject::Packs(run, range) = subject else {
            continue;
        };
        let made = farm
            .lot(*run)
            .shelf
            .as_ref()
            .map_or(0, |shelf| shelf.made());
        let Some(range) = range.or_else(|| all_packs(made)) else {
            continue;
        };
        let counted = counts(farm, *run);
        let own = || {
            farm.product(*run)
                .map(|p| templates_of_product(settings, p))
        };
        let names = order.template.clone().map(|name| vec![name]).or_else(own);
        for template in names.unwrap_or_default() {
            let Some(count) = counted.get(&template) else {
                continue;
            };
            let has = |serial: &Serial| count.confirmed(*serial).is_some();
            let packs = ranges(range.serials().filter(has));
            let entry = packs.last().and_then(|last| count.confirmed(last.last()));
            found.extend(entry.map(|entry| Confirmed {
                run: *run,
                template,
                packs,
                others: ranges(range.serials().filter(|serial| !has(serial))),
                entry,
            }));
        }
    }
    found
}

/// Writes which packs, and what follows them: `pack 2` has, `packs 1-4,7` have.
pub fn packs(ranges: &[SerialRange]) -> (String, &'static str) {
    match ranges {
        [only] if only.count() == 1 => (format!("pack {only}"), "has"),
        several => (format!("packs {}", listed(several)), "have"),
    }
}

/// Writes ranges as `--printed` takes them: `1-4,7`.
pub fn listed(ranges: &[SerialRange]) -> String {
    let texts: Vec<_> = ranges.iter().map(ToString::to_string).collect();
    texts.join(",")
}
