//! `castlot feed`: beds, each given the same, or one bucket divided over them.

use crate::desk::rows::put;
use crate::desk::words::{self, Piece};
use crate::farm::{Amount, Farm, LotId, LotName, Moment, Named, Noun, Quantity, Settings};
use crate::sheets::Row;
use crate::trace::{Relation, Start, back, balance};

use super::failure::Failure;
use super::shed::Shed;
use super::voice;
use super::write_down::{Said, Typing};

/// Feed beds.
///
/// Names the beds first, by bin (`A07`), range of bins (`A01..A12`), or the bed's code or ref; then what each of them
/// gets, lot and amount. With `--shared` the amount is that of one bucket, divided over the beds by what each holds and
/// marked as a guess.
///
/// Example: `castlot feed A01..A04 mix-109 300g`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Beds, then lots and amounts.
    #[arg(value_names = ["BED", "LOT AMOUNT"], required = true, num_args = 2..)]
    words: Vec<String>,
    /// Divide this much over all the beds; the last word is the lot.
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    shared: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Feeds beds.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |farm, settings| {
        let pieces = words::pieces(&args.words, &settings.measures);
        let served = match &args.shared {
            None => each(pieces)?,
            Some(bucket) => {
                let when = args.when(shed, settings)?;
                shared(pieces, bucket, (farm, settings), when)?
            }
        };
        let rows = served.into_iter().map(|(bed, takes)| args.row(bed, takes));
        Ok(rows.collect())
    })
}

impl Args {
    fn row(&self, bed: String, takes: String) -> Row<'static> {
        let mut row = self.said.row(Noun::Feed);
        put(&mut row, "bin", bed);
        put(&mut row, "takes", takes);
        row
    }

    fn when(&self, shed: &Shed, settings: &Settings) -> Result<Moment, Failure> {
        match &self.said.when {
            None => Ok(shed.stamp(settings).now),
            Some(typed) => Moment::read(typed, settings.dates, &settings.zone)
                .map_err(|error| Failure::refused(error.to_string())),
        }
    }
}

/// Gives every bed all that is named after the beds.
fn each(pieces: Vec<Piece>) -> Result<Vec<(String, String)>, Failure> {
    let (mut beds, mut takes) = (Vec::new(), Vec::new());
    for piece in pieces {
        match piece {
            Piece::Name(name) if takes.is_empty() => beds.push(name),
            Piece::Name(name) => {
                return Err(Failure::refused(format!("`{name}` stands after what is fed"))
                    .hint("name the beds first, then what each gets, as in `castlot feed A01 A02 mix-17 300g`"));
            }
            Piece::Taken(taken) => takes.push(taken),
        }
    }
    match (beds.as_slice(), takes.is_empty()) {
        ([.., last], true) => Err(words::no_amount(last).into()),
        ([], _) => Err(Failure::refused("nothing is said of which beds are fed")
            .hint("name them first, as in `castlot feed A01..A12 mix-17 300g`")),
        ([..], false) => {
            let takes = takes.join("; ");
            let beds = words::beds(&beds)?.into_iter();
            Ok(beds.map(|bed| (bed, takes.clone())).collect())
        }
    }
}

/// Divides one bucket over the beds, by what each holds at that time.
fn shared(
    pieces: Vec<Piece>,
    bucket: &str,
    (farm, settings): (&Farm, &Settings),
    when: Moment,
) -> Result<Vec<(String, String)>, Failure> {
    let mut names = Vec::new();
    for piece in pieces {
        match piece {
            Piece::Name(name) => names.push(name),
            Piece::Taken(taken) => {
                return Err(Failure::refused(format!(
                    "`{taken}` has an amount, and so has `--shared`"
                ))
                .hint("give one of them, as in `castlot feed A01..A12 mix-17 --shared 6kg`"));
            }
        }
    }
    let lot = names.pop().expect("clap asks for two words at least");
    let beds = words::beds(&names)?;
    let wrong = |error: crate::farm::AmountError| Failure::refused(error.to_string());
    let amount = Amount::read(bucket, &settings.measures).map_err(wrong)?;
    let Some(bucket) = amount.quantity() else {
        let takes = format!("{lot} ?");
        return Ok(beds.into_iter().map(|bed| (bed, takes.clone())).collect());
    };
    let weights: Vec<Option<f64>> = beds
        .iter()
        .map(|bed| weight(farm, settings, bed, when))
        .collect();
    let weights = known_or_alike(&weights);
    let parts = divide(bucket, &weights).ok_or_else(|| {
        let beds = beds.len();
        Failure::refused(format!("{bucket} is too little to divide over {beds} beds"))
    })?;
    let served = beds.into_iter().zip(parts);
    Ok(served
        .map(|(bed, part)| (bed, format!("{lot} ~{part}")))
        .collect())
}

