//! `castlot throw`: some of a lot, packs, or a whole bed thrown out.

use crate::desk::rows::put;
use crate::desk::words::{self, Piece};
use crate::farm::{Measures, Noun};

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Throw something out: some of a lot, packs, or a whole bed.
///
/// Says what and how much of it (`mix-110 1.2kg`), which packs (`run-90/1-3`), or which bins, whose beds end there.
///
/// Example: `castlot throw mix-109 500g --why "turned sour"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Lots and amounts, packs, or bins.
    #[arg(value_name = "WHAT", required = true)]
    what: Vec<String>,
    /// Why.
    #[arg(long, value_name = "WHY")]
    why: String,
    #[command(flatten)]
    said: Said,
}

/// Throws something out.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, settings| {
        let rows = rows(&args.what, &settings.measures)?
            .into_iter()
            .map(|what| {
                let mut row = args.said.row(Noun::Thrown);
                put(&mut row, "what", what);
                put(&mut row, "why", &*args.why);
                row
            });
        Ok(rows.collect())
    })
}

/// Cuts what was typed into what each row throws out: packs together, every lot and bed by itself.
fn rows(words: &[String], measures: &Measures) -> Result<Vec<String>, Failure> {
    if words::has_picks(words) {
        return Ok(vec![words::picks(words)?]);
    }
    let mut rows = Vec::new();
    for piece in words::pieces(words, measures) {
        match piece {
            Piece::Taken(taken) => rows.push(taken),
            Piece::Name(name) => rows.extend(words::beds([&name])?),
        }
    }
    Ok(rows)
}
