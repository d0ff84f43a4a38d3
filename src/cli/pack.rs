//! `castlot pack`: packs filled.

use crate::farm::Noun;

use super::failure::Failure;
use super::shed::Shed;
use super::words;
use super::write_down::{Said, Typing, maybe, put};

/// Fill packs of a product.
///
/// The product is a key of castlot.toml. What goes in is named with its amount: the compost or the worms, and the bags,
/// tubs and lids too, so that a trace reaches them.
///
/// Example: `castlot pack bag5 4 --from sift-93:11.6kg pouches-1:4`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The product, as castlot.toml has it.
    #[arg(value_name = "PRODUCT")]
    product: String,
    /// How many packs.
    #[arg(value_name = "COUNT")]
    count: String,
    /// What goes in: `LOT:AMOUNT`, or lots and amounts in turn.
    #[arg(long, value_name = "LOT:AMOUNT", num_args = 1.., required = true)]
    from: Vec<String>,
    /// The best-by date, where it is not to be worked out.
    #[arg(long, value_name = "DATE")]
    best_by: Option<String>,
    /// Why a lot that is held is packed all the same.
    #[arg(long, value_name = "WHY")]
    despite: Option<String>,
    /// Your own mark for the run.
    #[arg(long = "ref", value_name = "REF")]
    mark: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Fills packs.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, settings| {
        let mut row = args.said.row(Noun::Pack);
        put(&mut row, "product", &*args.product);
        put(&mut row, "count", &*args.count);
        put(
            &mut row,
            "from",
            words::takings(&args.from, &settings.measures)?,
        );
        maybe(&mut row, "best_by", args.best_by.as_deref());
        maybe(&mut row, "despite", args.despite.as_deref());
        maybe(&mut row, "ref", args.mark.as_deref());
        Ok(vec![row])
    })
}
