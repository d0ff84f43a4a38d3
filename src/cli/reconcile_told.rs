//! How a run's labels stand, in words a packer understands, and as data.

use serde::Serialize;

use crate::desk::mark_or_code;
use crate::farm::{Farm, LotId};
use crate::label::{Count, Gap, counts};

use super::failure::{Failure, Kind};
use super::label_again::packs;
use super::phrase::count;
use super::shed::Shed;
use super::write_down::Written;
use super::{out, voice};

/// Tells how the labels of the wanted templates, and all others that were counted, stand; fails with exit code 1 where
/// something does not add up. What was recorded just now stands beside it in the data.
pub fn tell(
    shed: &Shed,
    farm: &Farm,
    run: LotId,
    wanted: Vec<String>,
    written: Option<Vec<Written>>,
) -> Result<(), Failure> {
    let mut counted = counts(farm, run);
    let packs = farm.lot(run).shelf.as_ref().map_or(0, |shelf| shelf.made());
    let uncounted: Vec<String> = wanted
        .into_iter()
        .filter(|template| !counted.contains_key(template))
        .collect();
    let told: Vec<(String, Count)> = std::mem::take(&mut counted).into_iter().collect();
    if shed.json {
        let stands = Told::of(farm, run, &told, &uncounted);
        out::print(&out::json(&Told {
            entries: written,
            ..stands
        }))?;
    } else {
        for (template, count) in &told {
            voice::say(line(template, count));
        }
        for template in &uncounted {
            let none = Count::none(packs);
            let many = self::count(none.packs, "pack", "packs");
            voice::say(format!("{template}: not counted yet, for {many}"));
        }
    }
    let mut failure = Failure {
        kind: Kind::Found,
        texts: Vec::new(),
        hints: Vec::new(),
    };
    for (template, count) in &told {
        count
            .gaps()
            .iter()
            .for_each(|gap| name(gap, template, count, farm, run, &mut failure));
    }
    match failure.texts.is_empty() {
        true => Ok(()),
        false => Err(failure),
    }
}

/// `bag-front: 40 labels printed = 38 good + 2 spoiled; 38 of 40 packs have theirs`.
fn line(template: &str, counted: &Count) -> String {
    let printed = count(counted.printed, "label", "labels");
    let (good, spoiled) = (counted.good(), counted.spoiled);
    let sign = match counted.printed == good + spoiled {
        true => "=",
        false => "is not",
    };
    let (labelled, packs) = (counted.labelled(), counted.packs);
    let have = match labelled == u64::from(packs) {
        true => format!("all {packs} packs have theirs"),
        false => format!("{labelled} of {packs} packs have theirs"),
    };
    let second = match good.saturating_sub(labelled) {
        0 => String::new(),
        1 => ", 1 of them twice".to_owned(),
        twice => format!(", {twice} labels more than that"),
    };
    format!("{template}: {printed} printed {sign} {good} good + {spoiled} spoiled; {have}{second}")
}

fn name(
    gap: &Gap,
    template: &str,
    counted: &Count,
    farm: &Farm,
    run: LotId,
    failure: &mut Failure,
) {
    let run = mark_or_code(farm, run);
    match gap {
        Gap::Without(ranges) => {
            let (packs, have) = packs(ranges);
            let text = format!("{packs} of {run} {have} no good `{template}` label");
            failure.texts.push(text);
            for range in ranges {
                failure.hint_once(format!(
                    "print them: `castlot label {run}/{range} --template {template}`"
                ));
            }
        }
        Gap::Short(short) => failure.texts.push(format!(
            "{} of {run} have no good `{template}` label; which, nobody noted",
            count(*short, "pack", "packs")
        )),
        Gap::Over(over) => failure.texts.push(format!(
            "{} of `{template}` more than {run} has packs, and no reason is noted",
            count(*over, "good label", "good labels")
        )),
        Gap::Uneven { named } => {
            let entries: Vec<_> = counted.entries.iter().map(ToString::to_string).collect();
            failure.texts.push(format!(
                "`{template}` of {run}: {} printed less {} spoiled is not {named}, as many as the packs named \
                 ({} {})",
                counted.printed,
                counted.spoiled,
                if entries.len() == 1 { "entry" } else { "entries" },
                entries.join(", ")
            ));
            if let [only] = &counted.entries[..] {
                failure.hint_once(format!(
                    "if a figure is wrong: `castlot correct {only} --set printed={} --why \"miscounted\"`",
                    named + counted.spoiled
                ));
            }
        }
    }
}

/// How a run's labels stand, as data.
#[derive(Serialize)]
struct Told {
    /// What was recorded just now.
    #[serde(skip_serializing_if = "Option::is_none")]
    entries: Option<Vec<Written>>,
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    packs: u32,
    templates: Vec<ToldCount>,
}

#[derive(Serialize)]
struct ToldCount {
    template: String,
    printed: u64,
    spoiled: u64,
    good: u64,
    labelled: u64,
    without: Vec<String>,
    adds_up: bool,
    entries: Vec<u32>,
}

impl Told {
    fn of(farm: &Farm, run: LotId, told: &[(String, Count)], uncounted: &[String]) -> Self {
        let lot = farm.lot(run);
        let packs = lot.shelf.as_ref().map_or(0, |shelf| shelf.made());
        let counted = told
            .iter()
            .map(|(template, count)| ToldCount::of(template, count));
        let none = uncounted.iter();
        let none = none.map(|template| ToldCount::of(template, &Count::none(packs)));
        Self {
            entries: None,
            code: lot.code.to_string(),
            mark: lot.mark.as_ref().map(ToString::to_string),
            packs,
            templates: counted.chain(none).collect(),
        }
    }
}

impl ToldCount {
    fn of(template: &str, count: &Count) -> Self {
        Self {
            template: template.to_owned(),
            printed: count.printed,
            spoiled: count.spoiled,
            good: count.good(),
            labelled: count.labelled(),
            without: count.without().iter().map(ToString::to_string).collect(),
            adds_up: count.gaps().is_empty(),
            entries: count.entries.clone(),
        }
    }
}
