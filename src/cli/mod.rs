//! The terminal: one file a command, each of which parses, calls and prints. The only look at the clock,
//! the environment and the working folder.

mod failure;
mod publish;
mod settings_file;
mod shed;

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
    /// Who records: initials.
    #[arg(long, global = true, env = "CASTLOT_BY", value_name = "INITIALS")]
    by: Option<String>,
}

#[derive(Debug, Subcommand)]
enum Command {}

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
    let _shed = Shed::of(cli.common)?;
    match cli.command {}
}
