//! `castlot label`: prints labels as PDF files.

use std::path::PathBuf;

use crate::farm::SerialRange;
use crate::label::{Order, Sheet, Subject};

use super::failure::Failure;
use super::label_again::Again;
use super::label_file::{File, Form, Made, Making, write_whole};
use super::label_pick::Picker;
use super::label_placing::Placing;
use super::label_ruler::{self, Ruling};
use super::own_templates::own_templates;
use super::proof::{self, ProofArgs, ProofOf};
use super::shed::Shed;
use super::waiting::Waiting;
use super::{out, voice};

/// Print labels: one for each pack of a run, or one for each lot, bin or rack.
///
/// Writes one PDF for each template and sheet, named WHAT.TEMPLATE.SHEET.pdf, into the current folder; nothing is
/// written unless the proof of all of them passes: what it refuses is told at once, what it warns of is told beside.
/// Places on a sheet count across, then down. A lot that is held or recalled gets no label to be sold with; tags, bins
/// and racks always print.
///
/// Example: castlot label run-94 --first-free 3
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Lots by code, ref or scanned text; `run-7/3-10` for some packs of a run.
    #[arg(value_name = "CODE")]
    codes: Vec<String>,
    /// Bins: `A07`, `A01..A12`, `A01..` for that and all after it, or `all`.
    #[arg(long, num_args = 1.., value_name = "BIN")]
    bins: Vec<String>,
    /// Racks, written like bins.
    #[arg(long, num_args = 1.., value_name = "RACK")]
    racks: Vec<String>,
    /// Hold tags for these lots.
    #[arg(long, num_args = 1.., value_name = "CODE")]
    hold: Vec<String>,
    /// The template; the product's or the usual one where it is not given.
    #[arg(long, value_name = "NAME")]
    template: Option<String>,
    /// The sheet; the product's or the usual one where it is not given.
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    #[command(flatten)]
    placing: Placing,
    #[command(flatten)]
    again: Again,
    /// Pictures of the pages in the printer's dots, NAME-1.png and so on, instead of the PDF: to look at, not to print.
    #[arg(long)]
    png: bool,
    /// A ruled test sheet instead of labels, to measure a printer with.
    #[arg(long, requires = "sheet", conflicts_with_all = ["codes", "bins", "racks", "hold", "template"])]
    ruler: bool,
    /// What was measured on the ruler, in mm: A right, A low, B right, B low. Prints the lines for castlot.toml.
    #[arg(
        long,
        requires = "ruler",
        value_name = "MM,MM,MM,MM",
        value_delimiter = ',',
        num_args = 1,
        allow_hyphen_values = true
    )]
    measured: Vec<f64>,
    /// The one file to write.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    #[command(flatten)]
    proof: ProofArgs,
}

/// Runs the command.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    if args.ruler {
        return label_ruler::run(&settings, args.ruling()?);
    }
    let farm = shed.open()?;
    let order = args.order(Picker::new(&farm, &settings))?;
    let waiting = Waiting::start();
    waiting.doing("laying out labels");
    let templates = own_templates(&shed.folder)?;
    let proofed = args.proof.proof(
        shed,
        &ProofOf {
            order: &order,
            farm: &farm,
            settings: &settings,
            templates: &templates,
            printer: args.placing.printer.as_deref(),
            waiting: &waiting,
        },
    )?;
    waiting.end();
    if args.proof.proof {
        return proof::report(shed, &proofed);
    }
    let sheaves = match args.form() {
        Form::Pdf => {
            let sheaves = proof::to_print(proofed)?;
            let despite = args.proof.despite.as_deref();
            args.again.judge(&order, &farm, &settings, despite)?;
            sheaves
        }
        Form::Pictures => proof::to_look_at(&proofed),
    };
    let labels = sheaves.iter();
    let labels: usize = labels.map(|sheaf| args.placing.count(&sheaf.labels)).sum();
    Order::bounded(u64::try_from(labels).unwrap_or(u64::MAX))?;
    let files = match &args.out {
        Some(path) => vec![File::of_all(sheaves, path, &settings)?],
        None => sheaves
            .into_iter()
            .map(|sheaf| File::of(sheaf, &settings))
            .collect(),
    };
    let waiting = Waiting::start();
    let making = Making {
        settings: &settings,
        placing: &args.placing,
        form: args.form(),
        waiting: &waiting,
    };
    let made: Vec<Made> = files
        .iter()
        .map(|file| file.make(&making))
        .collect::<Result<_, _>>()?;
    waiting.end();
    if args.placing.copies > 1 && of_packs(&order) {
        voice::note(
            "note: copies of a pack's label carry one serial; count the first with `castlot reconcile`, and any other as \
             printed again, with why",
        );
    }
    show_maps(&made);
    write_all(&made)
}

