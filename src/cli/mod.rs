//! The terminal: one file a command, each of which parses, calls and prints. The only look at the clock,
//! the environment and the working folder.

mod awaiting;
mod balance;
mod balance_json;
mod balance_page;
mod bed;
mod bed_life;
mod bed_life_page;
mod bed_list;
mod beds;
mod blend;
mod call_page;
mod check;
mod complaint;
mod complaint_list;
mod complaint_show;
mod complaint_take;
mod complaint_write;
mod correct;
mod count;
mod demo;
mod demo_labels;
mod drill;
mod entries;
mod export;
mod failure;
mod feed;
mod fill_target;
mod fill_target_page;
mod fills;
mod fills_chart;
mod fills_json;
mod fills_page;
mod fills_svg;
mod find;
mod forget;
mod give_back;
mod hatchery;
mod hatchery_json;
mod hatchery_page;
mod herds;
mod hint;
mod hold;
mod import;
mod label;
mod label_again;
mod label_failure;
mod label_file;
mod label_pick;
mod label_placing;
mod label_ruler;
mod log;
mod move_bin;
mod named;
mod new;
mod oldest;
mod out;
mod outlook;
mod outlook_feed;
mod outlook_json;
mod outlook_page;
mod outlook_svg;
mod outlook_text;
mod outlook_work;
mod own_templates;
mod pack;
mod pack_told;
mod pages_disk;
mod pages_folder;
mod pages_list;
mod pages_others;
mod pages_run;
#[cfg(test)]
mod pages_run_test;
mod paper;
mod paper_dispatch;
mod paper_recall;
mod paper_round;
mod paper_trace_file;
mod permissions;
mod phrase;
mod pin;
mod proof;
mod public_words;
mod publish;
mod publish_told;
mod reached;
mod recall;
mod recall_json;
mod recall_page;
mod recall_reply;
mod recall_who;
mod reconcile;
mod reconcile_digest;
mod reconcile_rows;
mod reconcile_told;
mod record;
mod record_help;
mod recording;
mod refusing;
mod release;
mod round;
mod round_filled;
mod round_json;
mod round_record;
mod sales;
mod scan;
mod scan_line;
mod scan_look;
mod sell;
mod sell_told;
mod serve;
mod settings_file;
mod settings_fills;
mod settings_label;
mod settings_limits;
mod settings_permission;
mod settings_printer;
mod settings_product;
mod settings_public;
mod settings_qr;
mod settings_round;
mod shed;
mod shelves;
mod show;
mod show_json;
mod sieve;
mod skip;
mod split;
mod stock;
mod stock_page;
mod stock_run;
mod strike;
mod suspects;
mod suspects_json;
mod suspects_page;
mod suspects_verdict;
mod table;
#[cfg(test)]
mod test_farm;
mod throw;
mod tip;
mod tonnage;
mod trace;
mod trace_back;
mod trace_forward;
mod trace_json;
mod undo;
mod verify;
mod voice;
mod waiting;
mod weigh;
mod whom;
mod write_down;

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

/// What every command takes stands after what is its own.
const LAST: usize = 900;

/// What every command takes.
#[derive(Debug, clap::Args)]
struct Common {
    /// The farm's folder.
    #[arg(
        long,
        global = true,
        display_order = LAST,
        env = "CASTLOT_FARM",
        value_name = "DIR",
        default_value = "."
    )]
    farm: PathBuf,
    /// Print data as one JSON object.
    #[arg(long, global = true, display_order = LAST)]
    json: bool,
    /// Who records, or whose entries are asked for: initials. `CASTLOT_BY` says who records where this does not.
    #[arg(long, global = true, display_order = LAST, value_name = "INITIALS")]
    by: Option<String>,
}

#[derive(Debug, Subcommand)]
enum Command {
    #[command(flatten)]
    Recording(recording::Recording),
    Demo(demo::Args),
    Label(label::Args),
    Paper(paper::Args),
    Drill(drill::Args),
    Publish(publish::Args),
    Serve(serve::Args),
    Recall(recall::Args),
    Balance(balance::Args),
    Tonnage(tonnage::Args),
    Trace(trace::Args),
    Suspects(suspects::Args),
    Show(show::Args),
    Find(find::Args),
    Beds(beds::Args),
    Round(round::Args),
    Scan(scan::Args),
    BedLife(bed_life::Args),
    Hatchery(hatchery::Args),
    Outlook(outlook::Args),
    Stock(stock::Args),
    Fills(fills::Args),
    FillTarget(fill_target::Args),
    Permissions(permissions::Args),
    Pin(pin::Args),
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
    match &cli.command {
        Command::Recording(command) => command.run(&shed),
        Command::Demo(args) => demo::run(args),
        Command::Label(args) => label::run(&shed, args),
        Command::Paper(args) => paper::run(&shed, args),
        Command::Drill(args) => drill::run(&shed, args),
        Command::Publish(args) => publish::run(&shed, args),
        Command::Serve(args) => serve::run(&shed, args),
        Command::Suspects(args) => suspects::run(&shed, args),
        Command::Recall(args) => recall::run(&shed, args),
        Command::Balance(args) => balance::run(&shed, args),
        Command::Tonnage(args) => tonnage::run(&shed, args),
        Command::Trace(args) => trace::run(&shed, args),
        Command::Show(args) => show::run(&shed, args),
        Command::Find(args) => find::run(&shed, args),
        Command::Beds(args) => beds::run(&shed, args),
        Command::Round(args) => round::run(&shed, args),
        Command::Scan(args) => scan::run(&shed, args),
        Command::BedLife(args) => bed_life::run(&shed, args),
        Command::Hatchery(args) => hatchery::run(&shed, args),
        Command::Outlook(args) => outlook::run(&shed, args),
        Command::Stock(args) => stock::run(&shed, args),
        Command::Fills(args) => fills::run(&shed, args),
        Command::FillTarget(args) => fill_target::run(&shed, args),
        Command::Permissions(args) => permissions::run(&shed, args),
        Command::Pin(args) => pin::run(&shed, args),
        Command::Log(args) => log::run(&shed, args),
    }
}
