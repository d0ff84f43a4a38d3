//! `castlot reconcile`: what came of a run's labels, and whether they add up.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use crate::farm::{Farm, LotId, LotSort, Noun, Serial, SerialRange, Settings};
use crate::label::{
    Count, Order, Sheet, Subject, all_packs, counts, ranges, templates_of_product, usual_printer,
};
use crate::sheets::Row;

use super::failure::Failure;
use super::label_again::{Again, listed, mark_or_code};
use super::label_file::{File, Form, own_templates};
use super::label_placing::Placing;
use super::named::Asking;
use super::reconcile_told::tell;
use super::shed::Shed;
use super::voice;
use super::write_down::{Said, Typing, maybe, put};

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
    run: String,
    /// The template; all of the product's where none is given.
    #[arg(long, value_name = "NAME")]
    template: Option<String>,
    /// The packs whose labels were printed: `all`, or serials as in `1-20,25`.
    #[arg(long, value_name = "SERIALS")]
    printed: Option<String>,
    /// Those whose labels were spoiled.
    #[arg(long, value_name = "SERIALS", requires = "printed")]
    spoiled: Option<String>,
    /// How many labels besides were printed and thrown away: a jammed sheet, a first try.
    #[arg(long, value_name = "N", requires = "printed", default_value_t = 0)]
    wasted: u32,
    /// The file that was printed.
    #[arg(long, value_name = "FILE", requires = "printed")]
    file: Option<PathBuf>,
    /// The sheet they were printed on; the usual one where it is not given.
    #[arg(long, value_name = "NAME", requires = "printed")]
    sheet: Option<String>,
    #[command(flatten)]
    placing: Placing,
    #[command(flatten)]
    again: Again,
    #[command(flatten)]
    said: Said,
}

/// Counts, or shows what was counted.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    if let Some(printed) = &args.printed {
        shed.record(Typing::Words, |farm, settings| {
            let run = args.find(farm, settings)?;
            let desk = Desk {
                shed,
                args,
                farm,
                settings,
                run,
            };
            desk.rows(printed)
        })?;
    }
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let run = args.find(&farm, &settings)?;
    let said = shed.json && args.printed.is_some();
    let own = farm
        .product(run)
        .map(|p| templates_of_product(&settings, p));
    tell(shed, &farm, run, args.templates(own), said)
}

impl Args {
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

    fn templates(&self, own: Option<Vec<String>>) -> Vec<String> {
        let named = self.template.clone().map(|name| vec![name]);
        named.or(own).unwrap_or_default()
    }
}

/// What rows of `prints` are made from.
struct Desk<'a> {
    shed: &'a Shed,
    args: &'a Args,
    farm: &'a Farm,
    settings: &'a Settings,
    run: LotId,
}

