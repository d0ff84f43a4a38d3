//! `castlot drill`: an exercise. A lot is drawn, the clock starts, and the papers of a trace are written.
//!
//! The drill's own folder keeps when it began; nothing of it goes into the diary, for nothing happened on the farm.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::papers::{Drill, DrillClock};
use crate::sheets;
use crate::trace::{DrillLot, drill_lot};

use super::failure::Failure;
use super::label_file::write_whole;
use super::out;
use super::paper::{Desk, put, put_packs};
use super::phrase::count;
use super::shed::Shed;
use super::voice;

/// Practise a recall: a lot is drawn, the clock starts, and the lists and papers are written into a folder.
///
/// The folder holds the lot's trace file, the drill report, and CSV files of what is behind the lot, the packs and who
/// has them. Nothing is recorded. Ring the buyers as if it were meant, then stop the clock with `castlot drill finish
/// FOLDER`, which writes the minutes into the report.
///
/// Example: `castlot drill --seed 7 --out drill-7`
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub struct Args {
    #[command(subcommand)]
    step: Option<Step>,
    /// Draw the lot by this number; without it, one made of the diary's seal and the day.
    #[arg(long, value_name = "N")]
    seed: Option<u64>,
    /// The folder to write; `drill-CODE` where it is not given.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

#[derive(Debug, clap::Subcommand)]
enum Step {
    Finish(FinishArgs),
}

/// Stop a drill's clock: everybody has been reached.
///
/// The report is written again with the minutes taken.
///
/// Example: `castlot drill finish drill-7`
#[derive(Debug, clap::Args)]
struct FinishArgs {
    /// The drill's folder.
    folder: PathBuf,
    /// The minutes it took, where somebody else kept the time.
    #[arg(long, value_name = "N")]
    minutes: Option<u64>,
}

/// What a drill's folder keeps of its start.
#[derive(Debug, Serialize, Deserialize)]
struct Begun {
    /// The instant at which the lot was drawn.
    started: String,
    seed: u64,
    lot: String,
    /// The diary's seal then.
    seal: String,
    /// Tenths of a second until the lists were ready.
    lists: u64,
}

impl Begun {
    fn started(&self, folder: &Path) -> Result<Timestamp, Failure> {
        self.started.parse().map_err(|_| {
            let path = folder.join(BEGUN);
            Failure::refused(format!(
                "`{}` is damaged: `{}` is not an instant",
                path.display(),
                self.started
            ))
        })
    }
}

const BEGUN: &str = "drill.json";
const REPORT: &str = "drill-report.pdf";

/// Runs the command.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    match &args.step {
        None => begin(shed, args),
        Some(Step::Finish(args)) => finish(shed, args),
    }
}

fn begin(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let desk = Desk::of(shed)?;
    let seed = args.seed.unwrap_or_else(|| seed_of_the_day(shed, &desk));
    let drill = Drill::of(&desk.farm, drawn(&desk, seed)?, seed);
    let folder = args.out.clone();
    let folder = folder.unwrap_or_else(|| PathBuf::from(format!("drill-{}", drill.code())));
    if folder.join(BEGUN).exists() {
        let said = format!("`{}` holds a drill already", folder.display());
        return Err(Failure::refused(said).hint("name another folder with `--out FOLDER`"));
    }
    let cannot = |error| Failure::refused(format!("cannot make `{}`: {error}", folder.display()));
    fs::create_dir_all(&folder).map_err(cannot)?;
    let trace_file = drill.trace_file().to_pdf(desk.imprint())?;
    let begun = Begun {
        started: shed.now.to_string(),
        seed,
        lot: drill.code().to_string(),
        seal: desk.seal.clone(),
        lists: shed.tenths(),
    };
    put(&folder.join("trace-file.pdf"), &trace_file)?;
    report(&desk, &drill, &begun, None, &folder)?;
    put_list(&folder.join("back.csv"), BACK, &drill.back_rows())?;
    put_list(&folder.join("buyers.csv"), BUYERS, &drill.buyer_rows())?;
    put_packs(&folder.join("packs.csv"), &desk.farm, &drill.listing)?;
    write_begun(&folder, &begun)?;
    voice::note(format!(
        "drawn by seed {seed}; the clock runs until `castlot drill finish {}`",
        folder.display()
    ));
    out::print(&format!("{}\n", drill.code()))
}

