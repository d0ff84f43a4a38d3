//! `castlot weigh`: what packs of a run really hold.

use crate::desk::rows::{maybe, put};
use crate::farm::{Noun, Quantity, Settings};

use super::failure::Failure;
use super::shed::Shed;
use super::write_down::{Said, Typing};

/// Note what packs of a run really hold: weights, volumes or counts, one a pack.
///
/// With `--tare`, weights are gross, and the tare of an empty pack is taken off. A run that does not meet its plan is held
/// in the same step; weighed again after it was worked over, and found to meet it, it is released.
///
/// Example: `castlot weigh run-93 20.1L 20L 20.2L`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The run: its code or ref.
    #[arg(value_name = "RUN")]
    run: String,
    /// What each pack holds, as in `20.1L`, `3.02kg` or `51`.
    #[arg(value_name = "AMOUNT", required = true)]
    values: Vec<String>,
    /// What an empty pack weighs, where the weights are gross.
    #[arg(long, value_name = "WEIGHT")]
    tare: Option<String>,
    #[command(flatten)]
    said: Said,
}

/// Notes what packs hold.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    shed.record(Typing::Words, |_, settings| {
        let values = args.values.iter().flat_map(|word| word.split(';'));
        let values: Vec<&str> = values.map(str::trim).filter(|v| !v.is_empty()).collect();
        check_tare(&values, args.tare.as_deref(), settings)?;
        let mut row = args.said.row(Noun::Weighing);
        put(&mut row, "run", &*args.run);
        put(&mut row, "values", values.join("; "));
        maybe(&mut row, "tare", args.tare.as_deref());
        Ok(vec![row])
    })
}

/// Refuses a tare that cannot be taken off; what does not read at all is the sheet's to refuse.
fn check_tare(values: &[&str], tare: Option<&str>, settings: &Settings) -> Result<(), Failure> {
    let read = |text: &str| Quantity::read(text, &settings.measures).ok();
    let Some(tare) = tare.and_then(read) else {
        return Ok(());
    };
    for value in values {
        let Some(gross) = read(value) else { continue };
        if gross.unit() != tare.unit() {
            let text = format!("`{value}` and the tare `{tare}` are in different units");
            return Err(Failure::refused(text).hint(
                "a tare is for gross weights; leave it out where a pack's own content was measured",
            ));
        }
        if gross.value() <= tare.value() {
            let text = format!("`{value}` is no more than the tare `{tare}`");
            return Err(Failure::refused(text));
        }
    }
    Ok(())
}