impl Desk<'_> {
    fn rows(&self, printed: &str) -> Result<Vec<Row<'static>>, Failure> {
        let printed = self.serials(printed, "--printed")?;
        let spoiled = self.args.spoiled.as_deref();
        let spoiled =
            spoiled.map_or_else(|| Ok(BTreeSet::new()), |s| self.serials(s, "--spoiled"))?;
        if let Some(stray) = spoiled.difference(&printed).next() {
            let text = format!(
                "pack {} is spoiled and not among those printed",
                stray.number()
            );
            return Err(Failure::refused(text)
                .hint("`--spoiled` names some of the packs that `--printed` names"));
        }
        let own = self.farm.product(self.run);
        let templates = self
            .args
            .templates(own.map(|p| templates_of_product(self.settings, p)));
        if let [first, _, ..] = &templates[..]
            && (!spoiled.is_empty() || self.args.wasted > 0)
        {
            let text = format!("these packs have {} labels each", templates.len());
            return Err(Failure::refused(text).hint(format!(
                "say whose were spoiled, one after the other, as in `--template {first}`"
            )));
        }
        if self.args.file.is_some() && templates.len() > 1 {
            let text = "one file is of one template, and these packs have several labels";
            return Err(Failure::refused(text).hint("say which with `--template NAME`"));
        }
        let good: BTreeSet<Serial> = printed.difference(&spoiled).copied().collect();
        if good.is_empty() {
            let text = "no pack got a good label, so that there is nothing to count yet";
            return Err(Failure::refused(text).hint(
                "print them once more, which needs no reason, and count what comes out then",
            ));
        }
        self.refuse_second(&good, &templates)?;
        let rows = templates
            .iter()
            .map(|template| self.row(template, &printed, &good));
        rows.collect()
    }

    /// Reads serials: `all`, or `1-20,25`.
    fn serials(&self, text: &str, flag: &str) -> Result<BTreeSet<Serial>, Failure> {
        let made = self
            .farm
            .lot(self.run)
            .shelf
            .as_ref()
            .map_or(0, |shelf| shelf.made());
        let run = mark_or_code(self.farm, self.run);
        if text.trim() == "all" {
            return Ok(all_packs(made)
                .into_iter()
                .flat_map(SerialRange::serials)
                .collect());
        }
        let mut serials = BTreeSet::new();
        for part in text.split(',').map(str::trim) {
            let (first, last) = part.split_once('-').unwrap_or((part, part));
            let read = |text: &str| Serial::new(text.trim().trim_start_matches('#').parse().ok()?);
            let range = read(first).zip(read(last));
            let range = range.and_then(|(first, last)| SerialRange::new(first, last));
            let range = range.ok_or_else(|| {
                Failure::refused(format!("`{part}` is not a serial or a row of serials")).hint(
                    format!("write them as in `{flag} 1-20,25`, or `{flag} all`"),
                )
            })?;
            if range.last().number() > made {
                let last = range.last().number();
                let text = format!("{run} has packs 1 to {made}; there is no {last}");
                return Err(Failure::refused(text));
            }
            serials.extend(range.serials());
        }
        Ok(serials)
    }

    /// A second good label of a pack needs a reason.
    fn refuse_second(&self, good: &BTreeSet<Serial>, templates: &[String]) -> Result<(), Failure> {
        if self.args.again.again {
            return Ok(());
        }
        let counted = counts(self.farm, self.run);
        for template in templates {
            let Some(count) = counted.get(template) else {
                continue;
            };
            let has = |serial: &&Serial| count.confirmed(**serial).is_some();
            let twice = ranges(good.iter().filter(has).copied());
            if !twice.is_empty() {
                return Err(self.second(template, count, &twice));
            }
        }
        Ok(())
    }

    fn second(&self, template: &str, count: &Count, twice: &[SerialRange]) -> Failure {
        let run = mark_or_code(self.farm, self.run);
        let packs = listed(twice);
        let text = format!("packs {packs} of {run} have a good `{template}` label already");
        let failure = Failure::refused(text);
        let left = listed(&count.without());
        let failure = match left.is_empty() {
            true => failure,
            false => failure.hint(format!(
                "those without one: `castlot reconcile {run} --template {template} --printed {left}`"
            )),
        };
        failure.hint(
            "if they were printed once more, say so with `--again --why \"label rubbed off\"`",
        )
    }

    fn row(
        &self,
        template: &str,
        printed: &BTreeSet<Serial>,
        good: &BTreeSet<Serial>,
    ) -> Result<Row<'static>, Failure> {
        let code = self.farm.lot(self.run).code;
        let picks = ranges(good.iter().copied());
        let picks: Vec<_> = picks
            .iter()
            .map(|range| format!("{code} #{range}"))
            .collect();
        let (digest, printer) = self.digest(template, &ranges(printed.iter().copied()))?;
        let mut row = self.args.said.row(Noun::Print);
        put(&mut row, "packs", picks.join("; "));
        put(&mut row, "template", template);
        put(&mut row, "printer", printer);
        put(&mut row, "printed", printed.len().to_string());
        put(
            &mut row,
            "spoiled",
            (printed.len() - good.len()).to_string(),
        );
        put(&mut row, "digest", digest);
        maybe(&mut row, "why", self.args.again.why.as_deref());
        Ok(row)
    }

    /// Returns the digest of the file that was printed, and the printer's name.
    fn digest(&self, template: &str, packs: &[SerialRange]) -> Result<(String, String), Failure> {
        let named = self.args.placing.printer.as_deref();
        if let Some(path) = &self.args.file {
            let bytes = read(path)?;
            return Ok((sha256(&bytes), named.unwrap_or(NOT_NAMED).to_owned()));
        }
        let unknown = named.is_some_and(|name| !self.settings.printers.contains_key(name));
        let (settings, placing) = match unknown {
            true => self.without_printers(),
            false => (self.settings.clone(), self.args.placing.clone()),
        };
        let file = self.file(template, packs).map_err(|failure| {
            failure.hint("if they were printed before that, name the file with `--file FILE.pdf`")
        })?;
        let sheet = file.sheaf().sheet;
        let printer = usual_printer(&settings, sheet, placing.printer.as_deref())?;
        let printer = printer.map(|(name, _)| name).or(named);
        let made = file.make(&settings, &placing, Form::Pdf)?;
        let again = made
            .files
            .first()
            .map(|(_, bytes)| sha256(bytes))
            .unwrap_or_default();
        let path = file.path().display();
        let digest = match std::fs::read(file.path()) {
            Ok(bytes) if sha256(&bytes) == again => again,
            Ok(bytes) => {
                voice::note(format!(
                    "note: `{path}` is another file than castlot makes of this now; the digest recorded is that of the \
                     file as it is"
                ));
                sha256(&bytes)
            }
            Err(_) => {
                voice::note(format!(
                    "note: there is no `{path}` here; the digest recorded is that of the file as castlot makes it now"
                ));
                again
            }
        };
        Ok((digest, printer.unwrap_or(NOT_NAMED).to_owned()))
    }

    /// A printer that castlot.toml does not have was printed on as if it did not miss.
    fn without_printers(&self) -> (Settings, Placing) {
        let mut settings = self.settings.clone();
        settings.printers.clear();
        let placing = Placing {
            printer: None,
            ..self.args.placing.clone()
        };
        (settings, placing)
    }

    /// Lays the same labels out again.
    fn file(&self, template: &str, packs: &[SerialRange]) -> Result<File, Failure> {
        let made = self
            .farm
            .lot(self.run)
            .shelf
            .as_ref()
            .map_or(0, |shelf| shelf.made());
        let whole = all_packs(made);
        let subjects = packs.iter().map(|range| {
            let part = Some(*range).filter(|range| Some(*range) != whole);
            Subject::Packs(self.run, part)
        });
        let sheet = self
            .args
            .sheet
            .as_deref()
            .map(str::parse::<Sheet>)
            .transpose()?;
        let order = Order {
            subjects: subjects.collect(),
            template: Some(template.to_owned()),
            sheet,
        };
        let templates = own_templates(&self.shed.folder)?;
        let sheaves = order.lay_out(self.farm, self.settings, &templates)?;
        let sheaf = sheaves.into_iter().next();
        let sheaf = sheaf.ok_or_else(|| Failure::refused("there is no label to count"))?;
        Ok(File::of(sheaf, self.settings))
    }
}

/// What stands for a printer where nobody named one and castlot.toml has none.
const NOT_NAMED: &str = "a printer";

fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    std::fs::read(path)
        .map_err(|error| Failure::refused(format!("cannot read `{}`: {error}", path.display())))
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
