//! `castlot recall told` and `castlot recall returned`: what a recall has brought about.

use std::collections::BTreeSet;

use crate::desk::rows::{maybe, put};
use crate::desk::words;
use crate::farm::{Farm, Fate, LotCode, Noun, PackPick, ReturnState, Which};
use crate::sheets::Row;
use crate::trace::{Figures, RecallFile, is_of};

use super::failure::Failure;
use super::phrase::{at, count};
use super::recall::found;
use super::shed::Shed;
use super::voice;
use super::whom::{self, Whom};
use super::write_down::{Said, Typing};

/// Note that a buyer, or whoever bought at a market, has been told.
///
/// Example: `castlot recall told recall-1 --market "Upper Marl fair" --by-way "a board at the stall"`
#[derive(Debug, clap::Args)]
pub struct Told {
    /// The recall's name.
    name: String,
    /// The buyer, or a part of the name that no other buyer has.
    #[arg(long, value_name = "BUYER", required_unless_present = "market")]
    buyer: Option<String>,
    /// The market, where there are no names: a board at the stall, a notice.
    #[arg(long, value_name = "MARKET", conflicts_with = "buyer")]
    market: Option<String>,
    /// The packs it was about; all that went there, where nothing is said.
    #[arg(long, value_name = "PACKS", num_args = 1..)]
    packs: Vec<String>,
    /// How they were told, and what they said.
    #[arg(long, value_name = "TEXT")]
    by_way: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Note packs that came back.
///
/// They are kept apart, as after a complaint; where they are already, only the recall is told of it.
///
/// Example: `castlot recall returned recall-1 --packs run-36/2 --buyer "an allotment society behind the chapel"`
#[derive(Debug, clap::Args)]
pub struct Returned {
    /// The recall's name.
    name: String,
    /// The packs.
    #[arg(long, value_name = "PACKS", required = true, num_args = 1..)]
    packs: Vec<String>,
    /// Who brought them back, or where they came from.
    #[arg(long, value_name = "BUYER")]
    buyer: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Records that somebody was told.
pub fn told(shed: &Shed, args: &Told) -> Result<(), Failure> {
    let asked = args.buyer.as_ref().or(args.market.as_ref());
    let asked = asked.map(|name| name.trim()).unwrap_or_default();
    let mut whom = asked.to_owned();
    let recording = shed.record_and_give(Typing::Words, |farm, _| {
        let file = open(farm, &args.name)?;
        whom = named(&file, asked, args.buyer.is_some())?;
        let mut row = args.said.row(Noun::Recall);
        put(&mut row, "recall", file.name.clone());
        put(&mut row, "step", "told");
        put(&mut row, "lots", lots_of(&file, &whom));
        if !args.packs.is_empty() {
            put(&mut row, "packs", words::picks(&args.packs)?);
        }
        put(&mut row, "buyer", whom.clone());
        maybe(&mut row, "why", args.by_way.as_deref());
        Ok(vec![row])
    })?;
    let file = found(&recording.farm, &args.name)?;
    if runs_of(&file, &whom).is_empty() {
        voice::note(format!(
            "warning: no sale of recalled packs names `{whom}`; see who has some with `castlot recall show {}`",
            file.name
        ));
    }
    if !shed.json {
        voice::say(standing(&file));
    }
    Ok(())
}

/// Records that packs came back.
pub fn returned(shed: &Shed, args: &Returned) -> Result<(), Failure> {
    let mut strange = Vec::new();
    let recording = shed.record_and_give(Typing::Words, |farm, settings| {
        let file = open(farm, &args.name)?;
        let packs = words::picks(&args.packs)?;
        let asked = args.buyer.as_deref();
        let buyer = asked.map(|asked| named(&file, asked, true)).transpose()?;
        let mut row = args.said.row(Noun::Recall);
        put(&mut row, "recall", file.name.clone());
        put(&mut row, "step", "returned");
        put(&mut row, "packs", packs.clone());
        maybe(&mut row, "buyer", buyer.as_deref());
        let mut back = args.said.row(Noun::Return);
        put(&mut back, "packs", packs);
        put(&mut back, "state", ReturnState::Complained.word());
        maybe(&mut back, "buyer", buyer.as_deref());
        let asking = super::named::Asking {
            farm,
            settings,
            command: "show",
        };
        let picks = picked(asking, &args.packs)?;
        let runs: BTreeSet<LotCode> = picks.iter().map(|pick| pick.run).collect();
        let listed = |code: &&LotCode| {
            file.frozen
                .runs
                .iter()
                .chain(&file.since.runs)
                .any(|run| run.code == **code)
        };
        strange = runs.iter().filter(|code| !listed(code)).copied().collect();
        let codes: Vec<String> = runs.iter().map(ToString::to_string).collect();
        put(&mut row, "lots", codes.join("; "));
        let mut rows: Vec<Row<'static>> = Vec::new();
        if picks.iter().any(|pick| is_out(farm, pick)) {
            rows.push(back);
        }
        rows.push(row);
        Ok(rows)
    })?;
    for code in strange {
        voice::note(format!(
            "warning: {code} is not on the list of {}, and is not counted in it",
            args.name.trim()
        ));
    }
    if !shed.json {
        voice::say(standing(&found(&recording.farm, &args.name)?));
    }
    Ok(())
}

/// Returns an open recall.
fn open(farm: &Farm, name: &str) -> Result<RecallFile, Failure> {
    let file = found(farm, name)?;
    match &file.closed {
        None => Ok(file),
        Some(closed) => Err(Failure::refused(format!(
            "{} was closed on {}, by entry {}",
            file.name,
            at(closed.when),
            closed.entry
        ))
        .hint("open it again with `castlot recall open`, from the same lots")),
    }
}

/// Returns the name as the sales of recalled packs have it, where a part of it was typed; else what was typed.
fn named(file: &RecallFile, asked: &str, buyer: bool) -> Result<String, Failure> {
    let sales = file.frozen.sales.iter().chain(&file.since.sales);
    let names = sales.filter_map(|sale| match buyer {
        true => sale.to.buyer.as_ref(),
        false => sale.to.market.as_ref(),
    });
    let names: BTreeSet<String> = names.map(ToString::to_string).collect();
    match whom::whom(asked, &names) {
        Whom::One(name) => Ok(name.to_owned()),
        Whom::Nobody => Ok(asked.trim().to_owned()),
        Whom::Several(names) => Err(whom::which(asked, &names)),
    }
}

/// Returns the runs of which somebody has packs, as the cell of a row; the lots it was opened from, where there are none.
fn lots_of(file: &RecallFile, whom: &str) -> String {
    let runs = runs_of(file, whom);
    let codes: Vec<String> = if runs.is_empty() {
        file.from.iter().map(ToString::to_string).collect()
    } else {
        runs.iter().map(ToString::to_string).collect()
    };
    codes.join("; ")
}

fn runs_of(file: &RecallFile, whom: &str) -> BTreeSet<LotCode> {
    let sales = file.frozen.sales.iter().chain(&file.since.sales);
    let theirs = sales.filter(|sale| {
        let mut names = sale.to.buyer.iter().chain(&sale.to.market);
        names.any(|name| is_of(whom, name))
    });
    theirs
        .flat_map(|sale| sale.packs.iter().map(|packs| packs.run))
        .collect()
}

/// Reads the packs that were typed.
fn picked(
    asking: super::named::Asking<'_>,
    typed: &[String],
) -> Result<Vec<PackPick<crate::farm::Meant>>, Failure> {
    let cell = words::picks(typed)?;
    let mut picks = Vec::new();
    for piece in cell.split(';') {
        // `run-7 #1-2`, `run-7#1` and `run-7/1-2` alike.
        let piece = piece.trim();
        let end = piece.find(|c: char| c.is_whitespace() || c == '/' || c == '#');
        let (name, which) = piece.split_at(end.unwrap_or(piece.len()));
        let which = which.trim().replacen('/', "#", 1);
        let (run, _) = asking.find_lot(name, None)?;
        picks.push(PackPick {
            run: asking.farm.lot(run).code,
            which: read_which(&which),
        });
    }
    Ok(picks)
}

/// Reads which packs are meant; what does not read is refused when the row is.
fn read_which(text: &str) -> Which {
    let text = text.trim();
    if let Some(count) = text.strip_prefix('x').and_then(|count| count.parse().ok()) {
        return Which::Unnumbered(count);
    }
    let serials = text.strip_prefix('#').and_then(|range| {
        let (first, last) = range.split_once('-').unwrap_or((range, range));
        let serial = |text: &str| crate::farm::Serial::new(text.trim().parse().ok()?);
        crate::farm::SerialRange::new(serial(first)?, serial(last)?)
    });
    serials.map_or(Which::All, Which::Serials)
}

/// Tells whether any of the packs is still with a buyer by the diary.
fn is_out(farm: &Farm, pick: &PackPick<crate::farm::Meant>) -> bool {
    let lot = farm.lot_of(pick.run).map(|run| farm.lot(run));
    let Some(shelf) = lot.and_then(|lot| lot.shelf.as_ref()) else {
        return false;
    };
    match pick.which {
        Which::Serials(range) => range
            .serials()
            .any(|serial| matches!(shelf.fate(serial), Some(Fate::Sold | Fate::InStore))),
        Which::Unnumbered(_) | Which::All => shelf.out() > 0,
    }
}

/// Tells in a line how a recall stands.
fn standing(file: &RecallFile) -> String {
    let Figures {
        buyers,
        buyers_told,
        told,
        returned,
        then,
        ..
    } = file.figures();
    let left = count(file.not_told().len() as u64, "sale", "sales");
    let sold = count(then.sold, "pack", "packs");
    let back = count(returned, "pack", "packs");
    format!(
        "{}: {buyers_told} of {buyers} buyers and market days told ({told} of {sold} sold), {back} back, {left} not told",
        file.name
    )
}
