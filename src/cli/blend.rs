//! `castlot blend`: lots put together into a batch.

use crate::desk::rows::{maybe, put};
use crate::desk::words::{self, Piece};
use crate::farm::{Farm, LotName, Noun, Quantity, Settings};

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Put lots together: a bucket of feed, a heap of bedding, castings of several sievings.
///
/// Names the kind (feed, bedding, castings, worms, cocoons, overs or liquid), then lots and amounts. Packs that are
/// opened and used again are named by their serials, `run-7/1-3 15L`, or `run-7/1-3` for about what they declare; they
/// leave the shelf, and a trace goes on through them.
///
/// Example: `castlot blend feed manure-7 4.5kg grain-6 2.6kg card-6 1.6kg --ref mix-111`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What it makes.
    #[arg(value_name = "KIND")]
    kind: String,
    /// What goes in: lots and amounts in turn, or `LOT:AMOUNT`; packs by run and serials.
    #[arg(value_name = "LOT AMOUNT", required = true)]
    from: Vec<String>,
    /// Your own mark for the batch.
    #[arg(long = "ref", value_name = "REF")]
    mark: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Blends lots.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |farm, settings| {
        let mut row = args.said.row(Noun::Blend);
        put(&mut row, "kind", &*args.kind);
        put(&mut row, "from", takings(&args.from, farm, settings)?);
        maybe(&mut row, "ref", args.mark.as_deref());
        Ok(vec![row])
    })
}

/// Writes what goes in; of opened packs whose amount nobody said, about what they declare.
fn takings(typed: &[String], farm: &Farm, settings: &Settings) -> Result<String, Failure> {
    let pieces = words::pieces(typed, &settings.measures).into_iter();
    let takings = pieces.map(|piece| match piece {
        Piece::Taken(taking) => Ok(taking),
        Piece::Name(name) => match opened(&name, farm) {
            Some(about) => Ok(format!("{name} ~{about}")),
            None => Err(words::no_amount(&name)),
        },
    });
    Ok(takings.collect::<Result<Vec<_>, _>>()?.join("; "))
}

/// Returns what some packs of a run declare together; `None` where the name is of no packs.
fn opened(name: &str, farm: &Farm) -> Option<Quantity> {
    let (run, serials) = name.rsplit_once(['/', '#'])?;
    let (first, last) = serials.split_once('-').unwrap_or((serials, serials));
    let packs = last.parse::<u64>().ok()?.checked_sub(first.parse().ok()?)? + 1;
    let run = match LotName::read(run.trim()).ok()? {
        LotName::Code(code) => farm.lot_of(code),
        LotName::Mark(mark) => farm.marked(&mark),
    };
    let net = farm.product(run?)?.net;
    Some(Quantity::new(net.value().saturating_mul(packs), net.unit()))
}
