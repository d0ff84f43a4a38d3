//! `castlot recall`: a recall from its opening to its close. What it prints is in `recall_page` and `recall_json`.

use std::collections::BTreeSet;

use clap::Subcommand;

use crate::desk::Subject;
use crate::desk::rows::{maybe, put};
use crate::desk::words;
use crate::farm::{Farm, LotId, Noun, PackCode, Settings};
use crate::sheets::Row;
use crate::trace::{Carried, Listing, RecallFile, Relation, Scope, recall_file, recalls};

use super::failure::Failure;
use super::named::Asking;
use super::phrase::{at, count};
use super::recall_reply as reply;
use super::shed::Shed;
use super::write_down::{Said, Typing};
use super::{out, recall_json, recall_page, voice};

/// Ask packs back: open a recall, note who was told and what came back, see how it stands, and close it.
///
/// Example: `castlot recall show recall-1`
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    step: Step,
    /// Refused: a recall leaves nothing out for being a small part.
    #[arg(long, global = true, hide = true, value_name = "SHARE")]
    min_share: Option<String>,
}

#[derive(Debug, Subcommand)]
enum Step {
    Open(Open),
    Told(reply::Told),
    Returned(reply::Returned),
    Close(Close),
    List(List),
    Show(Show),
}

/// Open a recall: freeze the list of all that these lots reached.
///
/// The list holds every lot they are part of, or stock of, and every pack of it: in store, sold to whom or on which
/// market day, thrown out, not found. What is recorded later does not change it, and is shown apart. A recall that is
/// open already is widened.
///
/// Example: `castlot recall open recall-2 --from manure-3 --carried out --why "the yard rang: the hay was sprayed"`
#[derive(Debug, clap::Args)]
struct Open {
    /// The recall's name.
    name: String,
    /// The lots it starts from; bins stand for the beds in them.
    #[arg(long, value_name = "LOT", required = true, num_args = 1..)]
    from: Vec<String>,
    /// Packs that are meant, where a run is not meant whole: `run-7/1-12`.
    #[arg(long, value_name = "PACKS", num_args = 1..)]
    packs: Vec<String>,
    /// Whether lots that something may only have been carried to are asked back too.
    #[arg(long, value_name = "IN|OUT", value_parser = ["in", "out"])]
    carried: Option<String>,
    /// Why.
    #[arg(long, value_name = "WHY")]
    why: String,
    #[command(flatten)]
    said: Said,
}

/// Close a recall.
///
/// Example: `castlot recall close recall-1 --why "all that could be reached are told"`
#[derive(Debug, clap::Args)]
struct Close {
    /// The recall's name.
    name: String,
    /// Why.
    #[arg(long, value_name = "WHY")]
    why: String,
    #[command(flatten)]
    said: Said,
}

/// List all recalls.
///
/// Example: `castlot recall list`
#[derive(Debug, clap::Args)]
struct List {}

/// Show how a recall stands, in numbers and by name.
///
/// Example: `castlot recall show recall-1`
#[derive(Debug, clap::Args)]
struct Show {
    /// The recall's name.
    name: String,
}

/// Where pages stand after a step that changes what they should say.
const PAGES: &str = "public pages are unchanged until you run `castlot publish` and upload them";

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    if args.min_share.is_some() {
        return Err(Failure::refused(
            "a recall leaves nothing out for its share: the smallest part may carry what is wrong, and `--min-share` is not taken",
        )
        .hint("look at shares with `castlot trace LOT --min-share 1%`"));
    }
    match &args.step {
        Step::Open(open) => self::open(shed, open),
        Step::Told(told) => reply::told(shed, told),
        Step::Returned(returned) => reply::returned(shed, returned),
        Step::Close(close) => self::close(shed, close),
        Step::List(_) => {
            let farm = shed.open()?;
            let files = recalls(&farm)
                .into_keys()
                .filter_map(|name| recall_file(&farm, name));
            let files: Vec<RecallFile> = files.collect();
            out::print(&if shed.json {
                recall_json::list(&files)
            } else {
                recall_page::list(&files)
            })
        }
        Step::Show(show) => {
            let farm = shed.open()?;
            let file = found(&farm, &show.name)?;
            out::print(&if shed.json {
                recall_json::show(&file)
            } else {
                recall_page::show(&farm, &file)
            })
        }
    }
}

/// Returns the recall of a name, or the names that there are.
pub fn found(farm: &Farm, name: &str) -> Result<RecallFile, Failure> {
    recall_file(farm, name.trim()).ok_or_else(|| {
        let failure = Failure::refused(format!("no recall is called `{name}`"));
        let names: Vec<&str> = recalls(farm).into_keys().collect();
        if names.is_empty() {
            failure.hint("open one with `castlot recall open NAME --from LOT --why WHY`")
        } else {
            failure.hint("see every recall with `castlot recall list`")
        }
    })
}