/// Returns how heavy each bed is; all alike, where it is not known of every one.
fn known_or_alike(weights: &[Option<f64>]) -> Vec<f64> {
    let known: Option<Vec<f64>> = weights.iter().copied().collect();
    let known = known.filter(|weights| weights.iter().all(|weight| *weight > 0.0));
    known.unwrap_or_else(|| {
        voice::note("note: what the beds weigh is not known of all; each gets the same");
        vec![1.0; weights.len()]
    })
}

/// Returns the grams that a bed holds, as recorded; `None` where nobody knows, or which bed is meant is not sure.
fn weight(farm: &Farm, settings: &Settings, bed: &str, when: Moment) -> Option<f64> {
    let bed = bed_at(farm, settings, bed, when)?;
    let reached = back(
        farm,
        Start {
            lot: bed,
            serial: None,
            when: Some(when),
        },
    );
    let sources = reached
        .iter()
        .filter(|reached| reached.relation == Relation::Part);
    balance(farm, bed, sources.map(|reached| reached.lot), Some(when)).grams
}

fn bed_at(farm: &Farm, settings: &Settings, typed: &str, when: Moment) -> Option<LotId> {
    let lot = |name: LotName| match name {
        LotName::Code(code) => farm.lot_of(code),
        LotName::Mark(mark) => farm.marked(&mark),
    };
    let named = Named::read(typed, &settings.bases()).ok()?;
    let bin = match named {
        Named::Lot(code) => return lot(LotName::Code(code)),
        Named::Mark(mark, None) if farm.marked(&mark).is_some() => return farm.marked(&mark),
        Named::Mark(mark, None) => mark.as_str().parse().ok()?,
        Named::Bin(bin) => bin,
        Named::Mark(_, Some(_)) | Named::Pack(_) | Named::Rack(_) => return None,
    };
    let was_in = |bed: &&LotId| {
        farm.lot(**bed).stays.iter().any(|stay| {
            let until = stay.to.is_none_or(|to| when.could_precede(to));
            stay.bin == bin && stay.from.could_precede(when) && until
        })
    };
    farm.bins()
        .get(&bin)?
        .beds
        .iter()
        .rev()
        .find(was_in)
        .copied()
}

/// Divides a quantity by weights into whole parts that add up to it; `None` where a part would be nothing.
///
/// Each part is rounded down, and what is left over goes, one unit each, to those that lost most.
fn divide(whole: Quantity, weights: &[f64]) -> Option<Vec<Quantity>> {
    let total: f64 = weights.iter().sum();
    let exact = weights
        .iter()
        .map(|weight| whole.value() as f64 * weight / total);
    let exact: Vec<f64> = exact.collect();
    // A share of at most 10^12 whole units, rounded down, is exact.
    let mut parts: Vec<u64> = exact.iter().map(|part| part.floor() as u64).collect();
    let given: u64 = parts.iter().sum();
    let mut by_loss: Vec<usize> = (0..parts.len()).collect();
    by_loss.sort_by(|a, b| {
        exact[*b]
            .fract()
            .total_cmp(&exact[*a].fract())
            .then(a.cmp(b))
    });
    let left = usize::try_from(whole.value().saturating_sub(given)).ok()?;
    for at in by_loss.into_iter().take(left) {
        parts[at] += 1;
    }
    let unit = whole.unit();
    let parts = parts
        .into_iter()
        .map(|part| (part > 0).then(|| Quantity::new(part, unit)));
    parts.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::Unit;

    #[test]
    fn a_bucket_is_divided_by_weight_to_the_last_gram() {
        let bucket = Quantity::new(1000, Unit::Grams);
        let divided = |weights: &[f64]| {
            let parts = divide(bucket, weights)?;
            Some(parts.iter().map(|part| part.value()).collect::<Vec<_>>())
        };
        assert_eq!(divided(&[1.0, 1.0, 1.0]), Some(vec![334, 333, 333]));
        assert_eq!(divided(&[1.0, 3.0]), Some(vec![250, 750]));
        assert_eq!(divided(&[1.0, 100_000.0]), None);
    }
}
