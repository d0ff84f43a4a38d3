//! `castlot skip`: beds passed over, and why.

use crate::desk::rows::put;
use crate::desk::words;
use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Note that beds were not fed, and why.
///
/// The most useful line of all: food that is left says more of a bed than food that is given. The last word is the
/// reason, in quotes where it has spaces.
///
/// Example: `castlot skip A05 A09 "food left"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Beds, then why they were passed over.
    #[arg(value_names = ["BED", "WHY"], required = true, num_args = 2..)]
    words: Vec<String>,
    #[command(flatten)]
    said: Said,
}

/// Notes beds that were passed over.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (why, beds) = args
        .words
        .split_last()
        .expect("clap asks for two words at least");
    let beds = words::beds(beds)?;
    shed.record(Typing::Words, |farm, _| {
        let is_bin = why.parse().is_ok_and(|bin| farm.bins().contains_key(&bin));
        if is_bin || why.contains("..") {
            return Err(
                Failure::refused(format!("`{why}` is a bed; nothing is said of why")).hint(
                    format!("say why, in quotes, as in `castlot skip {why} \"food left\"`"),
                ),
            );
        }
        let rows = beds.into_iter().map(|bed| {
            let mut row = args.said.row(Noun::Skip);
            put(&mut row, "bin", bed);
            put(&mut row, "why", why.clone());
            row
        });
        Ok(rows.collect())
    })
}
