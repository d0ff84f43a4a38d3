//! `castlot sieve`: beds sieved once, one batch of each kind that came of it, all at one moment.

use crate::desk::rows::{maybe, put};
use crate::desk::words::{self, Piece, starts_amount};
use crate::farm::{BatchKind, Measures, Noun};
use crate::sheets::Row;

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Sieve beds into batches, one of each kind that comes of it.
///
/// An amount is what all the beds gave together; it is divided by what each held. Where each was weighed, name beds and
/// amounts instead: `--castings "A01 5.3kg; A02 4.6kg"`. `--clears` says which beds end there: `all`, or their bins.
///
/// Example: `castlot sieve A05..A07 --castings 10kg --worms 2.1kg --overs 1.2kg --clears all`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Beds: bins, ranges of bins, codes or refs.
    #[arg(value_name = "BED")]
    beds: Vec<String>,
    /// How much castings.
    #[arg(long, value_name = "AMOUNT")]
    castings: Option<String>,
    /// How much worms.
    #[arg(long, value_name = "AMOUNT")]
    worms: Option<String>,
    /// How much in cocoons, with the castings they lie in.
    #[arg(long, value_name = "AMOUNT")]
    cocoons: Option<String>,
    /// How much that did not pass the sieve.
    #[arg(long, value_name = "AMOUNT")]
    overs: Option<String>,
    /// How much liquid.
    #[arg(long, value_name = "AMOUNT")]
    liquid: Option<String>,
    /// The beds that end there: `all`, or their bins.
    #[arg(long, value_name = "BED", num_args = 1..)]
    clears: Vec<String>,
    /// Your own mark for a batch; `KIND=REF` where several are made. May be given several times.
    #[arg(long = "ref", value_name = "REF")]
    marks: Vec<String>,
    #[command(flatten)]
    said: Said,
}

/// Sieves beds.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, settings| args.rows(&settings.measures))
}

impl Args {
    fn yields(&self) -> Vec<(BatchKind, &str)> {
        let kinds = [
            (BatchKind::Castings, &self.castings),
            (BatchKind::Worms, &self.worms),
            (BatchKind::Cocoons, &self.cocoons),
            (BatchKind::Overs, &self.overs),
            (BatchKind::Liquid, &self.liquid),
        ];
        let given = kinds.into_iter();
        given
            .filter_map(|(kind, text)| Some((kind, text.as_deref()?)))
            .collect()
    }

    fn rows(&self, measures: &Measures) -> Result<Vec<Row<'static>>, Failure> {
        let yields = self.yields();
        if yields.is_empty() {
            return Err(Failure::refused("nothing is said of what came of the sieving")
                .hint("say how much of each kind, as in `castlot sieve A05 --castings 2.1kg --worms 500g`"));
        }
        let marks = self.marks(&yields)?;
        let beds = words::beds(&self.beds)?.join("; ");
        let mut rows = Vec::new();
        for (kind, text) in &yields {
            let mut row = self.said.row(Noun::Sieving);
            put(&mut row, "kind", kind.word());
            match weighed_apart(text, measures)? {
                Some(from) => put(&mut row, "from", from),
                None if beds.is_empty() => {
                    return Err(
                        Failure::refused("nothing is said of which beds were sieved").hint(
                            "name them first, as in `castlot sieve A01..A05 --castings 10kg`",
                        ),
                    );
                }
                None => {
                    put(&mut row, "from", beds.clone());
                    put(&mut row, "amount", *text);
                }
            }
            let mark = marks.iter().find(|(marked, _)| marked == kind);
            maybe(&mut row, "ref", mark.map(|(_, mark)| *mark));
            rows.push(row);
        }
        // A bed ends after the last sieving of the same moment, whichever row says so; once is enough.
        if let Some(first) = rows.first_mut().filter(|_| !self.clears.is_empty()) {
            put(first, "clears", self.clears()?);
        }
        Ok(rows)
    }

    fn clears(&self) -> Result<String, Failure> {
        let cut = |c: char| c == ';' || c == ',';
        let words = self.clears.iter().flat_map(|word| word.split(cut));
        let words = words.map(|word| word.trim().to_owned());
        let words: Vec<String> = words.filter(|word| !word.is_empty()).collect();
        Ok(words::beds(&words)?.join("; "))
    }

    /// Finds out which batch each mark is for.
    fn marks<'a>(
        &'a self,
        yields: &[(BatchKind, &str)],
    ) -> Result<Vec<(BatchKind, &'a str)>, Failure> {
        let mut marks: Vec<(BatchKind, &str)> = Vec::new();
        for typed in &self.marks {
            let (kind, mark) = match (typed.split_once('='), yields) {
                (Some((kind, mark)), _) => {
                    let kind = kind.parse::<BatchKind>();
                    (
                        kind.map_err(|error| Failure::refused(error.to_string()))?,
                        mark,
                    )
                }
                (None, [(kind, _)]) => (*kind, typed.as_str()),
                (None, _) => {
                    return Err(Failure::refused(format!(
                        "`{typed}` could be the ref of any of these batches"
                    ))
                    .hint(format!("say of which, as in `--ref castings={typed}`")));
                }
            };
            if !yields.iter().any(|(made, _)| *made == kind) {
                return Err(Failure::refused(format!(
                    "`{typed}` is a ref for {kind}, and none are sieved"
                )));
            }
            if marks.iter().any(|(marked, _)| *marked == kind) {
                return Err(Failure::refused(format!("{kind} are given two refs")));
            }
            marks.push((kind, mark));
        }
        Ok(marks)
    }
}

/// Returns the beds with an amount each, where that is what was typed in place of one amount.
fn weighed_apart(text: &str, measures: &Measures) -> Result<Option<String>, Failure> {
    if starts_amount(text) {
        return Ok(None);
    }
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    let pieces = words::pieces(&words, measures);
    let taken = pieces.iter().any(|piece| matches!(piece, Piece::Taken(_)));
    if taken {
        Ok(Some(words::takings(&words, measures)?))
    } else {
        // Not an amount either; the sheets' reader says best what is wrong with it.
        Ok(None)
    }
}
