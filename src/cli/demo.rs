//! `castlot demo`: an invented farm, its season recorded, and the main job done on it.

use std::path::{Path, PathBuf};

use clap::Parser;

use crate::farm::{Entry, EntryNumber, Event, Farm, Noun};

use super::demo_labels::demo_labels;
use super::failure::Failure;
use super::shed::Shed;
use super::{Cli, label, new, voice};

/// Build the demo farm in a folder and do the main job on it.
///
/// Marlhythe Wormery is invented, and so is everything in its sheets. Its season is imported, two slips in it are put
/// right, one complaint is settled and one traced, labels and pages are made. It ends with five lines that say what to
/// open.
///
/// Example: `castlot demo demo-farm`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder: a new one, or an empty one.
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// The farm's settings.
const SETTINGS: &str = include_str!("../../demo-lots/castlot.toml");

macro_rules! sheets {
    ($($name:literal,)+) => {
        [$(($name, include_bytes!(concat!("../../demo-lots/", $name)).as_slice()),)+]
    };
}

/// The farm's season, as its grower wrote it down.
const SHEETS: [(&str, &[u8]); Noun::ALL.len()] = sheets![
    "bins.csv",
    "deliveries.csv",
    "beds.csv",
    "feeds.csv",
    "skips.csv",
    "checks.csv",
    "splits.csv",
    "tips.csv",
    "moves.csv",
    "sievings.csv",
    "blends.csv",
    "tests.csv",
    "packs.csv",
    "weighings.csv",
    "sales.csv",
    "returns.csv",
    "counts.csv",
    "thrown.csv",
    "complaints.csv",
    "settlements.csv",
    "holds.csv",
    "recalls.csv",
    "prints.csv",
];

/// A feed that was written down twice: its bed and minute.
const DOUBLED: (&str, &str) = ("A08", "2026-06-11T09:00");
/// A feed with a nought left out, and what it should have said.
const SHORT: (&str, &str, &str) = ("B05", "2026-07-09T09:50", "takes=mix-64 640g");
/// The complaint that came to nothing, when it was settled, and what came of it.
const SETTLED: (&str, &str, &str) = (
    "call-1",
    "2026-07-21T09:30",
    "only damp: aired, dried, smells of earth, and told them so",
);
/// The pack of the complaint that is traced, and the load that turns out to be behind it.
const COMPLAINED: &str = "run-36#1";
const LOAD: &str = "manure-2";

/// Builds the farm and does the work.
pub fn run(args: &Args) -> Result<(), Failure> {
    let farm = Demo {
        folder: &args.folder,
    };
    farm.build()?;
    farm.command(&["import", &farm.at("sheets")])?;
    let slips = farm.slips()?;
    farm.command(&[
        "strike",
        &slips.doubled.to_string(),
        "--why",
        "written down twice",
    ])?;
    let short = slips.short.to_string();
    farm.command(&[
        "correct",
        &short,
        "--set",
        SHORT.2,
        "--why",
        "a nought left out",
    ])?;
    farm.command(&[
        "complaint",
        "settle",
        SETTLED.0,
        "--when",
        SETTLED.1,
        "--why",
        SETTLED.2,
        "--by",
        "RB",
    ])?;
    farm.command(&["verify"])?;
    farm.labels()?;
    farm.command(&["publish", &farm.at("pages")])?;
    farm.command(&["trace", COMPLAINED])?;
    farm.last_words()
}

/// The demo farm in its folder.
struct Demo<'a> {
    folder: &'a Path,
}

struct Slips {
    doubled: EntryNumber,
    short: EntryNumber,
}

