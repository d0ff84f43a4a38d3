//! `castlot check`: what somebody saw in beds.

use crate::desk::rows::{maybe, put};
use crate::desk::words;
use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Note what you saw in beds.
///
/// Says of each bed that is named how much food is left, how wet it is, how warm, and what lives in it; whatever was
/// looked at, and nothing else.
///
/// Example: `castlot check A09 --feed-left lots --temp 24 --smell sour`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Beds: bins, ranges of bins, codes or refs.
    #[arg(value_name = "BED", required = true)]
    beds: Vec<String>,
    /// How much of the last feed is left: none, some or lots.
    #[arg(long, value_name = "HOW MUCH")]
    feed_left: Option<String>,
    /// What a handful gives: dry, drops or stream.
    #[arg(long, value_name = "WHAT")]
    squeeze: Option<String>,
    /// Moisture in per cent.
    #[arg(long, value_name = "PER CENT")]
    moisture: Option<String>,
    /// Degrees Celsius in the bed.
    #[arg(
        long = "temp",
        alias = "temperature-c",
        value_name = "DEGREES",
        allow_negative_numbers = true
    )]
    temperature_c: Option<String>,
    /// pH of the bed.
    #[arg(long, value_name = "PH")]
    ph: Option<String>,
    /// The look of the worms.
    #[arg(long, value_name = "LOOK")]
    worms: Option<String>,
    /// The look, or the number, of the cocoons.
    #[arg(long, value_name = "LOOK")]
    cocoons: Option<String>,
    /// The smell: earth, sour, ammonia.
    #[arg(long, value_name = "SMELL")]
    smell: Option<String>,
    /// Mites, flies and the like.
    #[arg(long, value_name = "WHAT")]
    pests: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Notes what was seen.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let beds = words::beds(&args.beds)?;
    let seen = [
        ("feed_left", &args.feed_left),
        ("squeeze", &args.squeeze),
        ("moisture", &args.moisture),
        ("temperature_c", &args.temperature_c),
        ("ph", &args.ph),
        ("worms", &args.worms),
        ("cocoons", &args.cocoons),
        ("smell", &args.smell),
        ("pests", &args.pests),
    ];
    shed.record(Typing::Flags, |_, _| {
        let rows = beds.into_iter().map(|bed| {
            let mut row = args.said.row(Noun::Check);
            put(&mut row, "bin", bed);
            for (column, text) in seen {
                maybe(&mut row, column, text.as_deref());
            }
            row
        });
        Ok(rows.collect())
    })
}