fn of_packs(order: &Order) -> bool {
    let mut subjects = order.subjects.iter();
    subjects.any(|subject| matches!(subject, Subject::Packs(..)))
}

/// Shows where labels go on the first sheets before they are written; the same map is shown once.
fn show_maps(made: &[Made]) {
    let mut shown: Vec<&[String]> = Vec::new();
    for made in made {
        let Some(map) = made.map.as_deref().filter(|map| !shown.contains(map)) else {
            continue;
        };
        let file = made.files.first().map(|(path, _)| path.display());
        let file = file.map_or_else(String::new, |file| format!(" of {file}"));
        voice::note(format!("first sheet{file}, counted across, then down:"));
        map.iter().for_each(voice::note);
        shown.push(map);
    }
}

fn write_all(made: &[Made]) -> Result<(), Failure> {
    for made in made {
        for (path, bytes) in &made.files {
            write_whole(path, bytes)?;
        }
        let paths = made.files.iter().map(|(path, _)| path.display());
        let paths: Vec<_> = paths.map(|path| path.to_string()).collect();
        match &paths[..] {
            [only] => out::print(&format!("{}: {only}\n", made.said))?,
            several => out::print(&format!("{}:\n{}\n", made.said, several.join("\n")))?,
        }
    }
    Ok(())
}

impl Args {
    fn form(&self) -> Form {
        match self.png {
            true => Form::Pictures,
            false => Form::Pdf,
        }
    }

    fn ruling(&self) -> Result<Ruling<'_>, Failure> {
        let sheet = self.sheet.as_deref().unwrap_or_default();
        Ok(Ruling {
            sheet: sheet.parse::<Sheet>()?,
            printer: self.placing.printer.as_deref(),
            measured: &self.measured,
            out: self.out.clone(),
        })
    }

    fn order(&self, picker: Picker) -> Result<Order, Failure> {
        let mut subjects = Vec::new();
        for code in &self.codes {
            subjects.push(picker.pick(code)?);
        }
        for code in &self.hold {
            subjects.push(picker.hold(code)?);
        }
        for bins in &self.bins {
            subjects.extend(picker.bins(bins)?);
        }
        for racks in &self.racks {
            subjects.extend(picker.racks(racks)?);
        }
        if subjects.is_empty() {
            return Err(Failure::refused("nothing is named to print a label for")
                .hint("name a lot, as in `castlot label run-7`, or `castlot label --bins all`"));
        }
        once_each(&subjects, picker)?;
        let sheet = self.sheet.as_deref().map(str::parse::<Sheet>).transpose()?;
        Ok(Order {
            subjects,
            template: self.template.clone(),
            sheet,
        })
    }
}

/// Refuses what is named twice: a second label of a pack would bear the serial of the first.
fn once_each(subjects: &[Subject], picker: Picker) -> Result<(), Failure> {
    for (at, subject) in subjects.iter().enumerate() {
        if let Some(twice) = subjects[..at].iter().find_map(|s| common(s, subject)) {
            let text = format!("{} is named twice", picker.name(&twice));
            let hint = "name it once; for two labels of each, say `--copies 2`";
            return Err(Failure::refused(text).hint(hint));
        }
    }
    Ok(())
}

/// Returns what two subjects have in common, or the first pack of it.
fn common(one: &Subject, other: &Subject) -> Option<Subject> {
    let (Subject::Packs(run, first), Subject::Packs(other_run, second)) = (one, other) else {
        return (one == other).then(|| other.clone());
    };
    if run != other_run {
        return None;
    }
    let (Some(first), Some(second)) = (first, second) else {
        return Some(Subject::Packs(*run, first.or(*second)));
    };
    let from = first.first().max(second.first());
    let shared = SerialRange::new(from, first.last().min(second.last()))?;
    Some(Subject::Packs(*run, Some(shared)))
}
