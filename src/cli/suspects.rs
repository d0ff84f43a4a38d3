//! `castlot suspects`: from complaints to the loads, beds and batches that may be behind them.
//!
//! The page is in `suspects_page`, the JSON of `--json` in `suspects_json`.

use crate::desk::call::{About, Call};
use crate::farm::{Farm, LotSort, Moment, Passage, Settings};
use crate::trace::{Charge, Complained, Lineup, Pack, suspects};
use crate::trade::Sign;

use super::failure::Failure;
use super::shed::Shed;
use super::{complaint_show, out, suspects_json, suspects_page};

/// Rank what may be behind complaints: every delivery, bed and batch upstream of the packs.
///
/// Of the packs that were sold, those that a lot reached are set against those it did not reach, by how many of each
/// somebody complained of. Without CALL it takes the open complaints whose signs are the commonest. It says when there
/// is too little to tell anything apart, and which test would tell most. Exposure tells of packs whose run is known; a
/// call with half a code counts when it is narrowed.
///
/// Example: castlot suspects --farm demo-farm --when 2026-09-17
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The complaints.
    #[arg(value_name = "CALL")]
    calls: Vec<String>,
    /// What was seen: a row of the table of signs, or words that lead to one.
    #[arg(long, value_name = "SIGN")]
    sign: Option<String>,
    /// The moment to ask for: what happened later is left out.
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
    /// List every suspect, and every bed and batch that only passed it on.
    #[arg(long)]
    all: bool,
}

/// The question and its answer, ready to be told.
pub struct Inquiry<'a> {
    /// The farm as it was.
    pub farm: &'a Farm,
    /// The row of the table of signs, where the words lead to one.
    pub sign: Option<&'static Sign>,
    /// The calls.
    pub calls: Vec<Call<'a>>,
    /// Open calls that are about something else.
    pub left_out: Vec<Call<'a>>,
    /// The answer.
    pub lineup: Lineup,
    /// Whether everything is listed.
    pub all: bool,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let mut farm = shed.open()?;
    if let Some(text) = &args.when {
        let when = Moment::read(text, settings.dates, &settings.zone);
        farm = farm.as_of(when.map_err(|error| Failure::refused(error.to_string()))?);
    }
    let inquiry = inquire(&farm, &settings, args)?;
    out::print(&if shed.json {
        suspects_json::text(&inquiry)
    } else {
        suspects_page::text(&inquiry)
    })
}

fn inquire<'a>(farm: &'a Farm, settings: &Settings, args: &Args) -> Result<Inquiry<'a>, Failure> {
    let asked = args.sign.as_deref().map(sign_of).transpose()?;
    let (calls, left_out, sign) = if args.calls.is_empty() {
        open_calls(Call::all(farm, settings), asked)?
    } else {
        let named = args.calls.iter();
        let calls: Result<Vec<Call>, Failure> = named
            .map(|name| complaint_show::find(farm, settings, name))
            .collect();
        let calls = calls?;
        let sign = asked.or_else(|| commonest(&calls));
        (calls, Vec::new(), sign)
    };
    let complained: Vec<Complained> = calls.iter().map(complained).collect();
    let can_start = |sort: LotSort| sign.is_none_or(|sign| sign.can_start(sort));
    let lineup = suspects(
        farm,
        &Charge {
            calls: &complained,
            way: sign.map_or(Passage::Any, |sign| sign.way),
            lag: sign
                .and_then(|sign| sign.lag)
                .map(|lag| (lag.least, lag.most)),
            can_start: &can_start,
        },
    );
    Ok(Inquiry {
        farm,
        sign,
        calls,
        left_out,
        lineup,
        all: args.all,
    })
}

/// Finds a row of the table by its name, or by words that lead to it.
fn sign_of(text: &str) -> Result<&'static Sign, Failure> {
    let found = Sign::named(text).or_else(|| Sign::all_in(text).into_iter().next());
    found.ok_or_else(|| {
        let names: Vec<&str> = crate::trade::SIGNS.iter().map(|sign| sign.name).collect();
        Failure::refused(format!(
            "the table of signs has no word of `{}`",
            text.trim()
        ))
        .hint(format!("its rows: {}", names.join(", ")))
    })
}

type Chosen<'a> = (Vec<Call<'a>>, Vec<Call<'a>>, Option<&'static Sign>);

/// Takes the open calls of one row of the table: the row asked for, or else that of the most calls.
fn open_calls<'a>(all: Vec<Call<'a>>, asked: Option<&'static Sign>) -> Result<Chosen<'a>, Failure> {
    let open: Vec<Call> = all.into_iter().filter(Call::is_open).collect();
    if open.is_empty() {
        return Err(Failure::refused("no complaint is open").hint(
            "name settled ones, as in `castlot suspects call-1`, or see `castlot complaint list`",
        ));
    }
    let Some(sign) = asked.or_else(|| commonest(&open)) else {
        return Ok((open, Vec::new(), None));
    };
    let (taken, left): (Vec<Call>, Vec<Call>) = open
        .into_iter()
        .partition(|call| call.signs().contains(&sign));
    if taken.is_empty() {
        return Err(
            Failure::refused(format!("no open complaint is about {}", sign.name)).hint(format!(
                "name the complaints that are, as in `castlot suspects call-1 --sign {}`",
                sign.name
            )),
        );
    }
    Ok((taken, left, Some(sign)))
}

/// Returns the row that the most calls lead to; of equal ones that of the latest call.
fn commonest(calls: &[Call]) -> Option<&'static Sign> {
    let rows = crate::trade::SIGNS.iter();
    let counted = rows.filter_map(|sign| {
        let of = calls.iter().filter(|call| call.signs().contains(&sign));
        let latest = of.clone().map(|call| call.entry.when.latest()).max()?;
        Some(((of.count(), latest), sign))
    });
    // The first of those that are equal in both: `max_by_key` would give the last.
    let best = counted.reduce(|best, next| if next.0 > best.0 { next } else { best });
    best.map(|(_, sign)| sign)
}

fn complained(call: &Call) -> Complained {
    let pack = match &call.about {
        About::Pack(run, serial) => Pack::Known(*run, *serial),
        About::AnyOf(runs, _) => Pack::OneOf(runs.iter().map(|candidate| candidate.run).collect()),
    };
    Complained {
        when: call.entry.when,
        pack,
    }
}