const BACK: [&str; 6] = ["code", "what", "relation", "share", "supplier", "when"];
const BUYERS: [&str; 6] = ["buyer", "market", "contact", "date", "packs", "which"];

fn finish(shed: &Shed, args: &FinishArgs) -> Result<(), Failure> {
    let desk = Desk::of(shed)?;
    let begun = read_begun(&args.folder)?;
    if begun.seal != desk.seal {
        voice::note(
            "warning: the diary has grown since the drill began; the report tells of it as it is now",
        );
    }
    let code = begun.lot.parse().ok();
    let lot = code.and_then(|code| desk.farm.lot_of(code));
    let lot =
        lot.ok_or_else(|| Failure::refused(format!("the diary has no lot {} now", begun.lot)))?;
    let drawn = drill_lot(&desk.farm, begun.seed).filter(|drawn| drawn.lot == lot);
    // In a diary that has grown, the seed may draw another lot: the drill stays with the one it was about.
    let drawn = drawn.unwrap_or(DrillLot {
        lot,
        reaches: 0,
        candidates: 0,
    });
    let drill = Drill::of(&desk.farm, drawn, begun.seed);
    let since = shed
        .now
        .duration_since(begun.started(&args.folder)?)
        .as_secs();
    let minutes = args
        .minutes
        .unwrap_or_else(|| u64::try_from(since / 60).unwrap_or_default());
    report(&desk, &drill, &begun, Some(minutes), &args.folder)?;
    out::print(&format!("{}\n", count(minutes, "minute", "minutes")))
}

fn drawn(desk: &Desk, seed: u64) -> Result<DrillLot, Failure> {
    drill_lot(&desk.farm, seed).ok_or_else(|| {
        Failure::refused("there is no lot to draw: nothing was sold, and no delivery used")
    })
}

/// Makes a seed of the seal and the day, so that a drill can be drawn again and nobody can choose it.
fn seed_of_the_day(shed: &Shed, desk: &Desk) -> u64 {
    let seal = desk
        .seal
        .get(..16)
        .map(|head| u64::from_str_radix(head, 16));
    let seal = seal.and_then(Result::ok).unwrap_or_default();
    let day = desk.settings.zone.to_datetime(shed.now).date();
    let day = u64::try_from(day.year()).unwrap_or_default() * 1000
        + u64::try_from(day.day_of_year()).unwrap_or_default();
    // Short enough to be typed from the report.
    seal.wrapping_add(day) % 1_000_000
}

fn report(
    desk: &Desk,
    drill: &Drill<'_>,
    begun: &Begun,
    minutes: Option<u64>,
    folder: &Path,
) -> Result<(), Failure> {
    let started = desk.settings.zone.to_datetime(begun.started(folder)?);
    let clock = DrillClock {
        started: started.strftime("%Y-%m-%d %H:%M").to_string(),
        lists: begun.lists,
        minutes,
    };
    put(&folder.join(REPORT), &drill.report(&clock, desk.imprint())?)
}

fn put_list(path: &Path, columns: [&str; 6], rows: &[[String; 6]]) -> Result<(), Failure> {
    write_whole(path, &sheets::list(columns, rows.iter().cloned()))?;
    let rows = count(rows.len(), "row", "rows");
    out::print(&format!("{rows}: {}\n", path.display()))
}

fn write_begun(folder: &Path, begun: &Begun) -> Result<(), Failure> {
    write_whole(&folder.join(BEGUN), out::json(begun).as_bytes())
}

fn read_begun(folder: &Path) -> Result<Begun, Failure> {
    let path = folder.join(BEGUN);
    let text = fs::read_to_string(&path).map_err(|error| {
        Failure::refused(format!("cannot read `{}`: {error}", path.display()))
            .hint("begin a drill with `castlot drill`")
    })?;
    serde_json::from_str(&text)
        .map_err(|error| Failure::refused(format!("`{}` is damaged: {error}", path.display())))
}
