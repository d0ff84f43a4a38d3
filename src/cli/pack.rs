//! `castlot pack`: packs filled, with what they were filled from and what is left of it.

use crate::desk::rows::{maybe, put};
use crate::desk::words::{self, Piece};
use crate::farm::{
    DeliveryKind, Farm, LotId, LotLetter, LotSort, Noun, PackKind, Product, Quantity, Settings,
    Unit,
};
use crate::sheets::Row;

use super::failure::Failure;
use super::named::Asking;
use super::phrase::listed;
use super::shed::Shed;
use super::write_down::{Said, Typing};
use super::{pack_told, voice};

/// Fill packs of a product.
///
/// The product is a key of castlot.toml. What goes in is named with its amount: the compost or the worms, and the bags,
/// tubs and lids too, so that a trace reaches them. Without amounts, castlot works them out: of bags and the like as
/// many as packs, of the one lot that fills them what the packs declare. Packs weighed, measured or counted out at once
/// are noted with `--check`, in the same step. Prints the packs, their best by, and what is left of what went in.
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
    /// What goes in: `LOT:AMOUNT`, or lots and amounts in turn; or lots alone.
    #[arg(long, value_name = "LOT:AMOUNT", num_args = 1.., required = true)]
    from: Vec<String>,
    /// The best-by date, where it is not to be worked out.
    #[arg(long, value_name = "DATE")]
    best_by: Option<String>,
    /// What some of the packs held when they were weighed, measured or counted out: `"50; 51; 49"`.
    #[arg(long, value_name = "VALUES")]
    check: Option<String>,
    /// What an empty pack weighs, where the check was of full ones.
    #[arg(long, value_name = "AMOUNT", requires = "check")]
    tare: Option<String>,
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
    let recording = shed.record_and_give(Typing::Words, |farm, settings| {
        let mut row = args.said.row(Noun::Pack);
        put(&mut row, "product", &*args.product);
        put(&mut row, "count", &*args.count);
        put(&mut row, "from", args.taken(farm, settings)?);
        maybe(&mut row, "best_by", args.best_by.as_deref());
        maybe(&mut row, "despite", args.despite.as_deref());
        maybe(&mut row, "ref", args.mark.as_deref());
        let check = args.checked(shed, farm, settings, &mut row);
        Ok(std::iter::once(row).chain(check).collect())
    })?;
    if !shed.json {
        pack_told::tell(&recording)?;
    }
    let farm = &recording.farm;
    let run = recording
        .entries()
        .iter()
        .find_map(|entry| farm.lot_of(entry.made()?));
    if let Some(word) = run.and_then(|run| odd_net(farm.product(run)?)) {
        voice::note(format!("warning: {word}"));
    }
    Ok(())
}

impl Args {
    /// Writes what goes in; amounts that nobody said are worked out from what the packs declare.
    fn taken(&self, farm: &Farm, settings: &Settings) -> Result<String, Failure> {
        let pieces = words::pieces(&self.from, &settings.measures);
        let product = settings.products.get(&self.product);
        let Some((product, count)) = product.zip(self.count.parse::<u64>().ok()) else {
            // What is wrong with these is for the sheets' reader to say.
            let written = pieces.into_iter().map(|piece| match piece {
                Piece::Taken(taking) => taking,
                Piece::Name(name) => format!("{name} ?"),
            });
            return Ok(written.collect::<Vec<_>>().join("; "));
        };
        let asking = Asking {
            farm,
            settings,
            command: "show",
        };
        let (mut written, mut filled) = (Vec::new(), Vec::new());
        for piece in pieces {
            match piece {
                Piece::Taken(taking) => written.push(taking),
                Piece::Name(name) => {
                    let (lot, serial) = asking.find_lot(&name, None)?;
                    let of_one = match (serial, is_packing(farm, lot)) {
                        (None, Some(true)) => Quantity::new(1, Unit::Pieces),
                        (None, None) => {
                            filled.push(name.clone());
                            product.product.net
                        }
                        (Some(_), _) | (None, Some(false)) => {
                            return Err(words::no_amount(&name).into());
                        }
                    };
                    let much = Quantity::new(of_one.value().saturating_mul(count), of_one.unit());
                    written.push(format!("{name} {much}"));
                }
            }
        }
        if filled.len() > 1 {
            return Err(Failure::refused(format!(
                "nothing is said of how much of {}",
                listed(&filled)
            ))
            .hint("castlot works out an amount where one lot fills the packs; write each, as in `cast-9:40kg`"));
        }
        Ok(written.join("; "))
    }

    /// Makes the row of what packs held, and names the run in it, by its ref or the code that it will get.
    fn checked(
        &self,
        shed: &Shed,
        farm: &Farm,
        settings: &Settings,
        pack: &mut Row<'static>,
    ) -> Option<Row<'static>> {
        let values = self.check.as_deref()?;
        let mut row = self.said.row(Noun::Weighing);
        let run = match &self.mark {
            Some(mark) => mark.clone(),
            None => {
                let when = self.said.moment(shed, settings);
                let code = farm.next_code(LotLetter::Packs, when)?.to_string();
                put(pack, "code", code.clone());
                code
            }
        };
        put(&mut row, "run", run);
        put(&mut row, "values", values);
        maybe(&mut row, "tare", self.tare.as_deref());
        Some(row)
    }
}

/// Tells whether a lot is packing, and if so whether it is counted; `None` for what fills packs.
fn is_packing(farm: &Farm, lot: LotId) -> Option<bool> {
    let lot = farm.lot(lot);
    let packing = matches!(lot.sort, LotSort::Delivery(DeliveryKind::Packing));
    packing.then_some(lot.stock.unit == Some(Unit::Pieces))
}

/// Says what is unusual about what a pack declares.
fn odd_net(product: &Product) -> Option<String> {
    let odd = product.kind == PackKind::Bag && product.net.unit() == Unit::Pieces;
    odd.then(|| {
        format!(
            "product `{}` is a bag by count; a bag is usually sold by the litre or by weight",
            product.key
        )
    })
}