impl Demo<'_> {
    fn at(&self, part: &str) -> String {
        self.folder.join(part).display().to_string()
    }

    fn build(&self) -> Result<(), Failure> {
        new::start(self.folder, SETTINGS)?;
        for (name, bytes) in SHEETS {
            let path = self.folder.join("sheets").join(name);
            label::write_whole(&path, bytes)?;
        }
        voice::note(format!(
            "the demo farm is started in {}",
            self.folder.display()
        ));
        Ok(())
    }

    /// Gives a command as a person would, and shows it.
    fn command(&self, words: &[&str]) -> Result<(), Failure> {
        let farm = self.folder.display().to_string();
        let all = ["castlot", "--farm", farm.as_str()]
            .into_iter()
            .chain(words.iter().copied());
        let shown: Vec<String> = all.clone().map(quoted).collect();
        voice::note(format!("\n$ {}", shown.join(" ")));
        let cli = Cli::try_parse_from(all).map_err(|error| Failure::refused(error.to_string()))?;
        super::run(cli)
    }

    fn shed(&self) -> Result<Shed, Failure> {
        let farm = self.folder.display().to_string();
        let cli = Cli::try_parse_from(["castlot", "--farm", &farm, "beds"]);
        Shed::of(
            cli.map_err(|error| Failure::refused(error.to_string()))?
                .common,
        )
    }

    /// Finds the two slips of the season.
    fn slips(&self) -> Result<Slips, Failure> {
        let farm = self.shed()?.open()?;
        let doubled = feeds(&farm, DOUBLED.0, DOUBLED.1)
            .last()
            .map(|entry| entry.number);
        let short = feeds(&farm, SHORT.0, SHORT.1)
            .last()
            .map(|entry| entry.number);
        let missing =
            || Failure::refused("the demo farm's sheets do not hold the slips that are put right");
        Ok(Slips {
            doubled: doubled.ok_or_else(missing)?,
            short: short.ok_or_else(missing)?,
        })
    }

    fn labels(&self) -> Result<(), Failure> {
        let shed = self.shed()?;
        let files = demo_labels(&shed.open()?, &shed.settings()?)?;
        let folder = self.folder.join("labels");
        std::fs::create_dir_all(&folder).map_err(|error| {
            Failure::refused(format!("cannot make `{}`: {error}", folder.display()))
        })?;
        for (name, bytes) in &files {
            label::write_whole(&folder.join(name), bytes)?;
        }
        voice::note(format!(
            "\nlabels: {} files in {}",
            files.len(),
            folder.display()
        ));
        Ok(())
    }

    /// Says what to open.
    fn last_words(&self) -> Result<(), Failure> {
        let farm = self.shed()?.open()?;
        let run = COMPLAINED.split('#').next().unwrap_or_default();
        let code = run
            .parse()
            .ok()
            .and_then(|mark| farm.marked(&mark))
            .map(|id| farm.lot(id).code);
        let page = code.map_or_else(
            || "index.html".to_owned(),
            |code| format!("{code}/index.html"),
        );
        let shown = self.folder.display();
        let labels = self.folder.join("labels");
        let find = |start: &str| {
            let names = std::fs::read_dir(&labels)
                .into_iter()
                .flatten()
                .flatten()
                .map(|f| f.file_name());
            let mut names: Vec<String> = names
                .map(|name| name.to_string_lossy().into_owned())
                .collect();
            names.sort();
            names
                .into_iter()
                .find(|name| name.contains(start))
                .unwrap_or_default()
        };
        voice::say(String::new());
        voice::say(format!(
            "bag labels:        {}",
            labels.join(find(".bag-front.a4")).display()
        ));
        voice::say(format!(
            "rack labels:       {}",
            labels.join(find(".rack.")).display()
        ));
        voice::say(format!(
            "the bag's page:    {}",
            self.folder.join("pages").join(page).display()
        ));
        voice::say(format!(
            "the load behind:   castlot --farm {shown} trace {LOAD}"
        ));
        voice::say(format!("the farm's words:  {}", self.at("castlot.toml")));
        Ok(())
    }
}

/// Returns the unstruck feeds of a bin at a minute, in the order of recording.
fn feeds<'a>(farm: &'a Farm, bin: &str, when: &str) -> Vec<&'a Entry> {
    let meant = |entry: &&Entry| {
        let Some(Event::Feed { bed, .. }) = &entry.event else {
            return false;
        };
        let there = match bed {
            crate::farm::BedName::Bin(found) | crate::farm::BedName::Found { bin: found, .. } => {
                found.as_str() == bin
            }
            crate::farm::BedName::Bed(_) => false,
        };
        there && entry.when.to_string() == when && farm.struck_by(entry.number).is_none()
    };
    farm.entries().iter().filter(meant).collect()
}

/// Writes a word as a shell takes it.
fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "-_./:=@,".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{word}'")
    }
}