fn open(shed: &Shed, args: &Open) -> Result<(), Failure> {
    let name = args.name.trim();
    if name.is_empty() {
        return Err(Failure::refused("a recall needs a name"));
    }
    said(&args.why)?;
    let recording = shed.record_and_give(Typing::Words, |farm, settings| {
        Ok(vec![opening(farm, settings, args)?])
    })?;
    if shed.json {
        return Ok(());
    }
    let file = found(&recording.farm, name)?;
    out::print(&recall_page::opened(&file))?;
    voice::say(PAGES);
    Ok(())
}

/// Makes the row that opens a recall.
fn opening(farm: &Farm, settings: &Settings, args: &Open) -> Result<Row<'static>, Failure> {
    let asking = Asking {
        farm,
        settings,
        command: "show",
    };
    let (mut from, mut packs): (Vec<LotId>, Vec<String>) = (Vec::new(), Vec::new());
    for text in &args.from {
        let (lot, serial) = match asking.find(text)? {
            Subject::Pack(run, serial) => (run, Some(serial)),
            _ => asking.find_lot(text, None)?,
        };
        if !from.contains(&lot) {
            from.push(lot);
        }
        if let Some(serial) = serial {
            let run = farm.lot(lot).code;
            let one = PackCode { run, serial };
            packs.push(format!("{} #{}", one.run, one.serial.number()));
        }
    }
    if !args.packs.is_empty() {
        packs.push(words::picks(&args.packs)?);
    }
    let carried = carried_to(farm, &from);
    let carried = match (args.carried.as_deref(), carried.is_empty()) {
        (Some("in"), _) => carried,
        (Some(_), _) | (None, true) => BTreeSet::new(),
        (None, false) => return Err(say_which(farm, &carried)),
    };
    let lots = from.iter().chain(&carried);
    let lots: Vec<String> = lots.map(|lot| farm.lot(*lot).code.to_string()).collect();
    let mut row = args.said.row(Noun::Recall);
    put(&mut row, "recall", args.name.trim());
    put(&mut row, "step", "open");
    put(&mut row, "lots", lots.join("; "));
    maybe(
        &mut row,
        "packs",
        Some(packs.join("; "))
            .filter(|packs| !packs.is_empty())
            .as_deref(),
    );
    put(&mut row, "why", &*args.why);
    Ok(row)
}

/// Returns the lots that something of these may only have been carried to.
fn carried_to(farm: &Farm, from: &[LotId]) -> BTreeSet<LotId> {
    let listing = Listing::of(
        farm,
        Scope {
            from,
            packs: &[],
            carried: Carried::In,
        },
    );
    let is_carried = |relation: Option<Relation>| relation == Some(Relation::Carried);
    let lots = listing.lots.iter().filter(|lot| is_carried(lot.relation));
    let runs = listing.runs.iter().filter(|run| is_carried(run.relation));
    let codes = lots.map(|lot| lot.code).chain(runs.map(|run| run.code));
    codes.filter_map(|code| farm.lot_of(code)).collect()
}

/// Asks whoever opens a recall whether what may only have been carried is in it.
fn say_which(farm: &Farm, carried: &BTreeSet<LotId>) -> Failure {
    let lots = super::reached::lots(farm, carried);
    let packs = super::reached::packs(farm, carried);
    let packs = if packs.is_empty() {
        packs
    } else {
        format!("; {packs}")
    };
    let text = format!(
        "something may have been carried to {lots}, as a film on worms or inside a bag{packs}; say whether they are in"
    );
    Failure::refused(text)
        .hint("`--carried in` asks those back too: for a disease or a poison that a film can bring")
        .hint("`--carried out` leaves them: for what only harms where it is a part, such as a weedkiller")
}

/// Refuses a reason without a word in it.
fn said(why: &str) -> Result<(), Failure> {
    match why.trim() {
        "" => Err(Failure::refused("--why: nothing is said here")),
        _ => Ok(()),
    }
}

fn close(shed: &Shed, args: &Close) -> Result<(), Failure> {
    said(&args.why)?;
    let recording = shed.record_and_give(Typing::Words, |farm, _| {
        let file = found(farm, &args.name)?;
        if let Some(closed) = &file.closed {
            return Err(Failure::refused(format!(
                "{} was closed on {}, by entry {}",
                file.name,
                at(closed.when),
                closed.entry
            )));
        }
        let lots: Vec<String> = file.from.iter().map(ToString::to_string).collect();
        let mut row = args.said.row(Noun::Recall);
        put(&mut row, "recall", file.name);
        put(&mut row, "step", "close");
        put(&mut row, "lots", lots.join("; "));
        put(&mut row, "why", &*args.why);
        Ok(vec![row])
    })?;
    if shed.json {
        return Ok(());
    }
    let file = found(&recording.farm, &args.name)?;
    let open = file.not_told().len();
    if open > 0 {
        let sales = count(open as u64, "sale", "sales");
        voice::say(format!("closed with {sales} of which nobody has been told"));
    }
    voice::say(PAGES);
    Ok(())
}
