//! `castlot permissions`: what the farm was told it may do, until when, and which runs no permission answers for.
//!
//! `--json` prints `{"permissions": [...], "unanswered": [...], "ask": "..."}`. A permission has `name`, `covers`, `number`,
//! `from`, `until`, `days_left`, `asked` and `answers`; what is unanswered has `code`, `ref`, `when`, `in_store`, `sold`, and
//! `holds`, a list of `material` and `deliveries` (codes).

use jiff::civil::Date;
use serde::Serialize;

use crate::desk::called;
use crate::desk::permission_words::{Unanswered, days_left, ending, in_days, told, unanswered};
use crate::farm::{Farm, LotId, LotSort, Material, Settings};
use crate::trade::{in_words, said_of, whom_to_ask};

use super::failure::Failure;
use super::out;
use super::phrase::{count, listed, paragraph};
use super::shed::Shed;
use super::table::{Set, Table};

/// List the farm's permissions, and the packs that hold what none of them answers for.
///
/// Permissions are noted in castlot.toml: what each covers, its number, its days, who was asked, and whether it answers
/// for manure or for kitchen waste. castlot keeps the note and reminds of its end; it cannot say what is allowed.
///
/// Example: castlot permissions --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {
    /// List the runs of which none is in store as well.
    #[arg(long)]
    all: bool,
}

#[derive(Serialize)]
struct All {
    permissions: Vec<Noted>,
    unanswered: Vec<Run>,
    ask: &'static str,
}

#[derive(Serialize)]
struct Noted {
    name: String,
    covers: String,
    number: Option<String>,
    from: String,
    until: Option<String>,
    days_left: Option<i32>,
    asked: String,
    answers: Vec<&'static str>,
}

#[derive(Serialize)]
struct Run {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    when: String,
    in_store: u32,
    sold: u32,
    holds: Vec<Held>,
    #[serde(skip)]
    id: LotId,
    #[serde(skip)]
    found: Unanswered,
}

#[derive(Serialize)]
struct Held {
    material: &'static str,
    deliveries: Vec<String>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let farm = shed.open()?;
    let today = shed.stamp(&settings).now.day();
    let all = All {
        permissions: noted(&settings, today),
        unanswered: runs(&farm, &settings, args),
        ask: whom_to_ask(&settings.country),
    };
    out::print(&if shed.json {
        out::json(&all)
    } else {
        page(&farm, &settings, &all, today)
    })
}

fn noted(settings: &Settings, today: Date) -> Vec<Noted> {
    let permissions = settings.permissions.iter();
    let noted = permissions.map(|(name, permission)| Noted {
        name: name.clone(),
        covers: permission.covers.clone(),
        number: permission.number.clone(),
        from: permission.from.to_string(),
        until: permission.until.map(|day| day.to_string()),
        days_left: days_left(permission, today),
        asked: permission.asked.clone(),
        answers: permission.answers.iter().map(|what| what.word()).collect(),
    });
    noted.collect()
}

fn runs(farm: &Farm, settings: &Settings, args: &Args) -> Vec<Run> {
    let listed = farm.lots().filter_map(|(id, lot)| {
        let shelf = lot.shelf.as_ref()?;
        let is_run = matches!(lot.sort, LotSort::Run(_));
        (is_run && (shelf.in_store() > 0 || args.all)).then_some(id)
    });
    let found = unanswered(farm, settings, listed.collect()).into_iter();
    let found = found.filter(|(_, materials)| !materials.is_empty());
    let runs = found.map(|(id, found)| {
        let lot = farm.lot(id);
        let code = |lot: &LotId| farm.lot(*lot).code.to_string();
        let holds = found.iter().map(|(material, lots)| Held {
            material: material.word(),
            deliveries: lots.iter().map(code).collect(),
        });
        Run {
            code: lot.code.to_string(),
            mark: lot.mark.as_ref().map(ToString::to_string),
            when: lot.when.to_string(),
            in_store: lot.shelf.as_ref().map_or(0, |shelf| shelf.in_store()),
            sold: lot.shelf.as_ref().map_or(0, |shelf| shelf.sold()),
            holds: holds.collect(),
            id,
            found,
        }
    });
    runs.collect()
}

fn page(farm: &Farm, settings: &Settings, all: &All, today: Date) -> String {
    let mut text = match all.permissions.len() {
        0 => "no permission is noted in castlot.toml\n".to_owned(),
        some => format!("{}\n", count(some as u64, "permission", "permissions")),
    };
    for noted in &all.permissions {
        text += &permission(noted);
    }
    for line in ending(settings, today) {
        text += &format!("\n{}", paragraph(&line, 0));
    }
    if !all.unanswered.is_empty() {
        text += &unanswered_page(farm, all);
    }
    text += &format!("\n{}", paragraph(&format!("Whom to ask: {}", all.ask), 0));
    text + &what_sources_say(&settings.country)
}

fn permission(noted: &Noted) -> String {
    let mut table = Table::new(&[("", Set::Whole), ("", Set::Text)]);
    let until = match (&noted.until, noted.days_left) {
        (Some(until), Some(left)) => format!(" to {until} (ends {})", in_days(left)),
        _ => " on".to_owned(),
    };
    for (head, said) in [
        ("covers", noted.covers.clone()),
        ("number", noted.number.clone().unwrap_or_default()),
        ("days", format!("{}{until}", noted.from)),
        ("asked", noted.asked.clone()),
        ("answers for", listed(&noted.answers)),
    ] {
        if !said.is_empty() {
            table.row(vec![head.to_owned(), said]);
        }
    }
    format!("\n{}\n{table}", noted.name)
}

fn unanswered_page(farm: &Farm, all: &All) -> String {
    let mut text =
        "\nPacks of what no permission answers for on the day they were filled:\n".to_owned();
    for run in &all.unanswered {
        let line = format!(
            "{}, {} in store, {} sold: {}",
            called(farm, run.id),
            run.in_store,
            run.sold,
            told(farm, &run.found)
        );
        text += &paragraph(&line, 2);
    }
    text
}

fn what_sources_say(country: &str) -> String {
    let mut text = String::new();
    for material in Material::ALL {
        let said: Vec<_> = said_of(*material, country).collect();
        if !said.is_empty() {
            let head = format!(
                "Of {}, sources say (copied here, and no advice):",
                in_words(*material)
            );
            text += &format!("\n{}", paragraph(&head, 0));
        }
        for said in said {
            text += &paragraph(&format!("{} [{}]", said.says, said.source), 2);
        }
    }
    text
}
