//! `castlot outlook`: castings, worms and tubs to be expected in the weeks to come, and what they need.
//!
//! The keys of `--json` stand in `outlook_json.rs`; how figures are worked out, in `trade/forecast.rs`.

use std::path::PathBuf;

use crate::papers::OutlookPaper;

use super::failure::Failure;
use super::label_file::write_whole;
use super::outlook_work::outlook;
use super::paper::Desk;
use super::shed::Shed;
use super::{out, outlook_json, outlook_page, outlook_svg, outlook_text, voice};

/// Show what is to be expected of the beds in the weeks to come: castings, worms, tubs, and the feed they need.
///
/// Every bed goes by the past cycles of its species that took as long as it has been running, and its bin is bedded up
/// again after the usual gap; four thousand seasons are thrown with dice that always fall the same way. Given are what
/// stands in the middle, and what one in ten is below and above. With fewer than five past cycles it goes by the rule of
/// thumb: three to four weeks and two kilograms a bed, common practice. Best-bys that come up and castings older than 60
/// days stand below.
///
/// Example: `castlot outlook --weeks 8`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// How many weeks to look ahead.
    #[arg(long, default_value_t = 12, value_name = "NUMBER", value_parser = clap::value_parser!(u8).range(1..=52))]
    weeks: u8,
    /// Write the chart to this file as well.
    #[arg(long, value_name = "FILE.svg")]
    svg: Option<PathBuf>,
    /// Write it all as a paper to this file as well.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let desk = Desk::of(shed)?;
    let today = shed.stamp(&desk.settings).now.day();
    let ahead = outlook(&desk.farm, &desk.settings, today, usize::from(args.weeks));
    out::print(&if shed.json {
        outlook_json::text(&desk.farm, &ahead)
    } else {
        outlook_page::page(&desk.farm, &ahead)
    })?;
    if let Some(path) = &args.svg {
        write_whole(path, outlook_svg::drawing(&ahead).as_bytes())?;
        voice::note(format!("chart: {}", path.display()));
    }
    if let Some(path) = &args.out {
        let paper = OutlookPaper {
            title: outlook_text::title(&ahead),
            weeks: outlook_text::bars(&ahead),
            worms: outlook_text::worms(&ahead),
            notes: outlook_text::notes(&desk.farm, &ahead),
        };
        write_whole(path, &paper.to_pdf(desk.imprint())?)?;
        voice::note(format!("paper: {}", path.display()));
    }
    Ok(())
}
