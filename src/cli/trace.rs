//! `castlot trace`: where a lot came from, where it went, how much of it, and who has packs.
//!
//! The JSON of `--json` is in `trace_json`, the page for people in `trace_back` and `trace_forward`.

use std::str::FromStr;

use crate::farm::{Farm, LotSort, Moment, Settings};
use crate::trace::{Question, Side, Source, Trace, trace};

use super::failure::Failure;
use super::named::Asking;
use super::out;
use super::phrase::count;
use super::shed::Shed;
use super::{trace_back, trace_forward, trace_json};

/// Trace a pack, a batch, a bed or a delivery: where it came from, or where it went and who has packs of it.
///
/// A pack, a run or a batch is traced back, a delivery or a bed forward. CODE may be a code, a ref, a bin (its bed
/// then), or the text that a scanner reads from a label. Shares are by weight as recorded; `~` marks one that
/// rests on a guess, and what is not known is said.
///
/// Example: castlot trace run-36 --farm demo-farm
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub struct Args {
    /// What to trace.
    code: String,
    /// Show where it came from.
    #[arg(long, conflicts_with = "forward")]
    back: bool,
    /// Show where it went.
    #[arg(long)]
    forward: bool,
    /// The moment to ask for: back from then, or forward from then.
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
    /// Leave out parts smaller than this, as in `1%`, and say how many.
    #[arg(long, value_name = "SHARE")]
    min_share: Option<MinShare>,
}

/// The smallest share that is shown, of one.
#[derive(Clone, Copy, Debug, PartialEq)]
struct MinShare(f64);

/// Why a text is not a smallest share.
#[derive(Debug, PartialEq, thiserror::Error)]
#[error("`{typed}` is not a share; write one as in `1%`")]
struct MinShareError {
    typed: String,
}

impl FromStr for MinShare {
    type Err = MinShareError;

    fn from_str(text: &str) -> Result<Self, MinShareError> {
        let typed = text.trim();
        let share = match typed.strip_suffix('%') {
            Some(percent) => percent.trim().parse::<f64>().map(|percent| percent / 100.0),
            None => typed.parse(),
        };
        let sound = share.ok().filter(|share| (0.0..=1.0).contains(share));
        sound.map(Self).ok_or_else(|| MinShareError {
            typed: typed.to_owned(),
        })
    }
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let answer = answered(&farm, &settings, args)?;
    let text = if shed.json {
        if let Some(hidden) = answer.hidden_note() {
            eprintln!("{hidden}");
        }
        trace_json::text(&farm, &answer.trace)
    } else {
        page(&farm, &answer)
    };
    out::print(&text)
}

/// An answer, with small parts taken out.
struct Answer<'a> {
    trace: Trace<'a>,
    /// How many were taken out, and the smallest share that was asked for.
    hidden: (usize, f64),
}

impl Answer<'_> {
    fn hidden_note(&self) -> Option<String> {
        let (hidden, least) = self.hidden;
        let parts = count(hidden as u64, "part", "parts");
        (hidden > 0).then(|| format!("{parts} under {}% left out", least * 100.0))
    }
}

fn answered<'a>(farm: &'a Farm, settings: &Settings, args: &Args) -> Result<Answer<'a>, Failure> {
    let when = match &args.when {
        None => None,
        Some(text) => Some(
            Moment::read(text, settings.dates, &settings.zone)
                .map_err(|error| Failure::refused(error.to_string()))?,
        ),
    };
    let asking = Asking {
        farm,
        settings,
        command: "trace",
    };
    let (lot, serial) = asking.find_lot(&args.code, when)?;
    let side = match (args.back, args.forward) {
        (true, _) => Side::Back,
        (false, true) => Side::Forward,
        (false, false) => Side::that_suits(farm.lot(lot).sort),
    };
    let question = Question {
        lot,
        serial,
        when,
        side,
    };
    let mut trace = trace(farm, question);
    let least = args.min_share.map_or(0.0, |least| least.0);
    let mut hidden = 0;
    if let Some(back) = &mut trace.back {
        let before = back.len();
        back.retain(|source: &Source| source.share.is_none_or(|share| share >= least));
        hidden = before - back.len();
    }
    let hidden = (hidden, least);
    Ok(Answer { trace, hidden })
}

fn page(farm: &Farm, answer: &Answer) -> String {
    let Trace {
        question,
        back,
        forward,
        buyers,
    } = &answer.trace;
    match (back, forward) {
        (Some(sources), _) => {
            let page = trace_back::Page {
                farm,
                question: *question,
                sources,
                buyers,
            };
            page.text(answer.hidden_note())
        }
        (None, Some(uses)) => {
            let is_run = matches!(farm.lot(question.lot).sort, LotSort::Run(_));
            let page = trace_forward::Page {
                farm,
                question: *question,
                uses,
                buyers,
                is_run,
            };
            page.text()
        }
        (None, None) => String::new(),
    }
}
