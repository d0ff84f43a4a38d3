//! The terminal: one file a command, each of which parses, calls and prints. The only look at the clock,
//! the environment and the working folder.

mod alert;
mod bed_list;
mod beds;
mod entries;
mod failure;
mod find;
mod half_code;
mod log;
mod named;
mod out;
mod period;
mod phrase;
mod sales;
mod settings_file;
mod shed;
mod shelves;
mod show;
mod show_json;
mod stock;
mod stock_page;
mod table;
mod telling;
mod telling_after;
#[cfg(test)]
mod test_farm;
mod trace;

mod trace_back;
mod trace_forward;
mod trace_json;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use failure::Failure;
use shed::Shed;

/// Keep the lots of a small worm farm, trace them, and print their labels.
#[derive(Debug, Parser)]
#[command(name = "castlot", version, max_term_width = 100)]
struct Cli {
    #[command(flatten)]
    common: Common,
    #[command(subcommand)]
    command: Command,
}

/// What every command takes.
#[derive(Debug, clap::Args)]
struct Common {
    /// The farm's folder.
    #[arg(
        long,
        global = true,
        env = "CASTLOT_FARM",
        value_name = "DIR",
        default_value = "."
    )]
    farm: PathBuf,
    /// Print data as one JSON object.
    #[arg(long, global = true)]
    json: bool,
    /// Who records, or whose entries are asked for: initials. `CASTLOT_BY` says who records where this does not.
    #[arg(long, global = true, value_name = "INITIALS")]
    by: Option<String>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Trace(trace::Args),
    Show(show::Args),
    Find(find::Args),
    Beds(beds::Args),
    Stock(stock::Args),
    Log(log::Args),
}

/// Runs the program and returns what it leaves with.
pub fn main() -> ExitCode {
    let cli = Cli::parse();
    match run(cli) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            failure.exit_code()
        }
    }
}

fn run(cli: Cli) -> Result<(), Failure> {
    let shed = Shed::of(cli.common)?;
    match cli.command {
        Command::Trace(args) => trace::run(&shed, &args),
        Command::Show(args) => show::run(&shed, &args),
        Command::Find(args) => find::run(&shed, &args),
        Command::Beds(args) => beds::run(&shed, &args),
        Command::Stock(args) => stock::run(&shed, &args),
        Command::Log(args) => log::run(&shed, &args),
    }
}
