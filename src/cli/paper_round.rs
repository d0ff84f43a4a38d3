//! `castlot paper round-sheet` and `castlot paper rack-card`: what is due on paper, and a rack as it stands.

use std::path::PathBuf;

use crate::papers::{Format, Imprint, RackCard, RoundSheet};
use crate::sheets;
use crate::trade::RoundName;

use super::failure::Failure;
use super::label_file::write_whole;
use super::paper::{Desk, put};
use super::phrase::{at, count};
use super::round::Which;
use super::shed::Shed;
use super::{out, round_filled};
use crate::desk::round::Drawn;

/// Write the sheet of a round: every bed in walking order, with boxes to circle.
///
/// A row a bed: a code to scan, the bin and the bed's own code, its last three feeds, what is due, and boxes for food left,
/// squeeze, smell, worms up the side, fed, and why not. The round's name stands at its head, and
/// `castlot round record` takes it back by that.
///
/// Example: `castlot paper round-sheet --rack R1 --out round.pdf`
#[derive(Debug, clap::Args)]
pub struct SheetArgs {
    #[command(flatten)]
    which: Which,
    /// The file to write; named after the round where it is not given.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Write an empty sheet to fill in as CSV too.
    #[arg(long, value_name = "FILE.csv")]
    csv: Option<PathBuf>,
}

/// Write a card for a rack's upright: a drawing of the rack as it stands.
///
/// Shelf by shelf, each place with its bin, the species in it, the day it was bedded, and the day it is next due.
///
/// Example: `castlot paper rack-card R1 --a5`
#[derive(Debug, clap::Args)]
pub struct CardArgs {
    /// The rack.
    #[arg(value_name = "RACK")]
    rack: String,
    /// On A5; on A4 where this is not said.
    #[arg(long)]
    a5: bool,
    /// The file to write; named after the rack where it is not given.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
}

/// Writes a round sheet.
pub fn sheet(shed: &Shed, desk: &Desk, args: &SheetArgs) -> Result<(), Failure> {
    let name = args.which.name(shed, &desk.settings)?;
    let drawn = Drawn::of(&desk.farm, &desk.settings, name)?;
    if drawn.stops.is_empty() {
        return Err(Failure::refused("there is no bed to go round to")
            .hint("see what stands where with `castlot beds`"));
    }
    let sheet = RoundSheet {
        farm: &drawn.farm,
        settings: &desk.settings,
        name: &drawn.name,
        stops: &drawn.stops,
    };
    let bytes = sheet.to_pdf(printed(shed, desk))?;
    let named = || {
        PathBuf::from(format!(
            "round-{}.pdf",
            drawn.name.to_string().replace('/', "-")
        ))
    };
    put(&args.out.clone().unwrap_or_else(named), &bytes)?;
    let Some(path) = &args.csv else {
        return Ok(());
    };
    let rows = drawn.stops.iter().map(|stop| {
        let mut row: [String; 9] = Default::default();
        row[0] = stop.bin.to_string();
        row[7] = stop
            .place
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default();
        row
    });
    let rows: Vec<[String; 9]> = rows.collect();
    let many = count(rows.len(), "row", "rows");
    write_whole(path, &sheets::list(round_filled::COLUMNS, rows))?;
    out::print(&format!("{many}: {}\n", path.display()))
}

/// Writes a rack card.
pub fn card(shed: &Shed, desk: &Desk, args: &CardArgs) -> Result<(), Failure> {
    let rack = Some(args.rack.trim().to_ascii_uppercase());
    let day = shed.stamp(&desk.settings).now.day();
    let drawn = Drawn::of(&desk.farm, &desk.settings, RoundName { day, rack })?;
    let card = RackCard {
        farm: &drawn.farm,
        settings: &desk.settings,
        name: &drawn.name,
        stops: &drawn.stops,
        format: if args.a5 { Format::A5 } else { Format::A4 },
    };
    let bytes = card.to_pdf(printed(shed, desk))?;
    let rack = drawn.name.rack.unwrap_or_default();
    let named = || PathBuf::from(format!("rack-{rack}.pdf"));
    put(&args.out.clone().unwrap_or_else(named), &bytes)
}

/// Returns what stands on every page, with the moment of printing.
fn printed(shed: &Shed, desk: &Desk) -> Imprint {
    let now = shed.stamp(&desk.settings).now;
    Imprint {
        printed: Some(at(now)),
        ..desk.imprint()
    }
}
