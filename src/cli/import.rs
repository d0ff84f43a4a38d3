//! `castlot import`: a folder of sheets, all of it or none.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::Serialize;

use crate::desk::fills_check::check_all;
use crate::desk::{fills_hold, incoming, permission_words, warned};
use crate::farm::{EntryNumber, Event, Recording, Settings};
use crate::sheets::{
    AlreadyThere, Import, Importing, Notice, SheetError, SheetProblem, read_folder,
};

use super::failure::Failure;
use super::phrase::count;
use super::shed::Shed;
use super::waiting::Waiting;
use super::{hint, out, voice};

/// Record a folder of diary sheets, all of it or nothing.
///
/// Reads whichever sheets are there (CSV files such as feeds.csv and sales.csv), puts their rows in order, and records
/// them together. Where anything is wrong, everything that is wrong is told, each with its file, row and column, and
/// nothing is recorded.
///
/// Example: `castlot import sheets --skip-known`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder with the sheets.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// Pass over rows that the diary has already, instead of refusing them.
    #[arg(long)]
    skip_known: bool,
}

/// Records a folder of sheets.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let files = files(&args.folder)?;
    let waiting = Waiting::start();
    let mut import = None;
    let recorded = shed.write(&settings, |farm| {
        waiting.doing("reading the sheets");
        let with = Importing {
            settings: &settings,
            farm,
            now: shed.stamp(&settings).now,
            already: args.already(),
        };
        let read = read_folder(&files, with).map_err(|found| args.problems(&found))?;
        waiting.doing("putting the rows in order");
        let judged = read.record(farm, shed.now);
        let recording = judged.map_err(|found| args.problems(&found))?;
        waiting.doing("writing the diary");
        import = Some(read);
        Ok(recording)
    });
    waiting.end();
    let recording = recorded?;
    let import = import.expect("the rule kept what it read before anything was written");
    tell(shed, &recording, &import)?;
    if let Some(told) = incoming::not_held(&recording.farm, recording.entries(), &settings.hold) {
        voice::note(format!("warning: {told}"));
    }
    if let Some(told) = overlooked(&recording, &settings) {
        voice::note(format!("warning: {told}"));
        voice::note("hint: list them with `castlot fills`");
    }
    if let Some(told) = unanswered(&recording, &settings) {
        voice::note(told);
    }
    Ok(())
}

/// Tracing a run takes longer the more lots there are; a whole history at once is left to `castlot permissions`.
const MOST_TRACED: usize = 100_000;

/// Says how many runs just packed hold what no permission answers for, or where to look for them.
fn unanswered(recording: &Recording, settings: &Settings) -> Option<String> {
    let (farm, entries) = (&recording.farm, recording.entries());
    let is_pack = |event: &Event<_>| matches!(event, Event::Pack { .. });
    let packed = entries.iter().flat_map(|entry| &entry.event);
    let packed = packed.filter(|event| is_pack(event)).count();
    let hint = "see which, and whom to ask, with `castlot permissions`";
    if packed * farm.lots().count() > MOST_TRACED {
        return Some(format!(
            "note: some runs may hold what no permission answers for; {hint}"
        ));
    }
    match permission_words::about_packs(farm, settings, entries).len() {
        0 => None,
        1 => Some(format!(
            "warning: 1 run holds what no permission answers for; {hint}"
        )),
        runs => Some(format!(
            "warning: {runs} runs hold what no permission answers for; {hint}"
        )),
    }
}

/// Says that runs just weighed, or others, are short and on the shelf: an import holds nothing that its sheets do not.
fn overlooked(recording: &Recording, settings: &Settings) -> Option<String> {
    let mut events = recording.entries().iter().flat_map(|entry| &entry.event);
    if !events.any(|event| matches!(event, Event::Weighing { .. })) {
        return None;
    }
    let all = check_all(&recording.farm, settings);
    fills_hold::told_of_overlooked(fills_hold::overlooked(&recording.farm, &all).len())
}

