//! `castlot label`: prints labels as PDF files.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::farm::Settings;
use crate::label::{Heading, LabelError, Order, Places, Sheaf, Sheet, Templates, print};

use super::failure::Failure;
use super::label_pick::Picker;
use super::out;
use super::phrase::count;
use super::proof::{self, ProofArgs, ProofOf};
use super::shed::Shed;

/// Print labels: one for each pack of a run, or one for each lot, bin or rack.
///
/// Writes one PDF for each template and sheet, named WHAT.TEMPLATE.SHEET.pdf, into the current folder; nothing is
/// written unless the proof of all of them passes: what it refuses is told at once, what it warns of is told beside.
/// Places on a sheet count across, then down. A lot that is held or recalled gets no label to be sold with; tags, bins
/// and racks always print.
///
/// Example: castlot label run-7 --first-free 3
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
    /// The first free place of the first page.
    #[arg(long, value_name = "N", default_value_t = 1)]
    first_free: u32,
    /// Places of the first page that are taken.
    #[arg(long, value_name = "N", value_delimiter = ',')]
    skip: Vec<u32>,
    /// The one file to write.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    #[command(flatten)]
    proof: ProofArgs,
}

/// Runs the command.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let farm = shed.open()?;
    let order = args.order(Picker::new(&farm, &settings))?;
    let templates = own_templates(&shed.folder)?;
    let proofed = args.proof.proof(
        shed,
        &ProofOf {
            order: &order,
            farm: &farm,
            settings: &settings,
            templates: &templates,
            printer: None,
        },
    )?;
    if args.proof.proof {
        return proof::report(shed, &proofed);
    }
    let sheaves = proof::to_print(proofed)?;
    let skip = args.skip.iter().copied().collect();
    let files = match &args.out {
        Some(path) => vec![File::of_all(sheaves, path, &settings)?],
        None => sheaves
            .into_iter()
            .map(|sheaf| File::of(sheaf, &settings))
            .collect(),
    };
    let files: Vec<_> = files
        .into_iter()
        .map(|file| file.print(args.first_free, &skip))
        .collect::<Result<_, _>>()?;
    for (path, bytes, said) in files {
        write_whole(&path, &bytes)?;
        out::print(&format!("{said}: {}\n", path.display()))?;
    }
    Ok(())
}

impl Args {
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
        let sheet = self.sheet.as_deref().map(str::parse::<Sheet>).transpose()?;
        Ok(Order {
            subjects,
            template: self.template.clone(),
            sheet,
        })
    }
}

/// A file of labels before it is printed.
struct File {
    path: PathBuf,
    title: String,
    sheaf: Sheaf,
}

impl File {
    fn of(sheaf: Sheaf, settings: &Settings) -> Self {
        let Sheaf {
            what,
            template,
            sheet,
            ..
        } = &sheaf;
        Self {
            path: PathBuf::from(format!("{what}.{template}.{sheet}.pdf")),
            title: format!("Labels of {what}, {}", settings.name),
            sheaf,
        }
    }

    /// Puts all labels into one file, where they go on one kind of sheet.
    fn of_all(sheaves: Vec<Sheaf>, path: &Path, settings: &Settings) -> Result<Self, Failure> {
        let sheets: BTreeSet<&str> = sheaves.iter().map(|sheaf| sheaf.sheet.name()).collect();
        if sheets.len() > 1 {
            let names: Vec<&str> = sheets.into_iter().collect();
            let text = format!(
                "these labels go on different sheets ({}), which one file cannot hold",
                names.join(", ")
            );
            return Err(Failure::refused(text)
                .hint("leave `--out` away, or name one sheet for all with `--sheet NAME`"));
        }
        let one = sheaves.into_iter().reduce(|mut all, next| {
            all.labels.extend(next.labels);
            all.date = all.date.max(next.date);
            all
        });
        let sheaf = one.ok_or(LabelError::Nothing)?;
        Ok(Self {
            path: path.to_owned(),
            ..Self::of(sheaf, settings)
        })
    }

    fn print(
        self,
        first_free: u32,
        skip: &BTreeSet<u32>,
    ) -> Result<(PathBuf, Vec<u8>, String), Failure> {
        let places = Places::from(self.sheaf.sheet, first_free, skip)?;
        let heading = Heading {
            title: self.title,
            date: self.sheaf.date,
        };
        let labels = &self.sheaf.labels;
        let bytes = print(&places, labels, &heading)?;
        let pages = places
            .iter()
            .nth(labels.len() - 1)
            .map_or(0, |(page, _)| page + 1);
        let said = format!(
            "{} on {}",
            count(labels.len(), "label", "labels"),
            count(pages, "page", "pages")
        );
        Ok((self.path, bytes, said))
    }
}

/// Reads the farm's own templates.
fn own_templates(folder: &Path) -> Result<Templates, Failure> {
    let mut templates = Templates::default();
    let folder = folder.join("templates");
    let cannot = |path: &Path, error: std::io::Error| {
        Failure::refused(format!("cannot read `{}`: {error}", path.display()))
    };
    let entries = match fs::read_dir(&folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(templates),
        Err(error) => return Err(cannot(&folder, error)),
    };
    for entry in entries {
        let path = entry.map_err(|error| cannot(&folder, error))?.path();
        let name = path.file_stem().and_then(|name| name.to_str());
        if let Some(name) = name.filter(|_| path.extension().is_some_and(|e| e == "toml")) {
            let text = fs::read_to_string(&path).map_err(|error| cannot(&path, error))?;
            templates.add(name, &format!("templates/{name}.toml"), text);
        }
    }
    Ok(templates)
}

/// Writes a file beside its place and puts it there in one step, so that a broken run leaves no half of one.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    let beside = path.with_file_name(name);
    let written = fs::write(&beside, bytes).and_then(|()| fs::rename(&beside, path));
    written.map_err(|error| {
        // What is left of it is of no use; that it could not be removed adds nothing to the message.
        let _ = fs::remove_file(&beside);
        Failure::refused(format!("cannot write `{}`: {error}", path.display()))
    })
}
