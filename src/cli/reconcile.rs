//! `castlot reconcile`: what came of a run's labels, and whether they add up.

use std::path::PathBuf;

use crate::farm::{Farm, LotId, LotSort, Settings};
use crate::label::templates_of_product;

use super::failure::Failure;
use super::label_again::Again;
use super::label_placing::Placing;
use super::named::Asking;
use super::reconcile_rows::Desk;
use super::reconcile_told::tell;
use super::shed::Shed;
use super::write_down::{Said, Typing, Written};

/// Count a run's labels after they are printed: labels printed = packs labelled + labels spoiled.
///
/// Says which packs' labels were printed and which of them were spoiled, for one template or, where none was spoiled, for
/// all the product has. The row that it records bears the digest of the file: of the one beside you, of `--file`, or of
/// what castlot prints for the same words. A pack without a good label is named, and the command then ends with exit code
/// 1; what was counted is recorded all the same. Without `--printed` it only shows how things stand.
///
/// Example: `castlot reconcile run-94`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The run, by code, ref or scanned text.
    #[arg(value_name = "RUN")]
    pub run: String,
    /// The template; all of the product's where none is given.
    #[arg(long, value_name = "NAME")]
    pub template: Option<String>,
    /// The packs whose labels were printed: `all`, or serials as in `1-20,25`.
    #[arg(long, value_name = "SERIALS")]
    pub printed: Option<String>,
    /// Those whose labels were spoiled.
    #[arg(long, value_name = "SERIALS", requires = "printed")]
    pub spoiled: Option<String>,
    /// How many labels besides were printed and thrown away: a jammed sheet, a first try.
    #[arg(long, value_name = "N", requires = "printed", default_value_t = 0)]
    pub wasted: u32,
    /// The file that was printed.
    #[arg(long, value_name = "FILE", requires = "printed")]
    pub file: Option<PathBuf>,
    /// The sheet they were printed on; the usual one where it is not given.
    #[arg(long, value_name = "NAME", requires = "printed")]
    pub sheet: Option<String>,
    #[command(flatten)]
    pub placing: Placing,
    #[command(flatten)]
    pub again: Again,
    /// Why they were labelled although the run is held or recalled.
    #[arg(long, value_name = "WHY", requires = "printed")]
    pub despite: Option<String>,
    #[command(flatten)]
    pub said: Said,
}

/// Counts, or shows what was counted.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let written = match &args.printed {
        Some(printed) => args.record(shed, printed)?,
        None => None,
    };
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let run = args.find(&farm, &settings)?;
    let own = farm
        .product(run)
        .map(|p| templates_of_product(&settings, p));
    tell(shed, &farm, run, args.templates(own), written)
}

impl Args {
    /// Records what was counted, and tells of it; where all is told as data, returns what was recorded instead.
    fn record(&self, shed: &Shed, printed: &str) -> Result<Option<Vec<Written>>, Failure> {
        let recording = shed.record_untold(Typing::Words, |farm, settings| {
            let run = self.find(farm, settings)?;
            let desk = Desk {
                shed,
                args: self,
                farm,
                settings,
                run,
            };
            desk.rows(printed)
        })?;
        if shed.json {
            return Ok(Some(shed.written(&recording)));
        }
        shed.tell(&recording)?;
        Ok(None)
    }

    fn find(&self, farm: &Farm, settings: &Settings) -> Result<LotId, Failure> {
        let asking = Asking {
            farm,
            settings,
            command: "reconcile",
        };
        let (run, _) = asking.find_lot(&self.run, None)?;
        match farm.lot(run).sort {
            LotSort::Run(_) => Ok(run),
            LotSort::Delivery(_) | LotSort::Bed | LotSort::Batch(_) => {
                let lot = farm.lot(run);
                let text = format!(
                    "{} is {}; only labels of packs are counted",
                    lot.code,
                    lot.sort.word()
                );
                Err(Failure::refused(text))
            }
        }
    }

    /// Returns the templates that are meant.
    pub fn templates(&self, own: Option<Vec<String>>) -> Vec<String> {
        let named = self.template.clone().map(|name| vec![name]);
        named.or(own).unwrap_or_default()
    }
}
