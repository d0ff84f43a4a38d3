//! `castlot complaint`: the calls of people who bought something, from the telephone to the settling.

use clap::Subcommand;

use super::failure::Failure;
use super::shed::Shed;
use super::{complaint_list, complaint_show, complaint_take, complaint_write};

/// Take a complaint, list complaints, look at one, narrow it to a pack, settle it.
///
/// A call is saved even with half a code; every run that may be meant stays a suspect until the call is narrowed.
///
/// Example: `castlot complaint take --sign "bean leaves cupped" --heard "seventy dash oh one" --about 2026-06`
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    step: Step,
}

#[derive(Debug, Subcommand)]
enum Step {
    Take(complaint_take::Args),
    List(complaint_list::Args),
    Show(complaint_show::Args),
    Narrow(complaint_write::Narrow),
    Settle(complaint_write::Settle),
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    match &args.step {
        Step::Take(args) => complaint_take::run(shed, args),
        Step::List(args) => complaint_list::run(shed, args),
        Step::Show(args) => complaint_show::run(shed, args),
        Step::Narrow(args) => complaint_write::narrow(shed, args),
        Step::Settle(args) => complaint_write::settle(shed, args),
    }
}
