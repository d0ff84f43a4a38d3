//! `castlot complaint list`: every complaint, its pack, and whether it is settled.
//!
//! `--json` prints `{"complaints": [...]}`, each as `complaint show --json` prints it.

use serde::Serialize;

use crate::desk::call::Call;
use crate::farm::{Farm, Settings};

use super::complaint_show::CallJson;
use super::failure::Failure;
use super::phrase::at;
use super::shed::Shed;
use super::table::{Set, Table};
use super::{call_page, out};

/// List the complaints, oldest first.
///
/// Example: `castlot complaint list --open`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Leave out those that are settled.
    #[arg(long)]
    open: bool,
}

#[derive(Serialize)]
struct All {
    complaints: Vec<CallJson>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed.json, args))
}

fn text(farm: &Farm, settings: &Settings, json: bool, args: &Args) -> String {
    let mut calls = Call::all(farm, settings);
    calls.retain(|call| call.is_open() || !args.open);
    calls.sort_by_key(|call| (call.entry.when.earliest(), call.entry.number));
    if json {
        let complaints = calls.iter().map(|call| CallJson::of(farm, call)).collect();
        return out::json(&All { complaints });
    }
    if calls.is_empty() {
        return "no complaints\n".to_owned();
    }
    let columns = [
        ("name", Set::Whole),
        ("taken", Set::Whole),
        ("state", Set::Whole),
        ("pack", Set::Whole),
        ("sign", Set::Text),
    ];
    let mut table = Table::new(&columns);
    for call in &calls {
        table.row(vec![
            call.name.to_string(),
            at(call.entry.when),
            state(call).to_owned(),
            call_page::about(farm, call),
            call.facts.sign.to_string(),
        ]);
    }
    table.to_string()
}

/// Returns the word for how a complaint stands.
pub fn state(call: &Call) -> &'static str {
    if call.is_open() { "open" } else { "settled" }
}