impl Args {
    fn already(&self) -> AlreadyThere {
        if self.skip_known {
            AlreadyThere::Skip
        } else {
            AlreadyThere::Refuse
        }
    }

    /// Makes the failure of everything that is wrong with the sheets.
    fn problems(&self, problems: &[SheetProblem]) -> Failure {
        let mut failure = Failure::refused_for(problems.iter().map(ToString::to_string));
        let many = count(problems.len(), "problem", "problems");
        failure.texts.push(format!("{many}; nothing was recorded"));
        for problem in problems {
            let hints = match &problem.error {
                SheetError::Refused { source } => hint::of(source),
                SheetError::AlreadyThere { .. } => vec![format!(
                    "to record only what is new: `castlot import {} --skip-known`",
                    self.folder.display()
                )],
                error => hint::of_cell(error).into_iter().collect(),
            };
            hints.into_iter().for_each(|hint| failure.hint_once(hint));
        }
        failure
    }
}

/// Reads a folder's files by their names; what is in its subfolders is left alone.
pub fn files(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>, Failure> {
    let cannot = |path: &Path, error: &std::io::Error| {
        Failure::refused(format!("cannot read `{}`: {error}", path.display()))
    };
    let inside = std::fs::read_dir(folder).map_err(|error| cannot(folder, &error))?;
    let mut files = BTreeMap::new();
    for found in inside {
        let path = found.map_err(|error| cannot(folder, &error))?.path();
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        if path.is_file() && !name.starts_with('.') {
            let bytes = if is_csv(&path) {
                std::fs::read(&path).map_err(|error| cannot(&path, &error))?
            } else {
                // Only its name is told; it may be as large as it likes.
                Vec::new()
            };
            files.insert(name, bytes);
        }
    }
    Ok(files)
}

fn is_csv(path: &Path) -> bool {
    path.extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("csv"))
}

/// What was recorded, as `--json` tells of it.
#[derive(Serialize)]
struct Told {
    entries: usize,
    lots: usize,
    skipped: usize,
    last: Option<EntryNumber>,
}

fn tell(shed: &Shed, recording: &Recording, import: &Import) -> Result<(), Failure> {
    for notice in notices(&import.notices) {
        voice::note(notice);
    }
    let place = |index| match import.origins.of(index) {
        Some(origin) => format!("{origin}: "),
        None => String::new(),
    };
    for line in warned::warnings(recording, place) {
        voice::note(line);
    }
    if import.skipped > 0 {
        let known = count(import.skipped, "row was", "rows were");
        voice::note(format!("{known} in the diary already"));
    }
    let entries = recording.entries();
    let lots = entries
        .iter()
        .filter(|entry| entry.made().is_some())
        .count();
    let last = entries.last().map(|entry| entry.number);
    if shed.json {
        return out::print(&out::json(&Told {
            entries: entries.len(),
            lots,
            skipped: import.skipped,
            last,
        }));
    }
    let entries = count(entries.len(), "entry", "entries");
    voice::say(match lots {
        0 => format!("recorded {entries}"),
        _ => format!(
            "recorded {entries}, which made {}",
            count(lots, "lot", "lots")
        ),
    });
    if let Some(last) = last {
        voice::say(format!("entry {last}"));
    }
    Ok(())
}

/// More files than this that are no sheets are counted rather than named.
const NAMED: usize = 5;

fn notices(notices: &[Notice]) -> Vec<String> {
    let (strange, other): (Vec<&Notice>, Vec<&Notice>) = notices
        .iter()
        .partition(|notice| matches!(notice, Notice::NotASheet { .. }));
    let named = strange.iter().take(NAMED).chain(&other);
    let mut lines: Vec<String> = named.map(|notice| format!("note: {notice}")).collect();
    if let Some(more) = strange.len().checked_sub(NAMED + 1) {
        lines.push(format!(
            "note: {} more files are not diary sheets",
            more + 1
        ));
    }
    lines
}
