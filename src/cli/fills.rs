//! `castlot fills`: what the packs of a run were found to hold, held against the rule that suits them.

use std::path::PathBuf;

use crate::desk::densities;
use crate::desk::fills_check::{Checked, check, check_all};
use crate::desk::fills_hold;
use crate::farm::{Farm, LotId, Settings};
use crate::trade::{Measuring, Verdict};

use super::failure::{Failure, Kind};
use super::label_file::write_whole;
use super::named::Asking;
use super::refusing::refused;
use super::shed::Shed;
use super::{fills_json, fills_page, fills_svg, out, voice};

/// Hold a run's fills against the packers' rule of its country, with a chart of them.
///
/// Goes by what was weighed with `castlot weigh`: mean, spread, how many packs are short, and whether the run meets the
/// plan as copied here. It leaves with 1 where it does not. Without RUN, it lists every run that was weighed, and leaves
/// with 1 where one that does not meet its plan has packs in store and is not held.
///
/// Example: `castlot fills run-42`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The run: its code or ref, or the text of a pack's label.
    #[arg(value_name = "RUN")]
    run: Vec<String>,
    /// Packs were opened to be measured: go by the plan for that.
    #[arg(long, requires = "run")]
    opened: bool,
    /// Hold the run if it does not meet the plan, and release it from such a hold if it does.
    #[arg(long, requires = "run")]
    hold: bool,
    /// Write the chart to this file as well.
    #[arg(long, value_name = "FILE.svg", requires = "run")]
    svg: Option<PathBuf>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    if args.run.is_empty() {
        return list(shed, &farm, &settings);
    }
    let run = find(&farm, &settings, args)?;
    let measuring = if args.opened {
        Measuring::Opened
    } else {
        Measuring::Whole
    };
    let checked = check(&farm, &settings, run, measuring).ok_or_else(|| not_a_run(&farm, run))?;
    let warnings = densities::words_of_run(&farm, run, &settings);
    if shed.json {
        out::print(&fills_json::text(&farm, &checked, &warnings))?;
    } else {
        out::print(&fills_page::page(&farm, &checked))?;
        if checked.fills.turned {
            for line in &warnings {
                voice::note(format!("warning: {line}"));
            }
        }
    }
    if let Some(path) = &args.svg {
        let nothing = || Failure::refused("nothing was measured, so that there is nothing to draw");
        let svg = fills_svg::drawing(&farm, &checked).ok_or_else(nothing)?;
        write_whole(path, svg.as_bytes())?;
    }
    if args.hold && !hold_now(shed, &settings, run)? {
        voice::note("note: nothing to hold, and nothing to release");
    }
    left_with(&farm, &checked, args.hold)
}

/// Records what a run's fills ask for now; `false` where they ask for nothing.
fn hold_now(shed: &Shed, settings: &Settings, run: LotId) -> Result<bool, Failure> {
    let stamp = shed.stamp(settings);
    let mut asked = true;
    let recording = shed.write(settings, |farm| {
        let draft = fills_hold::asked(farm, settings, run, &stamp);
        asked = draft.is_some();
        let drafts = draft.into_iter().collect();
        farm.record(drafts, shed.now).map_err(refused)
    })?;
    if asked {
        shed.tell(&recording)?;
    }
    Ok(asked)
}

fn list(shed: &Shed, farm: &Farm, settings: &Settings) -> Result<(), Failure> {
    let all = check_all(farm, settings);
    out::print(&if shed.json {
        fills_json::list(farm, &all)
    } else {
        fills_page::list(farm, &all)
    })?;
    let overlooked = fills_hold::overlooked(farm, &all);
    let told = fills_hold::told_of_overlooked(overlooked.len());
    let (Some(first), Some(told)) = (overlooked.first(), told) else {
        return Ok(());
    };
    let code = farm.lot(first.run).code;
    let mut failure = Failure::refused(told).hint(format!(
        "look at it with `castlot fills {code}`, or hold it with `castlot fills {code} --hold`"
    ));
    failure.kind = Kind::Found;
    Err(failure)
}

fn find(farm: &Farm, settings: &Settings, args: &Args) -> Result<LotId, Failure> {
    let asking = Asking {
        farm,
        settings,
        command: "fills",
    };
    let (run, _) = asking.find_lot(&args.run.join(" "), None)?;
    Ok(run)
}

fn not_a_run(farm: &Farm, lot: LotId) -> Failure {
    let lot = farm.lot(lot);
    let (code, is) = (lot.code, lot.sort.word());
    Failure::refused(format!("{code} is not a pack run, but {is}"))
        .hint(format!("see what it is with `castlot show {code}`"))
}

fn left_with(farm: &Farm, checked: &Checked<'_>, held_now: bool) -> Result<(), Failure> {
    let code = farm.lot(checked.run).code;
    match checked.verdict() {
        Verdict::Meets => Ok(()),
        Verdict::TooFew { .. } if checked.judged.is_none() => {
            let amount = checked.product.net;
            voice::note(format!(
                "hint: measure some, and note it: `castlot weigh {code} {amount} {amount}`"
            ));
            Ok(())
        }
        Verdict::TooFew { .. } => Ok(()),
        Verdict::DoesNotMeet => {
            let plan = checked.rule.called();
            let mut failure = Failure::refused(format!("{code} does not meet {plan}"));
            failure.kind = Kind::Found;
            if farm.lot(checked.run).is_held() || held_now {
                failure.hint_once(format!(
                    "when it has been worked over, weigh it again: `castlot weigh {code} AMOUNT`"
                ));
            } else {
                failure.hint_once(format!(
                    "hold it until it has been worked over: `castlot fills {code} --hold`"
                ));
            }
            Err(failure)
        }
    }
}
