//! `castlot complaint show`: one complaint, what may be behind it, and which packs may be meant.
//!
//! `--json` prints `name`, `when`, `state` (`open` or `settled`), `sign`, `signs` (rows of the table), `heard`, `product`,
//! `bought_at`, `bought_about`, `contact`, `run`, `serial` (null where they are not known), `candidates` (`run`, `ref`,
//! `serial`, `why`), `narrowed`, and `settled` (`when`, `why`).

use serde::Serialize;

use crate::desk::call::{About, Call};
use crate::farm::{Event, Farm, Mark, Serial, Settings, Word};

use super::complaint_list::state;
use super::failure::Failure;
use super::phrase::{at, paragraph};
use super::shed::Shed;
use super::{call_page, out};

/// Show a complaint: what was said, what is usually behind such a sign, what to look at next, which runs may be meant.
///
/// Example: `castlot complaint show call-2`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The complaint's name.
    #[arg(value_name = "NAME")]
    name: String,
}

#[derive(Serialize)]
pub(super) struct CallJson {
    name: String,
    when: String,
    state: &'static str,
    sign: String,
    signs: Vec<&'static str>,
    heard: Option<String>,
    product: Option<String>,
    bought_at: Option<String>,
    bought_about: Option<String>,
    contact: Option<String>,
    run: Option<String>,
    serial: Option<u32>,
    narrowed: bool,
    candidates: Vec<CandidateJson>,
    settled: Vec<SettledJson>,
}

#[derive(Serialize)]
struct CandidateJson {
    run: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    serial: Option<u32>,
    why: Vec<String>,
}

#[derive(Serialize)]
struct SettledJson {
    when: String,
    why: String,
}

impl CallJson {
    pub(super) fn of(farm: &Farm, call: &Call) -> Self {
        let facts = call.facts;
        let word = |word: &Option<Word>| word.as_ref().map(ToString::to_string);
        let plain = |text: &Option<Box<str>>| text.as_ref().map(ToString::to_string);
        let (run, serial) = match &call.about {
            About::Pack(run, serial) => (Some(farm.lot(*run).code.to_string()), *serial),
            About::AnyOf(..) => (None, None),
        };
        Self {
            name: call.name.to_string(),
            when: call.entry.when.to_string(),
            state: state(call),
            sign: facts.sign.to_string(),
            signs: call.signs().iter().map(|sign| sign.name).collect(),
            heard: word(&facts.heard),
            product: plain(&facts.product),
            bought_at: plain(&facts.bought_at),
            bought_about: plain(&facts.bought_about),
            contact: word(&facts.contact),
            run,
            serial: serial.map(crate::farm::Serial::number),
            narrowed: call.is_narrowed(),
            candidates: candidates(farm, call),
            settled: call.settled.iter().map(|entry| settled(entry)).collect(),
        }
    }
}

fn candidates(farm: &Farm, call: &Call) -> Vec<CandidateJson> {
    let About::AnyOf(runs, _) = &call.about else {
        return Vec::new();
    };
    let told = runs.iter().map(|candidate| CandidateJson {
        run: farm.lot(candidate.run).code.to_string(),
        mark: farm
            .lot(candidate.run)
            .mark
            .as_ref()
            .map(ToString::to_string),
        serial: candidate.serial.map(Serial::number),
        why: candidate.why.clone(),
    });
    told.collect()
}

fn settled(entry: &crate::farm::Entry) -> SettledJson {
    let why = match &entry.event {
        Some(Event::Settlement { why, .. }) => why.to_string(),
        _ => String::new(),
    };
    SettledJson {
        when: entry.when.to_string(),
        why,
    }
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let call = find(&farm, &settings, &args.name)?;
    out::print(&if shed.json {
        out::json(&CallJson::of(&farm, &call))
    } else {
        page(&farm, &call)
    })
}

/// Finds the complaint of that name.
pub fn find<'a>(farm: &'a Farm, settings: &Settings, name: &str) -> Result<Call<'a>, Failure> {
    let mark = name.trim().to_lowercase().parse::<Mark>().ok();
    let complaint = mark.and_then(|mark| farm.complaint(&mark));
    let call = complaint
        .and_then(|complaint| Call::of_entry(farm, settings, &farm.entries()[complaint.entry]));
    call.ok_or_else(|| {
        Failure::refused(format!("no complaint is called `{}`", name.trim()))
            .hint("see every complaint with `castlot complaint list`")
    })
}

fn page(farm: &Farm, call: &Call) -> String {
    let facts = call.facts;
    let (name, sign) = (&call.name, &facts.sign);
    let mut text = paragraph(&format!("{name}, taken {}: {sign}", at(call.entry.when)), 0);
    text += &said(call);
    for entry in &call.settled {
        let settled = settled(entry);
        text += &paragraph(&format!("settled {}: {}", at(entry.when), settled.why), 0);
    }
    if let About::Pack(run, serial) = &call.about {
        let code = farm.lot(*run).code;
        let code = serial.map_or_else(|| code.to_string(), |serial| format!("{code}/{serial}"));
        let what = crate::desk::called(farm, *run);
        text += &paragraph(&format!("about {what}: {code}"), 0);
    }
    text.push('\n');
    let signs = call.signs();
    text += &paragraph(&call_page::behind(&signs), 0);
    for sign in &signs {
        let went_in = call_page::went_in(sign, call.entry.when);
        text += &paragraph(&format!("{}: {went_in}", sign.name), 2);
    }
    let next = call_page::next(&signs);
    if !next.is_empty() {
        text += "Look at:\n";
        for line in next {
            text += &paragraph(&format!("- {line}"), 2);
        }
    }
    let runs = call_page::candidates(farm, call);
    if !runs.is_empty() {
        text += &format!("\n{runs}");
    }
    text
}

/// What was said beside the sign, a line each.
fn said(call: &Call) -> String {
    let facts = call.facts;
    let word = |word: &Option<Word>| word.as_ref().map(ToString::to_string);
    let plain = |text: &Option<Box<str>>| text.as_ref().map(ToString::to_string);
    let lines = [
        ("heard", word(&facts.heard)),
        ("product", plain(&facts.product)),
        ("bought at", plain(&facts.bought_at)),
        ("bought about", plain(&facts.bought_about)),
        ("reach them", word(&facts.contact)),
    ];
    let lines = lines
        .into_iter()
        .filter_map(|(label, value)| Some(paragraph(&format!("{label}: {}", value?), 0)));
    lines.collect()
}
